"""What a changed configuration did beside its mask as sold, in a few words: for lists of every configuration."""

from __future__ import annotations

from dataclasses import dataclass

from builder.findings.dataset import Dataset
from builder.words.catalogue import say
from builder.words.comparisons import ratio_label, verdict_words


@dataclass(frozen=True)
class ChangeEffect:
    """What was found on the wearers of both: in words, and the lower limit of the ratio, which lists are sorted by."""

    said: str
    low: float | None


def change_effects(data: Dataset) -> dict[str, ChangeEffect]:
    """Give by configuration what its parts did; none for what was not tried on the same wearers as the mask as sold."""
    return {
        rung.configuration: ChangeEffect(
            say("explorer.did", ratio=ratio_label(rung.comparison), verdict=verdict_words(rung.comparison)),
            rung.comparison.low90,
        )
        for rungs in data.ladders.values()
        for rung in rungs
        if rung.comparison.same_wearers and rung.comparison.ratio is not None
    }
