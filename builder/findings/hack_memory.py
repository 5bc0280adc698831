"""What parts do over all masks, from the build before while the entries are edited: it takes half of a build."""

from __future__ import annotations

from collections.abc import Callable, Set

from pydantic import TypeAdapter

from builder.fit.compare.hack_effects import HackEffect
from builder.records.pieces import Pieces

Hacks = dict[str, HackEffect]
"""Effects by the part's token."""

_WRITTEN = TypeAdapter(Hacks)

_made: dict[str, tuple[bytes, Hacks]] = {}
"""The last effects with what the tidy table was they are of, for all tests and for those of each method."""


def remembered_hacks(
    key: bytes, tried: Set[str], work_out: Callable[[], Hacks], *, of: str = "", hasty: bool, pieces: Pieces
) -> Hacks:
    """Give the effects of the parts `tried`, worked out unless the last ones, or a piece, are of the same `key`.

    The key holds all that they are made of. `of` names the method whose tests these are, "" for all. In haste the last
    ones stand in where they are of the same parts.
    """
    before = _made.get(of)
    if before and (before[0] == key or (hasty and before[1].keys() == tried)):
        return before[1]
    effects = pieces.kept(b"effects of parts " + key, work_out, write=_WRITTEN.dump_json, read=_WRITTEN.validate_json)
    _made[of] = key, effects
    return effects
