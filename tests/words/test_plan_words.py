"""What a planned run can tell, in words."""

from __future__ import annotations

import pytest

from builder.findings.dataset import Dataset
from builder.fit.plan.planned_run import PartOutlook, RunOutlook
from builder.words.plan_words import drift_sentence

SHOWS = "The first and last donning of a configuration show whether readings drift."


def drifting(*parts: tuple[str, str, float]) -> RunOutlook:
    """An outlook on parts, each with the steps of drift that would be taken for its effect."""
    outlooks = tuple(PartOutlook(slot, part, 4, 2.0, 3, drift) for slot, part, drift in parts)
    return RunOutlook(gsd=1.5, df=20.0, parts=outlooks, pair_ratio=3.0, pair_doubling_donnings=9)


@pytest.mark.parametrize(
    ("donnings", "more"), [(2, ""), (3, " An even number of repeats makes up for more of it."), (4, "")]
)
def test_a_drift_of_two_percent_a_donning_multiplies(demo: Dataset, donnings: int, more: str) -> None:
    """1.02⁴ is 1.082, and 1.02⁻¹⁰ is 0.820; what no drift reaches is left out."""
    found = drifting(("edge", "edge-tape", 4), ("straps", "crossed-band", -10), ("nose_foam", "foam-strip", 0))
    assert drift_sentence(demo, found, donnings) == (
        "A steady drift of 2 % a donning would look like ×1.08 in Paper tape around the rim, "
        f"×0.82 in Crossed band behind the head. {SHOWS}{more}"
    )


def test_a_drift_that_cancels_is_said_to(demo: Dataset) -> None:
    assert drift_sentence(demo, drifting(("edge", "edge-tape", 1e-12)), 3) == (
        "A steady drift cancels out of every part's effect, for each repeat runs in the other direction."
    )
