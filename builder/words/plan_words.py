"""Sentences about a planned run: what it can tell, what it cannot tell apart, what a drift would do to it."""

from __future__ import annotations

from collections.abc import Sequence

from builder.findings.dataset import Dataset
from builder.fit.plan.fractions import EffectParts
from builder.fit.plan.planned_run import RunOutlook
from builder.words.catalogue import count, language, say
from builder.words.labels import part_label
from builder.words.numbers import between, times

DRIFT_PERCENT = 2
"""The drift a donning that the sentence shows the consequences of: an example, no published source."""


def basis_sentence(data: Dataset, found: RunOutlook) -> str:
    """Say what the sentences on what can be told rest on."""
    scatter = data.scatter
    repeats = say("plan.basis_repeats", sets=count("set", scatter.arms))
    basis = say("plan.basis_planned") if scatter.planned else repeats
    return say("plan.basis", gsd=f"{found.gsd:.2f}".replace(".", language().number.point), basis=basis)


def telling_sentences(data: Dataset, found: RunOutlook) -> tuple[str, ...]:
    """Say what each part's effect and what two configurations must differ by to be told."""
    parts = (
        say(
            "plan.part",
            part=part_label(data, part.part),
            least=_least(part.smallest_ratio),
            donnings=count("donning", part.donnings),
            others=part.donnings,
            doubling=_doubling(part.doubling_donnings),
        )
        for part in found.parts
    )
    pair = say("plan.pair", least=_least(found.pair_ratio), doubling=_doubling(found.pair_doubling_donnings))
    return (*parts, pair)


def cannot_tell_sentences(data: Dataset, groups: Sequence[Sequence[EffectParts]]) -> tuple[str, ...]:
    """Say which effects are one and the same in these configurations."""
    apart = tuple(say("plan.or").join(_effect(data, effect) for effect in group) for group in groups)
    return (*apart, say("plan.three_parts")) if apart else ()


def drift_sentence(data: Dataset, found: RunOutlook, donnings: int) -> str:
    """Say what a steady drift, of a battery or of the aerosol, would do to the effects; `donnings` of each."""
    shifted = [part for part in found.parts if abs(part.drift) > 1e-9]
    if not shifted:
        return say("plan.no_drift")
    factors = (
        say("plan.drift_of", ratio=times((1 + DRIFT_PERCENT / 100) ** part.drift), part=part_label(data, part.part))
        for part in shifted
    )
    said = say("plan.drift", percent=DRIFT_PERCENT, factors=", ".join(factors))
    return f"{said} {say('plan.even_repeats')}" if donnings % 2 else said


def hours(minutes: int) -> str:
    """Print a time: "45 min", "2 h 5 min"."""
    whole, rest = divmod(minutes, 60)
    said = [say("plan.hours", hours=whole)] if whole else []
    if rest or not whole:
        said.append(say("plan.minutes", minutes=rest))
    return " ".join(said)


def _least(ratio: float | None) -> str:
    return say("plan.no_ratio") if ratio is None else between(ratio, None)


def _doubling(donnings: int | None) -> str:
    if donnings is None:
        return say("plan.no_doubling")
    return say("plan.doubling", donnings=count("donning", donnings))


def _effect(data: Dataset, effect: EffectParts) -> str:
    if len(effect) == 1:
        return say("plan.effect", part=part_label(data, effect[0]))
    return say("plan.effect_together", parts=say("label.and").join(part_label(data, part) for part in effect))
