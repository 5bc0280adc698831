"""Many answers in one file of the memory: a list of what follows, then each part."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any


def bundled(about: Mapping[str, object], parts: Sequence[bytes]) -> bytes:
    """Write what is said `about` the parts, and these."""
    head = json.dumps({**about, "sizes": list(map(len, parts))}).encode()
    return b"".join([len(head).to_bytes(8, "big"), head, *parts])


def unbundled(content: bytes) -> tuple[dict[str, Any], Iterator[bytes]]:
    """Read what `bundled` wrote: what is said of the parts, and these one after the other."""
    start = 8 + int.from_bytes(content[:8], "big")
    about = json.loads(content[8:start])
    return about, _cut(content, start, about["sizes"])


def _cut(content: bytes, start: int, sizes: Sequence[int]) -> Iterator[bytes]:
    for size in sizes:
        yield content[start : start + size]
        start += size
