"""What one tester's donnings of one mask tell together, where each configuration was donned but once or a few times."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builder.findings.dataset import Dataset
from builder.fit.compare.contrasts import Contrast, told_by
from builder.fit.compare.ladders import Rung
from builder.fit.compare.like_with_like import MethodArm, mean_of
from builder.fit.compare.measured_arms import WornBy
from builder.fit.compare.verdicts import VerdictWord, verdict_by_chance
from builder.fit.levels import PASS_LEVEL

if TYPE_CHECKING:
    from builder.fit.compare.factorial import Factorial

FEWEST_APART, FEWEST_ORDERS = 2, 10
"""Configurations on each side, and ways to choose them, from which on it is worth saying that one side lies above."""
MOST_BY_LUCK = 0.5
"""Where luck alone sets one part or another apart in every second order, that a part is apart is no hint."""
FEWEST_AGAIN, MOST_AGAIN = 2, 5
"""Donnings to add to each of two configurations before looking again: more than that is a plan of its own."""


FaceArms = Mapping[str, Sequence[MethodArm]]
"""The arms of one face by configuration, a method each."""
Tell = Callable[[str, str], Contrast]
"""Tells a configuration from another on one face."""


@dataclass(frozen=True)
class Donned:
    """One configuration on the tester: the geometric mean of its donnings, and whether that is a lower limit."""

    configuration: str
    parts: tuple[str, ...]
    donnings: int
    fit_factor: float
    at_least: bool


@dataclass(frozen=True)
class Parted:
    """A part whose configurations all lie above, or all below, those without it."""

    part: str
    above: bool
    with_it: tuple[Donned, ...]
    without: tuple[Donned, ...]
    by_luck: float
    """How often luck alone sets one part or another of these apart so: more often than any one of them."""

    @property
    def orders(self) -> int:
        """In how many ways luck could choose which of them have the part; in two of these they lie so."""
        return _orders(self.with_it, self.without)


@dataclass(frozen=True)
class PartTold:
    """What the donnings say of one part, the others held equal; without a ratio where they cannot."""

    part: str
    verdict: VerdictWord
    ratio: float | None


@dataclass(frozen=True)
class DonAgain:
    """The two configurations to don again, the lower one first, and how often each."""

    configurations: tuple[str, str]
    times: int


@dataclass(frozen=True)
class WearerRun:
    """The donnings of one mask by one wearer, `donned` from the highest on; at least two configurations."""

    wearer: str
    facial_hair: str
    mask: str
    donned: tuple[Donned, ...]
    parted: Parted | None
    parts: tuple[PartTold, ...]
    reference: Donned | None
    """The best configuration of another mask that reached 100 on this face, where none of these did."""
    again: DonAgain

    @property
    def reached(self) -> tuple[Donned, ...]:
        """Those that reached 100."""
        return tuple(one for one in self.donned if one.fit_factor >= PASS_LEVEL)

    @property
    def single(self) -> bool:
        """Whether no configuration was donned twice."""
        return all(one.donnings == 1 for one in self.donned)


def wearer_runs(
    data: Dataset, mask: str, wearer: str = "", *, rungs: Sequence[Rung] = (), most: int | None = None
) -> tuple[WearerRun, ...]:
    """Give the runs of a mask, all or those of one wearer: those of most configurations first, then by wearer.

    `rungs` are its changes beside it as sold, where these are at hand; `most` is how many runs are asked for.
    """
    tried: dict[WornBy, dict[str, Sequence[MethodArm]]] = {}
    for row in data.summary_by_mask.get(mask, []):
        configuration = row["configuration"]
        for face, arms in data.measured_arms.by_configuration.get(configuration, {}).items():
            if wearer in ("", face.wearer):
                tried.setdefault(face, {})[configuration] = arms
    several = [(face, own) for face, own in sorted(tried.items()) if len(own) > 1]
    several.sort(key=lambda one: -len(one[1]))
    known = {
        (rung.configuration, WornBy(found.wearer, found.facial_hair)): found
        for rung in rungs
        for found in rung.alone.wearers
    }

    def run(face: WornBy, arms: FaceArms) -> WearerRun:
        def tell(a: str, b: str) -> Contrast:
            told = known.get((b, face)) if a == mask else None
            return told or _contrast(data, face, arms, a, b)

        return _run(data, face, mask, arms, tell)

    return tuple(run(face, own) for face, own in several[:most])


def _run(data: Dataset, face: WornBy, mask: str, arms: FaceArms, tell: Tell) -> WearerRun:
    donned = tuple(sorted(_all_donned(arms), key=lambda one: (-one.fit_factor, one.configuration)))
    parted = set_apart(donned)
    missed = all(one.fit_factor < PASS_LEVEL for one in donned)
    return WearerRun(
        face.wearer,
        face.facial_hair,
        mask,
        donned,
        parted,
        _parts(data, face, mask, donned, tell),
        _reference(data, face, mask) if missed else None,
        _again(donned, parted, tell),
    )


def _all_donned(arms: FaceArms) -> list[Donned]:
    return [
        Donned(
            configuration,
            tuple(configuration.split("+")[1:]),
            sum(arm.donnings for arm in own),
            round(math.exp(mean_of(own)), 9),
            not all(arm.exact for arm in own),
        )
        for configuration, own in arms.items()
    ]


def set_apart(donned: tuple[Donned, ...]) -> Parted | None:
    """Find the part that sets the donnings furthest apart; None where luck would do as much every second time."""
    sides = {
        part: both for part in sorted({part for one in donned for part in one.parts}) if (both := _sides(donned, part))
    }
    by_luck = some_side_leads([{one.configuration for one in side} for both in sides.values() for side in both])
    found: list[tuple[float, Parted]] = []
    for part, (with_it, without) in sides.items():
        for above, high, low in ((True, with_it, without), (False, without, with_it)):
            # A lower limit may lie anywhere above itself: it can only be among the higher ones.
            gap = min(one.fit_factor for one in high) / max(one.fit_factor for one in low)
            if gap > 1 and not any(one.at_least for one in low):
                found.append((gap, Parted(part, above, with_it, without, by_luck)))
    return max(found, key=lambda one: one[0])[1] if found and by_luck < MOST_BY_LUCK else None


def _sides(donned: tuple[Donned, ...], part: str) -> tuple[tuple[Donned, ...], tuple[Donned, ...]] | None:
    """Give the configurations with a part and those without; None where too few could be set apart."""
    with_it = tuple(one for one in donned if part in one.parts)
    without = tuple(one for one in donned if part not in one.parts)
    fewest = min(len(with_it), len(without))
    return (with_it, without) if fewest >= FEWEST_APART and _orders(with_it, without) >= FEWEST_ORDERS else None


def some_side_leads(sides: Iterable[Collection[str]]) -> float:
    """Give the chance that in a random order of all that the sides hold, one side or another takes the first places.

    Orders are counted by the smallest side that leads; each larger one only without those that a smaller one leads.
    """
    by_size = sorted({frozenset(side) for side in sides}, key=len)
    n = len(frozenset[str]().union(*by_size))
    first: dict[frozenset[str], int] = {}
    for side in by_size:
        led = sum(orders * math.factorial(len(side) - len(less)) for less, orders in first.items() if less < side)
        first[side] = math.factorial(len(side)) - led
    return sum(orders * math.factorial(n - len(side)) for side, orders in first.items()) / math.factorial(n)


def _orders(with_it: Sequence[Donned], without: Sequence[Donned]) -> int:
    return math.comb(len(with_it) + len(without), len(with_it))


def _parts(data: Dataset, face: WornBy, mask: str, donned: tuple[Donned, ...], tell: Tell) -> tuple[PartTold, ...]:
    """Judge each part, all else equal: by the factorial where parts were tried together, or beside the mask as sold."""
    factorial = next((one for one in data.factorials.get(mask, ()) if (one.wearer, one.facial_hair) == face), None)
    parts = sorted({part for one in donned for part in one.parts})
    tried = {one.configuration for one in donned}
    return tuple(
        _by_factorial(factorial, part) if factorial else _beside_sold(tried, mask, part, tell) for part in parts
    )


def _by_factorial(factorial: Factorial, part: str) -> PartTold:
    effect = next((one.effect for one in factorial.effects if one.part == part and not one.against), None)
    if effect is None:
        return PartTold(part, "cannot-tell", None)
    return PartTold(part, verdict_by_chance(effect.p_value) or "cannot-tell", effect.ratio)


def _beside_sold(tried: Collection[str], mask: str, part: str, tell: Tell) -> PartTold:
    changed = f"{mask}+{part}"
    if mask not in tried or changed not in tried:
        return PartTold(part, "cannot-tell", None)
    found = tell(mask, changed)
    return PartTold(part, found.verdict, found.ratio)


def _contrast(data: Dataset, face: WornBy, arms: FaceArms, a: str, b: str) -> Contrast:
    measured = data.measured_arms
    told = told_by(
        arms[a], arms[b], measured.scatter, measured.effects, wearer=face.wearer, facial_hair=face.facial_hair
    )
    return told.contrast


def _reference(data: Dataset, face: WornBy, mask: str) -> Donned | None:
    own = _all_donned(data.measured_arms.by_face[face])
    passed = [one for one in own if one.fit_factor >= PASS_LEVEL and one.configuration.partition("+")[0] != mask]
    return max(passed, key=lambda one: (one.fit_factor, one.configuration), default=None)


def _again(donned: tuple[Donned, ...], parted: Parted | None, tell: Tell) -> DonAgain:
    """Choose what to don again: the highest, and what it is to be told from, the mask as sold where that was donned."""
    high = donned[0]
    rest = [one for one in donned[1:] if parted is None or (parted.part in one.parts) != (parted.part in high.parts)]
    low = next((one for one in rest if not one.parts), rest[-1])
    found = tell(low.configuration, high.configuration)
    return DonAgain((low.configuration, high.configuration), times_again(found.donnings_for_seen))


def times_again(needed: int | None) -> int:
    """Say how often to don each of two again before looking anew, where so many more would tell them apart."""
    return min(MOST_AGAIN, max(FEWEST_AGAIN, needed or 0))
