"""What a part does, in sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.findings.dataset import Dataset
from builder.words.chances import chance_text
from builder.words.effects import effect_sentence, expectation_sentence


def test_what_to_expect_of_a_part_on_a_new_face(demo: Dataset) -> None:
    assert expectation_sentence(demo.hacks["broad-strip"]) == (
        "On a new face expect ×0.682 to ×3.62 (95 %); the chance that it helps at all is about 90 %. "
        "The effect differs somewhat between faces."
    )


@pytest.mark.parametrize("chance", [0.0, 0.04, 0.05, 0.125, 0.5, 0.95, 0.97, 0.99])
def test_a_chance_is_worded_as_everywhere(demo: Dataset, chance: float) -> None:
    said = expectation_sentence(replace(demo.hacks["broad-strip"], chance_helps=chance))
    assert f"helps at all is {chance_text(chance)}. The" in said


def test_limits_are_said_beside_a_mean(demo: Dataset) -> None:
    effect = demo.hacks["broad-strip"]
    assert effect_sentence(replace(effect, limits=0)).endswith(" masks.")
    assert effect_sentence(replace(effect, limits=1)).endswith(" masks. 1 more comparison only gives a limit.")
    assert effect_sentence(replace(effect, limits=3)).endswith(" masks. 3 more comparisons only give a limit.")


def test_without_a_comparison_nothing_is_known(demo: Dataset) -> None:
    untried = replace(demo.hacks["broad-strip"], contrasts=())
    says = "nobody has tried it with and without on the same face, so its effect is not known."
    assert effect_sentence(untried) == says
