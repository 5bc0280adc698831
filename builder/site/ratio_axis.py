"""The axis of ratios that charts of changes share: as far on each side of 1 as they reach."""

from __future__ import annotations

import math
from collections.abc import Iterable

from builder.pictures.chart_frame import Tick
from builder.words.numbers import times

_TICKS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)
_MAJOR = {0.01, 0.1, 1, 10, 100}
_SHORTEST, _LONGEST = 0.7, 2.0
_ROOM = 0.1
_LONG = 1.1
"""Powers of ten on each side of 1 from which on a narrow page has no room for the ticks between."""


def ratio_axis(ratios: Iterable[float]) -> tuple[float, list[Tick]]:
    """Give the highest ratio of an axis that shows all of some, the lowest being 1 over it, and its ticks."""
    farthest = max((abs(math.log10(ratio)) for ratio in ratios), default=0.0)
    reach = min(_LONGEST, max(_SHORTEST, farthest + _ROOM))
    return 10**reach, [Tick(tick, times(tick), reach > _LONG and tick not in _MAJOR) for tick in _TICKS]
