"""What charts say in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.fit.compare.hack_effects import HackEffect
from builder.words.chart_words import (
    donnings_description,
    effects_description,
    left_out,
)

ROW = {"median_fit_factor": 44.61, "median_at_least": True, "tests": 1, "wearers": 1}


def test_donnings() -> None:
    assert donnings_description([("as sold", ROW), ("wire", {**ROW, "median_at_least": False, "tests": 3})]) == (
        "On a logarithmic scale with a line at 100. As sold: median ≥\u202f44.6, 1 donning, 1 wearer; "
        "wire: median 44.6, 3 donnings, 1 wearer. The table below holds the figures."
    )


@pytest.mark.parametrize(
    ("crowded", "has_threads", "said"),
    [
        (False, True, ""),
        (False, False, "Wearers are too many to join their dots: only those of a wearer who is lit are."),
        (
            True,
            True,
            "Rows of many donnings show where these lie: the higher, the more; the line is the middle half.",
        ),
        (
            True,
            False,
            "Rows of many donnings show where these lie: the higher, the more; the line is the middle half. "
            "Wearers are too many to join their dots: only those of a wearer who is lit are.",
        ),
    ],
)
def test_what_a_still_picture_leaves_out(crowded: bool, has_threads: bool, said: str) -> None:
    assert left_out(crowded, has_threads) == said


def test_effects() -> None:
    bare = HackEffect("foam", "nose-foam", (), 0, 0)
    assert effects_description(bare, 1) == (
        "1 ratio of the fit factor with it to that without it, with 95 % intervals, on a logarithmic scale. "
        "The table below holds the figures."
    )
    pooled = HackEffect("foam", "nose-foam", (), 2, 0, 1.5, 1.1, 2.0, 0.8, 3.0)
    pooled = replace(pooled, predict_new_mask_low95=0.5, predict_new_mask_high95=4.0)
    assert effects_description(pooled, 2) == (
        "2 ratios of the fit factor with it to that without it, on a logarithmic scale. Mean ×1.5, 95 % interval "
        "×1.1 to ×2; on a new face ×0.8 to ×3 with these masks, ×0.5 to ×4 with another. "
        "The table below holds the figures."
    )
