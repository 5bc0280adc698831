"""What parts do over all masks, from the build before while the entries are edited: it takes half of a build."""

from __future__ import annotations

from collections.abc import Callable, Set

import pandas as pd

from builder.findings.kept_table import fingerprint
from builder.fit.compare.hack_effects import HackEffect

Hacks = dict[str, HackEffect]
"""Effects by the part's token."""

_made: dict[str, tuple[bytes, Hacks]] = {}
"""The last effects with what the tidy table was they are of, for all tests and for those of each method."""


def remembered_hacks(
    table: pd.DataFrame, tried: Set[str], work_out: Callable[[], Hacks], *, of: str = "", hasty: bool
) -> Hacks:
    """Give the effects of the parts `tried`, worked out unless the last ones were of the same table.

    `of` names the method whose tests these are, "" for all. In haste the last ones stand in where they are of the same
    parts.
    """
    key, before = fingerprint(table), _made.get(of)
    if before and (before[0] == key or (hasty and before[1].keys() == tried)):
        return before[1]
    _made[of] = key, work_out()
    return _made[of][1]
