"""What a part does, in sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.findings.dataset import Dataset
from builder.fit.compare.hack_effects import HackEffect
from builder.fit.compare.pooling import Heterogeneity
from builder.words.chances import in_people
from builder.words.effects import effect_sentence, expectation_sentence, heterogeneity_words, method_text


def test_what_to_expect_of_a_part_on_a_new_face(demo: Dataset) -> None:
    assert expectation_sentence(demo.hacks["broad-strip"]) == (
        "On a new face expect ×0.836 to ×3.62 with one of these 3 masks, and ×0.635 to ×4.56 with a mask that nobody "
        "tried it on (95 %); of new faces it helps more than 9 of 10, and about 9 of 10 with such a mask. "
        "The effect may differ between faces or not: too few to say; its SD between faces is ×1.03 to ×1.76 (95 %)."
    )


@pytest.mark.parametrize("chance", [0.0, 0.04, 0.05, 0.125, 0.5, 0.95, 0.97, 0.99])
def test_a_chance_is_worded_as_everywhere(demo: Dataset, chance: float) -> None:
    effect = demo.hacks["broad-strip"]
    said = expectation_sentence(replace(effect, chance_helps=chance, chance_helps_new_mask=chance))
    assert f"of new faces it helps {in_people(chance)}. The" in said
    said = expectation_sentence(replace(effect, chance_helps=chance, chance_helps_new_mask=0.3))
    assert f"of new faces it helps {in_people(chance)}, and about 3 of 10 with such a mask. The" in said


def test_one_mask_is_this_one(demo: Dataset) -> None:
    effect = demo.hacks["broad-strip"]
    first = effect.contrasts[0].mask
    of_one = tuple(one for one in effect.contrasts if one.mask == first)
    assert " with this mask, and " in expectation_sentence(replace(effect, contrasts=of_one))


def test_limits_are_said_beside_a_mean(demo: Dataset) -> None:
    effect = demo.hacks["broad-strip"]
    exact, limit = effect.exact, replace(effect.exact[0], bound="at_least", wearer="another", mask="another")
    unknown = replace(limit, bound="both", ratio=None)

    def said(limits: int, unknowns: int) -> str:
        contrasts = (*exact, *[limit] * limits, *[unknown] * unknowns)
        whole = effect_sentence(replace(effect, contrasts=contrasts, limits=limits))
        start, _, rest = whole.partition(" masks.")
        # Who only gives a limit is not among those counted.
        assert start == "on average ×1.74 (95 % ×1.08 to ×2.68), over 13 comparisons on 8 faces and 3"
        return rest.strip()

    assert said(0, 0) == ""
    assert said(1, 0) == "1 more comparison only gives a limit, and is pooled as one."
    assert said(3, 1) == (
        "3 more comparisons only give a limit, and are pooled as such. "
        "1 more comparison cannot tell: both sides are lower limits."
    )
    assert said(0, 2) == "2 more comparisons cannot tell: both sides are lower limits."


def test_limits_alone(demo: Dataset) -> None:
    effect = demo.hacks["broad-strip"]
    limit = replace(effect.exact[0], bound="at_least", high95=None)
    unknown = replace(limit, bound="both", ratio=None)
    one = HackEffect("broad-strip", "nose_wire", (limit,), 0, 1)
    assert effect_sentence(one) == "only a limit is known, from 1 comparison on 1 face."
    open_mean = replace(one, contrasts=(limit, limit), limits=2, tau=0.3, low95=2.0, bound="at_least")
    assert effect_sentence(open_mean) == (
        "on average ×2 or more (95 %), over 2 comparisons on 1 face and 1 mask that only give a limit."
    )
    nothing = replace(one, contrasts=(unknown, unknown), limits=0)
    assert effect_sentence(nothing) == "nothing can be told from 2 comparisons on 1 face: both sides are lower limits."


def test_methods_are_said(demo: Dataset) -> None:
    effect = demo.hacks["crossed-band"]
    mixed = replace(effect.contrasts[0], method="mixed", method_factor=1.4)
    assert method_text(effect.contrasts[0]) == ""
    assert method_text(mixed) == "with and without measured differently: ×1.4 taken out"
    assert effect_sentence(replace(effect, contrasts=(mixed, *effect.contrasts[1:]))).endswith(
        " In 1 of these comparisons the two sides were measured differently; what such methods differ by is taken out."
    )


def test_without_a_comparison_nothing_is_known(demo: Dataset) -> None:
    untried = replace(demo.hacks["broad-strip"], contrasts=())
    says = "nobody has tried it with and without on the same face, so its effect is not known."
    assert effect_sentence(untried) == says


@pytest.mark.parametrize(
    ("judged", "said"),
    [
        ("alike", "is much the same on every face"),
        ("differs", "differs between faces"),
        ("widely", "differs widely between faces"),
        ("open", "may differ between faces or not: too few to say"),
        (None, None),
    ],
)
def test_how_much_an_effect_differs_between_faces(
    demo: Dataset, judged: Heterogeneity | None, said: str | None
) -> None:
    assert heterogeneity_words(replace(demo.hacks["broad-strip"], heterogeneity=judged)) == said
