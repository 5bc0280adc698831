"""What a reader told of masks on their own face, said back to them."""

from __future__ import annotations

from builder.fit.facemodel.own_results import FIT_TEST_KINDS, OwnResult
from builder.records.vocabulary import MaskClass, Style
from builder.words.catalogue import say
from builder.words.labels import method_label
from builder.words.numbers import figure, level
from builder.words.vocabulary_words import label, within


def other_mask_label(style: str, mask_class: str) -> str:
    """Name a mask that the entries do not have: by its style, and its class where that is known."""
    name = within(Style(style))
    if mask_class:
        return say("own.other_mask_of_class", style=name, mask_class=label(MaskClass(mask_class)))
    return say("own.other_mask", style=name)


def own_result_sentence(mask: str, result: OwnResult) -> str:
    """Say what came out with a mask, and how far such an answer can be trusted."""
    if result.outcome in ("fit-factor", "at-least"):
        exact = result.outcome == "fit-factor"
        said = say("own.fit_factor" if exact else "own.at_least", mask=mask, figure=figure(result.fit_factor))
        if result.method is None:
            return said
        how = method_label(result.method.protocol, result.method.instrument)
        return say("own.measured", said=said.removesuffix("."), how=how) + "."
    if result.outcome == "leaks":
        return say("own.leaks", mask=mask)
    test, passed = FIT_TEST_KINDS[result.kind], result.outcome == "passed"
    wrong = test.wrong_passes if passed else test.wrong_fails
    if not wrong:
        return say("own.passed" if passed else "own.failed", mask=mask)
    kind = say(f"own.kind.{result.kind}")
    return say("own.passed_by" if passed else "own.failed_by", mask=mask, kind=kind, wrong=level(wrong))
