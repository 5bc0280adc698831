"""How ratios are drawn, on an axis as far on each side of 1 as charts of changes reach, or as one comparison does."""

from __future__ import annotations

import math
from collections.abc import Iterable

from builder.pictures.chart_frame import Tick
from builder.pictures.forest import RatioKind
from builder.words.numbers import times

KINDS: dict[str, RatioKind] = {"none": "exact", "at_least": "at_least", "at_most": "at_most"}
"""How a ratio is drawn, by what it is a limit of."""

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


_BESIDE = 1.3
"""How far beyond the outermost ratio a fitted axis goes, as a factor."""
_LEAST = 6.0
"""From end to end, as a factor."""
_CROWDED = 60.0
"""From end to end, as a factor: from there on a narrow page has no room for the ticks between powers of ten."""


def fitted_axis(ratios: Iterable[float]) -> tuple[float, float, list[Tick]]:
    """Give the ends of an axis that just holds some ratios and 1, and its ticks."""
    shown = [1.0, *ratios]
    low, high = min(shown) / _BESIDE, max(shown) * _BESIDE
    wider = math.sqrt(max(1.0, _LEAST * low / high))
    low, high = low / wider, high * wider
    crowded = high / low > _CROWDED
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    values = [(digit, float(f"{digit}e{power}")) for power in powers for digit in (1, 2, 5)]
    ticks = [Tick(value, times(value), crowded and digit > 1) for digit, value in values if low <= value <= high]
    return low, high, ticks
