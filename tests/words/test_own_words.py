import pytest

from builder.fit.compare.methods import Method
from builder.fit.facemodel.own_results import OwnResult
from builder.words.own_words import other_mask_label, own_result_sentence


@pytest.mark.parametrize(
    ("result", "said"),
    [
        (OwnResult("m", "fit-factor", 64.0), "M: a fit factor of 64."),
        (OwnResult("m", "at-least", 200.0), "M: a fit factor of at least 200."),
        (
            OwnResult("m", "fit-factor", 64.0, method=Method("one-exercise", "optical-counter", "all-sizes")),
            "M: a fit factor of 64 (One exercise, optical counter).",
        ),
        (OwnResult("m", "passed"), "M: passed a fit test."),
        (OwnResult("m", "failed"), "M: failed a fit test."),
        (
            OwnResult("m", "passed", kind="smell"),
            "M: passed a fit test by smell; of the masks that do not reach 100, 11 % pass it all the same.",
        ),
        (
            OwnResult("m", "failed", kind="taste"),
            "M: failed a fit test by taste; of the masks that reach 100, 50 % fail it all the same.",
        ),
        (OwnResult("m", "leaks"), "M: leaks at once, a fit factor below 20."),
    ],
)
def test_what_was_told_is_said_back(result: OwnResult, said: str) -> None:
    assert own_result_sentence("M", result).replace("\u202f", " ") == said


def test_a_mask_by_its_style() -> None:
    assert other_mask_label("cup", "") == "another mask (cup)"
    assert other_mask_label("cup", "ffp2") == "another mask (cup, FFP2)"
