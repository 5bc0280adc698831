"""From a ratio with its uncertainty to a verdict in one word."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from builder.fit.arrays import FloatArray
from builder.fit.intervals import Interval
from builder.fit.levels import ALIKE_RATIO, CLEAR_LEVEL, LIKELY_LEVEL, beyond

Bound = Literal["none", "at_least", "at_most", "both"]
"""Whether a ratio of B to A is a value, or only a limit because B (at least), A (at most) or both were limits."""

VerdictWord = Literal["clear", "likely", "alike", "cannot-tell"]
Direction = Literal["b-higher", "a-higher", "none"]

_ALIKE = float(np.log(ALIKE_RATIO))


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """Ratio of the geometric mean fit factors, B over A, and what can be said of it.

    A limit is None where nothing bounds the ratio on that side; the ratio itself is None where both sides are limits.
    `p_value` is two-sided, adjusted where the verdict is one of a list of `comparisons`. `donnings_needed` says how
    many more on each side would tell a doubling, where the verdict is "cannot-tell" and donnings would help;
    `donnings_for_seen` says the same of a ratio as large as the one found.
    """

    ratio: float | None
    low90: float | None
    high90: float | None
    low99: float | None
    high99: float | None
    bound: Bound
    p_value: float
    verdict: VerdictWord
    direction: Direction
    donnings_needed: int | None = None
    donnings_for_seen: int | None = None
    comparisons: int = 1


Judged = TypeVar("Judged", bound=Judgement)


def judge(difference: float, interval: Callable[[float], Interval], p_value: float, bound: Bound) -> Judgement:
    """Judge a difference of ln FF, B − A, by its intervals (as a function of the level) and two-sided p-value.

    Where a side holds "at least" readings, `difference` takes them at their limits: it is then itself a limit, the
    interval is open beyond it, and the verdict can only be in the direction that the limit proves.
    """
    if bound == "both":
        return UNKNOWN
    if (bound == "at_least" and difference < 0) or (bound == "at_most" and difference > 0):
        p_value = 1.0
    at90, at99 = interval(LIKELY_LEVEL), interval(CLEAR_LEVEL)
    alike = bound == "none" and at90.low >= -_ALIKE and at90.high <= _ALIKE
    verdict = verdict_by_chance(p_value) or ("alike" if alike else "cannot-tell")
    higher: Direction = "b-higher" if difference > 0 else "a-higher"
    return Judgement(
        ratio=float(np.exp(difference)),
        low90=None if bound == "at_most" else float(np.exp(at90.low)),
        high90=None if bound == "at_least" else float(np.exp(at90.high)),
        low99=None if bound == "at_most" else float(np.exp(at99.low)),
        high99=None if bound == "at_least" else float(np.exp(at99.high)),
        bound=bound,
        p_value=p_value,
        verdict=verdict,
        direction=higher if verdict in ("clear", "likely") else "none",
    )


def verdict_by_chance(p_value: float) -> Literal["clear", "likely"] | None:
    """Give the verdict that a two-sided p-value allows; None where it tells nothing."""
    if p_value >= beyond(LIKELY_LEVEL):
        return None
    return "clear" if p_value < beyond(CLEAR_LEVEL) else "likely"


UNKNOWN = Judgement(
    ratio=None,
    low90=None,
    high90=None,
    low99=None,
    high99=None,
    bound="both",
    p_value=1.0,
    verdict="cannot-tell",
    direction="none",
)
"""Nothing is known of the ratio: both sides are limits."""


def verdicts_in_list(judged: Sequence[Judged]) -> tuple[Judged, ...]:
    """The same comparisons as one list: Holm's adjustment before "clear", and how many the list holds.

    "likely" and "alike" stay as they are, for adjusted a list of ten would miss two true doublings of three that it
    now finds (simulated, methods page); a "clear" that does not survive becomes "likely".
    """
    adjusted = holm([item.p_value for item in judged])
    return tuple(
        replace(
            item,
            p_value=float(p),
            verdict="likely" if item.verdict == "clear" and p >= beyond(CLEAR_LEVEL) else item.verdict,
            comparisons=len(judged),
        )
        for item, p in zip(judged, adjusted, strict=True)
    )


def holm(p_values: ArrayLike) -> FloatArray:
    """Holm's adjusted p-values, in the order given (Scand. J. Stat. 1979;6:65–70)."""
    p = np.asarray(p_values, dtype=np.float64)
    order = np.argsort(p, kind="stable")
    adjusted = np.empty_like(p)
    adjusted[order] = np.minimum(1.0, np.maximum.accumulate(p[order] * np.arange(len(p), 0, -1)))
    return adjusted
