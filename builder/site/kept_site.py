"""All that a build made of the entries, kept for the next build of the same bytes. Nothing in it is ever run."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from hashlib import blake2b
from importlib.metadata import distributions
from itertools import chain
from pathlib import Path
from typing import Any

from builder.findings.dataset import Dataset
from builder.pictures.palette import style_rule
from builder.records.bundles import bundled, unbundled
from builder.records.memory import Memory, builder_version
from builder.records.pieces import Pieces
from builder.records.spoken import SPOKEN
from builder.site.fragments import filled
from builder.site.kinds import file_tasks, page_tasks
from builder.site.published import PublishedFile, PublishedPage, Renderer

MOST_BYTES = 200_000_000
"""A larger site is not kept: it would crowd everything else out of the memory."""
_QUICK = 1
"""How hard to pack: the memory is read soon, and by nobody else."""


@dataclass
class KeptSite:
    """The generated pages and files, and hand-written pages with their pieces filled in, by a fingerprint of each."""

    pages: tuple[PublishedPage, ...]
    files: tuple[PublishedFile, ...]
    filled: dict[str, str] = field(default_factory=dict)
    is_new: bool = True
    """Whether there is something in it that the memory has not."""

    @classmethod
    def of(cls, data: Dataset, repository: str, address: str, languages: tuple[str, ...]) -> KeptSite:
        """Make everything of the entries, in every language."""
        pages, files = page_tasks(data, repository, address, languages), file_tasks(data, address, languages)
        tasks: list[Callable[[], list[Any]]] = [*pages, *files]
        if not data.hasty:  # in haste not all of it is needed
            data.work_out_shared()
        made = data.pieces.known_from(data.run, tasks)
        return cls(tuple(chain(*made[: len(pages)])), tuple(chain(*made[len(pages) :])))

    def fill(self, markdown: str, render: Renderer, depth: int) -> str:
        """Fill the pieces of a hand-written page (`filled`), once for the same page."""
        key = blake2b(f"{SPOKEN.get()} {depth} {markdown}".encode(), digest_size=16).hexdigest()
        if key not in self.filled:
            self.filled[key] = filled(markdown, render, depth)
            self.is_new = True
        return self.filled[key]

    def as_bytes(self) -> bytes:
        """Write all of it: a list of what follows, then each page, file and filled page, packed."""
        packed = [zlib.compress(part.encode() if isinstance(part, str) else part, _QUICK) for part in self._parts()]
        about = {
            "pages": [{**vars(page), "html": ""} for page in self.pages],
            "files": [[file.path, isinstance(file.content, str)] for file in self.files],
            "filled": list(self.filled),
        }
        return bundled(about, packed)

    def _parts(self) -> Iterator[str | bytes]:
        yield from (page.html for page in self.pages)
        yield from (file.content for file in self.files)
        yield from self.filled.values()

    @classmethod
    def from_bytes(cls, content: bytes) -> KeptSite:
        """Read what `as_bytes` wrote."""
        about, packed = unbundled(content)
        parts = map(zlib.decompress, packed)
        pages = tuple(PublishedPage(**{**page, "html": next(parts).decode()}) for page in about["pages"])
        files = tuple(PublishedFile(path, _as_made(next(parts), text)) for path, text in about["files"])
        return cls(pages, files, {key: next(parts).decode() for key in about["filled"]}, is_new=False)


def _as_made(part: bytes, text: bool) -> str | bytes:
    return part.decode() if text else part


def site_key(data: Dataset, repository: str, address: str, languages: tuple[str, ...]) -> str:
    """Name the site of some entries: of their bytes, the builder with all it needs, and what a site is given."""
    about = "\n".join([data.digest, data.name, repository, address, *languages, style_rule(), *_installed()])
    return f"site-{blake2b(about.encode(), digest_size=32).hexdigest()}"


def pieces_of(memory: Memory, root: Path) -> Pieces:
    """Give the pieces kept of a folder of entries: of the builder, all it is built with and the colours."""
    about = "\n".join([str(root.resolve()), builder_version(), style_rule(), *_installed()])
    return Pieces(memory, f"pieces-{blake2b(about.encode(), digest_size=32).hexdigest()}")


@cache
def _installed() -> tuple[str, ...]:
    return tuple(sorted(f"{found.name} {found.version}" for found in distributions()))


def recalled_site(memory: Memory, key: str) -> KeptSite | None:
    """Give the site that was kept; None where there is none."""
    kept = memory.recall(key)
    return None if kept is None else KeptSite.from_bytes(kept)


def keep_site(memory: Memory, key: str, site: KeptSite) -> None:
    """Keep a site unless it is kept already, or too large."""
    if site.is_new and len(content := site.as_bytes()) <= MOST_BYTES:
        memory.keep(key, content)
        site.is_new = False
