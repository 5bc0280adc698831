"""Which combinations to test, and what a half of them cannot tell apart."""

from __future__ import annotations

import pytest

from builder.fit.plan.fractions import Factor, aliases, configurations

A, B, C, D = (Factor(name.lower(), (name,)) for name in "ABCD")
MIXED = Factor("m", ("M1", "M2"))


def test_everything() -> None:
    assert configurations([A, MIXED]) == (
        ("", ""), ("", "M1"), ("", "M2"), ("A", ""), ("A", "M1"), ("A", "M2"),
    )  # fmt: skip
    assert aliases([A, B, C], configurations([A, B, C])) == ()
    assert aliases([A, MIXED], configurations([A, MIXED])) == ()


def test_half_of_three() -> None:
    half = configurations([A, B, C], half=True)
    assert half == (("", "", ""), ("", "B", "C"), ("A", "", "C"), ("A", "B", ""))
    assert aliases([A, B, C], half) == ((("A",), ("B", "C")), (("B",), ("A", "C")), (("C",), ("A", "B")))


def test_half_of_four_keeps_main_effects_clear() -> None:
    groups = aliases([A, B, C, D], configurations([A, B, C, D], half=True))
    assert groups == ((("A", "B"), ("C", "D")), (("A", "C"), ("B", "D")), (("A", "D"), ("B", "C")))


def test_half_beside_a_slot_of_several_parts() -> None:
    factors = [A, B, MIXED, C]
    half = configurations(factors, half=True)
    assert len(half) == 12
    assert {sum(part in "ABC" for part in chosen if part) % 2 for chosen in half} == {0}
    assert aliases(factors, half) == ((("A",), ("B", "C")), (("B",), ("A", "C")), (("C",), ("A", "B")))


@pytest.mark.parametrize("factors", [[A], [A, B], [A, B, MIXED], [MIXED, MIXED]])
def test_too_few_to_halve(factors: list[Factor]) -> None:
    with pytest.raises(ValueError, match="at least 3 slots with one part each"):
        configurations(factors, half=True)
