"""What a change did beside its mask as sold, in a few words: for tables that list every configuration."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.words.catalogue import say
from builder.words.comparisons import ratio_label, verdict_words


def change_verdicts(data: Dataset) -> dict[str, str]:
    """Say by configuration what its parts did on the same wearers; none of what was not tried on them."""
    return {
        rung.configuration: say(
            "explore.did", verdict=verdict_words(rung.comparison), ratio=ratio_label(rung.comparison)
        )
        for rungs in data.ladders.values()
        for rung in rungs
        if rung.comparison.same_wearers and rung.comparison.ratio is not None
    }
