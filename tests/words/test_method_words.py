"""How methods are named and what is said where figures mix them."""

from __future__ import annotations

from builder.findings.methods_used import MethodsUsed, MethodUsed
from builder.fit.compare.methods import Method
from builder.words.method_words import (
    any_choice,
    compared_note,
    method_choice,
    method_name,
    methods_sentence,
    mixed_note,
    narrowed_sentence,
    whole_note,
)

OPTICAL = MethodUsed(Method("one-exercise", "optical-counter", "all-sizes"), 1, 1)
UNTOLD = MethodUsed(Method("one-exercise", "", ""), 1200, 14)


def test_a_method_is_named_by_the_words_of_the_entries() -> None:
    assert method_name(OPTICAL.method) == "One exercise · Optical counter · All sizes"
    assert method_name(UNTOLD.method) == "One exercise · not told · not told"
    assert method_choice(UNTOLD) == "One exercise · not told · not told (1\u202f200 tests, 14 wearers)"


def test_figures_say_which_methods_they_are_of() -> None:
    assert methods_sentence(MethodsUsed((), 0)) == ""
    assert methods_sentence(MethodsUsed((OPTICAL,), 1)) == (
        "All measured by one method: One exercise · Optical counter · All sizes."
    )
    assert methods_sentence(MethodsUsed((UNTOLD, OPTICAL), 15)) == (
        "Measured in 2 ways, mixed in these figures, on 15 wearers."
    )
    assert narrowed_sentence(OPTICAL) == (
        "Only what was measured by One exercise · Optical counter · All sizes: 1 test on 1 wearer."
    )


def test_what_stands_beside_lists_is_only_said_where_methods_are_mixed() -> None:
    mixed, one = MethodsUsed((UNTOLD, OPTICAL), 15), MethodsUsed((OPTICAL,), 1)
    assert any_choice(mixed) == "any way (1\u202f201 tests, 15 wearers)"
    assert mixed_note(mixed) == "2 methods of measuring are mixed here."
    assert whole_note(mixed) == "Of all methods, also where the figures above are narrowed to one."
    assert compared_note(mixed) == (
        "Tests were measured in 2 ways: wearers are compared by the same one where they can be, "
        "and elsewhere what methods differ by is taken out."
    )
    assert [mixed_note(one), whole_note(one), compared_note(one)] == ["", "", ""]
