"""What parts do over all masks, from the build before while the entries are edited: it takes half of a build."""

from __future__ import annotations

from collections.abc import Callable, Set

import pandas as pd

from builder.findings.kept_table import fingerprint
from builder.fit.compare.hack_effects import HackEffect

Hacks = dict[str, HackEffect]
"""Effects by the part's token."""

_made: dict[bytes, Hacks] = {}


def remembered_hacks(table: pd.DataFrame, tried: Set[str], work_out: Callable[[], Hacks], *, hasty: bool) -> Hacks:
    """Give the effects of the parts `tried`, worked out unless the last ones were of the same table.

    In haste the last ones stand in where they are of the same parts.
    """
    made = _made.get(key := fingerprint(table))
    if made is None and hasty and (before := list(_made.values())) and before[-1].keys() == tried:
        return before[-1]
    if made is None:
        made = _made[key] = work_out()
        for other in [other for other in _made if other != key]:
            _made.pop(other, None)
    return made
