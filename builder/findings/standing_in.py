"""What was made before, while a site is served: of each mask, of the tests of each method.

It is taken again where it is of the same entries, and in haste where a mask's own entries are the same.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Set
from typing import TypeVar, cast

T = TypeVar("T")

_made: dict[tuple[str, str], tuple[bytes, object]] = {}
"""What was last made, by what it is and by mask, with the fingerprint of the mask's own entries."""


_of_the_same: dict[str, tuple[bytes, object]] = {}
"""What was last made of some tests alone, with the fingerprint of these."""


def standing_in(
    what: str, own: Mapping[str, bytes], make: Callable[[Set[str]], Mapping[str, T]], *, older: bool
) -> dict[str, T]:
    """Give something of each mask that there is something of: `own` are the masks' fingerprints.

    `make` gives it for a set of masks, and is asked for all of them unless what is `older` may stand in: then what was
    last made of the same entries of a mask does. What all tests tell together (scatter, methods, chances on a face) is
    from before in that.
    """
    before = {mask: _made[what, mask][1] for mask, of in own.items() if _made.get((what, mask), ("",))[0] == of}
    kept = cast(dict[str, T | None], before) if older else {}
    wanted = own.keys() - kept.keys()
    made = make(wanted) if wanted else {}
    for mask in wanted:
        _made[what, mask] = own[mask], made.get(mask)
    found = {**made, **kept}
    return {mask: one for mask, one in found.items() if one is not None}


def of_the_same(what: str, key: bytes, make: Callable[[], T]) -> T:
    """Make something, unless it was last made with the same `key`, which holds all that it is made of."""
    before = _of_the_same.get(what)
    if before and before[0] == key:
        return cast(T, before[1])
    made = make()
    _of_the_same[what] = key, made
    return made


def own_digests(contents: Mapping[str, bytes], masks: Mapping[str, object]) -> dict[str, bytes]:
    """Give for each mask a fingerprint of all entries but the tests of other masks; `contents` are files by path."""
    common = hashlib.blake2b()
    tests = {mask: hashlib.blake2b() for mask in masks}
    for path, content in contents.items():
        folder, _, rest = path.partition("/")
        own = tests.get(rest.partition("/")[0]) if folder == "tests" else common
        if own:
            own.update(f"{len(path)} {len(content)} {path}".encode("utf-8", "surrogateescape") + content)
    return {mask: common.digest() + own.digest() for mask, own in tests.items()}
