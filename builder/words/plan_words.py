"""Sentences about a planned run: what it can tell, what it cannot tell apart, what a drift would do to it."""

from __future__ import annotations

from collections.abc import Sequence

from builder.findings.dataset import Dataset
from builder.fit.levels import MOST_PLANNED_DONNINGS, PLANNED_LEVEL, WANTED_POWER
from builder.fit.plan.fractions import EffectParts
from builder.fit.plan.planned_run import RunOutlook
from builder.words.labels import part_label
from builder.words.numbers import level, plural, times

DRIFT_PERCENT = 2
"""The drift a donning that the sentence shows the consequences of: an example, no published source."""


def basis_sentence(data: Dataset, found: RunOutlook) -> str:
    """Say what the sentences on what can be told rest on."""
    scatter = data.scatter
    basis = (
        "a planning value, for there are too few repeats in the entries"
        if scatter.planned
        else f"from {plural(scatter.arms, 'set')} of repeats in the entries"
    )
    held_to = f"{level(WANTED_POWER)} power at {level(PLANNED_LEVEL)} confidence"
    return f"With {held_to}, at a scatter between donnings of GSD {found.gsd:.2f} ({basis}):"


def telling_sentences(data: Dataset, found: RunOutlook) -> tuple[str, ...]:
    """Say what each part's effect and what two configurations must differ by to be told."""
    parts = (
        f"{part_label(data, part.part)}: {_least(part.smallest_ratio)}, from {plural(part.donnings, 'donning')} "
        f"with it and {part.donnings} as sold in that place. {_doubling(part.doubling_donnings)}"
        for part in found.parts
    )
    return (
        *parts,
        f"Two configurations against each other: {_least(found.pair_ratio)}. {_doubling(found.pair_doubling_donnings)}",
    )


def cannot_tell_sentences(data: Dataset, groups: Sequence[Sequence[EffectParts]]) -> tuple[str, ...]:
    """Say which effects are one and the same in these configurations."""
    apart = tuple("; or ".join(_effect(data, effect) for effect in group) for group in groups)
    return (*apart, "What three parts do together beyond that is taken for nothing.") if apart else ()


def drift_sentence(data: Dataset, found: RunOutlook, donnings: int) -> str:
    """Say what a steady drift, of a battery or of the aerosol, would do to the effects; `donnings` of each."""
    shifted = [part for part in found.parts if abs(part.drift) > 1e-9]
    if not shifted:
        return "A steady drift cancels out of every part's effect, for each repeat runs in the other direction."
    factors = (f"{times((1 + DRIFT_PERCENT / 100) ** part.drift)} in {part_label(data, part.part)}" for part in shifted)
    better = " An even number of repeats makes up for more of it." if donnings % 2 else ""
    return (
        f"A steady drift of {DRIFT_PERCENT} % a donning would look like {', '.join(factors)}. "
        f"The first and last donning of a configuration show whether readings drift.{better}"
    )


def hours(minutes: int) -> str:
    """Print a time: "45 min", "2 h 5 min"."""
    whole, rest = divmod(minutes, 60)
    return " ".join(
        text for text in (f"{whole} h" if whole else "", f"{rest} min" if rest or not whole else "") if text
    )


def _least(ratio: float | None) -> str:
    return "no ratio, however large" if ratio is None else f"{times(ratio)} or more"


def _doubling(donnings: int | None) -> str:
    if donnings is None:
        return f"A doubling would take more than {MOST_PLANNED_DONNINGS} donnings of each configuration."
    return f"For a doubling: {plural(donnings, 'donning')} of each configuration."


def _effect(data: Dataset, effect: EffectParts) -> str:
    if len(effect) == 1:
        return f"what {part_label(data, effect[0])} does"
    return f"what {' and '.join(part_label(data, part) for part in effect)} do together beyond the two alone"
