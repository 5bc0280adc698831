"""What chances rest on, and why there are none, in plain sentences."""

from __future__ import annotations

from builder.findings.advice import Advice
from builder.findings.dataset import Dataset
from builder.findings.forecast import NoModel
from builder.fit.levels import NEAR_MM

OUTSIDE_PANEL = (
    "The panel has no cell for such a face, so nothing is predicted for it: "
    "this is the list for a face drawn at random from the panel. "
)


def no_model_sentence(why: NoModel) -> str:
    """Say why no chances are predicted."""
    if why.reason == "few-wearers":
        return f"Chances on a new face need tests by at least {why.needed} wearers; there are {why.wearers}."
    if why.reason == "only-limits":
        return "Every reading is “at least”: nothing shows where fit factors end."
    return "On wearers left out the face model predicted no better than plain means of these tests: it is not used."


def why_sentence(data: Dataset, advice: Advice) -> str:
    """Say what a list of what to try rests on."""
    note = OUTSIDE_PANEL if advice.outside_panel else ""
    if advice.basis == "summaries":
        assert data.no_model is not None  # with a model there would be chances
        whose = f"wearers within {NEAR_MM:g} mm of this face" if advice.near_only else "all wearers"
        return (
            f"{note}{no_model_sentence(data.no_model)} "
            f"The list is ranked by what {whose} measured, without chances for a new face."
        )
    assert data.validation is not None  # a model that is used has been checked
    ours, plain = data.validation.model.brier, data.validation.configuration_mean.brier
    whose = f"Given what {advice.wearer} has tested. " if advice.wearer else ""
    return (
        f"{note}{whose}Chances are predicted by the face model, which on wearers left out did better than each "
        f"configuration's own mean (Brier score {ours:.3f} against {plain:.3f}; lower is better)."
    )


def list_check(data: Dataset) -> str:
    """Say how lists of three did on wearers left out; "" where nobody has tried three."""
    if data.validation is None or not data.validation.first_three.wearers:
        return ""
    three = data.validation.first_three
    passed = round(three.came_true * three.wearers)
    return (
        f"Checked on {three.wearers} wearers left out of the prediction: their lists of three claimed "
        f"{three.claimed:.0%} on average, and {passed} of {three.wearers} had a pass in theirs.".replace("%", "\u202f%")
    )
