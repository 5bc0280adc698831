"""Part of a factorial: which part of a change did it."""

import math
from collections.abc import Mapping

import numpy as np
import pandas as pd
import pytest

from builder.fit.compare.factorial import Factorial, all_factorials, clear_interactions, factorial_of
from builder.fit.compare.interactions import INTERACTION_SD
from builder.fit.compare.measured_arms import arm_parts
from builder.fit.compare.nested_scatter import NestedScatter
from tests.fit.tables import SLOTS, Row, measured, scatter_of_all, tidy

SCATTER = scatter_of_all(0.04)


def rows(fits: Mapping[str, float], *, twice: bool = False) -> list[Row]:
    return [(f"m{parts}", "ann", fit) for parts, fit in fits.items() for _ in range(1 + twice)]


def factorial(table: pd.DataFrame, scatter: NestedScatter) -> Factorial:
    return factorial_of(arm_parts(table, SLOTS), measured(table, scatter), SLOTS)


def factorials(table: pd.DataFrame) -> tuple[Factorial, ...]:
    return all_factorials(table, measured(table, SCATTER), SLOTS)


def test_one_part_at_a_time_widens_for_the_combination() -> None:
    found = factorial(tidy(rows({"": 20, "+straps-a": 40, "+edge-tape": 30})), SCATTER)
    assert not found.complete
    assert [(e.slot, e.part, e.against) for e in found.effects] == [
        ("straps", "straps-a", ""),
        ("edge", "edge-tape", ""),
    ]
    straps = found.effects[0].effect
    assert straps is not None
    assert straps.ratio == pytest.approx(2)
    se = math.sqrt(2 * (0.04 + INTERACTION_SD**2))
    assert straps.high95 == pytest.approx(2 * math.exp(1.959964 * se), rel=1e-3)
    assert found.interactions == ()


def test_complete_grid_averages_over_the_rest() -> None:
    fits = {"": 20, "+straps-a": 40, "+edge-tape": 30, "+straps-a+edge-tape": 120}
    found = factorial(tidy([*rows(fits), ("m", "ann", 20)]), SCATTER)
    straps = found.effects[0].effect
    assert found.complete
    assert straps is not None
    # Each arm weighs the same, however often it was repeated: (×2 · ×4)^½.
    assert straps.ratio == pytest.approx(math.sqrt(8))
    se = math.sqrt(0.04 * 3.5) / 2
    assert straps.high95 == pytest.approx(math.sqrt(8) * math.exp(1.959964 * se), rel=1e-3)


def kept_of(interaction: float, variance: float) -> float:
    """How much is kept of an interaction in a grid of four arms of this variance each, averaged over their SD."""
    steps = np.linspace(-1.5, 1.5, 5)
    arm = (INTERACTION_SD * np.exp(0.5 * steps)) ** 2 / 2
    shares = np.exp(-0.5 * steps**2 - 0.5 * interaction**2 / (4 * (arm + variance))) / np.sqrt(arm + variance)
    return float(shares @ (arm / (arm + variance)) / shares.sum())


def test_interaction_replaces_one_effect_by_two() -> None:
    fits = {"": 20, "+straps-a": 22, "+edge-tape": 30, "+straps-a+edge-tape": 300}
    found = factorial(tidy(rows(fits, twice=True)), SCATTER)
    (interaction,) = found.interactions
    assert (interaction.part, interaction.other) == ("straps-a", "edge-tape")
    plain = (300 / 30) / (22 / 20)
    # Drawn towards nothing by what donnings scatter beside the deviations of arms.
    kept = kept_of(math.log(plain), 0.04 / 2)
    assert interaction.effect.ratio == pytest.approx(plain**kept)
    assert interaction.effect.p_value < 0.05
    told = {(e.part, e.other): (e.apart.ratio, e.together.ratio) for e in found.conditional}
    towards = plain ** ((1 - kept) / 2)
    assert told["straps-a", "edge-tape"] == pytest.approx((1.1 * towards, 10 / towards))
    assert told["edge-tape", "straps-a"] == pytest.approx((1.5 * towards, 300 / 22 / towards))


def test_effects_that_multiply_have_no_conditional_ones() -> None:
    fits = {"": 20, "+straps-a": 40, "+edge-tape": 30, "+straps-a+edge-tape": 61}
    found = factorial(tidy(rows(fits)), SCATTER)
    assert len(found.interactions) == 1
    assert found.conditional == ()


def test_parts_always_changed_together_are_named() -> None:
    fits = {"": 20, "+straps-a+edge-tape": 80, "+nose_wire-w": 30}
    found = factorial(tidy(rows(fits)), SCATTER)
    straps, wire, tape = found.effects
    assert (straps.effect, straps.aliases) == (None, ("edge-tape",))
    assert (tape.effect, tape.aliases) == (None, ("straps-a",))
    assert wire.effect is not None
    assert wire.effect.ratio == pytest.approx(1.5)
    assert wire.aliases == ()


def test_three_options_in_a_slot() -> None:
    fits = {"": 20, "+straps-a": 40, "+straps-b": 60, "+edge-tape": 30, "+straps-b+edge-tape": 90}
    found = factorial(tidy(rows(fits)), SCATTER)
    ratios = [e.effect.ratio for e in found.effects if e.effect is not None]
    assert ratios == pytest.approx([2, 3, 1.5])
    assert [(i.part, i.other) for i in found.interactions] == [("straps-b", "edge-tape")]


def test_own_repeats_moderate_the_scatter() -> None:
    table = tidy([("m", "ann", 10), ("m", "ann", 40), ("m+straps-a", "ann", 50)])
    found = factorial(table, scatter_of_all(0.04, 4.0, 4.0))
    own = np.log(4) ** 2 / 2
    errors = np.array([(4 * 0.04 + own) / 5 / 2, 0.04])
    assert found.gsd == pytest.approx(math.exp(math.sqrt(errors.sum() / 1.5)))
    p_a, p_b = errors / errors.sum()
    assert found.df == pytest.approx(1 / (p_a**2 / 5 + p_b**2 / 4 + (0.8 * p_a + p_b) ** 2 / 4))


def test_limits_are_left_out_and_named() -> None:
    table = tidy(rows({"": 20, "+straps-a": 40, "+edge-tape": 200}), at_least=[2])
    found = factorial(table, SCATTER)
    assert (found.left_out, found.configurations) == (("m+edge-tape",), ("m", "m+straps-a"))
    with pytest.raises(ValueError, match="at-least"):
        factorial(tidy(rows({"": 20}), at_least=[0]), SCATTER)


def test_each_wearer_mask_and_facial_hair_stands_for_itself() -> None:
    both = "m+straps-a+edge-tape"
    ann: list[Row] = [("m", "ann", 20), ("m+straps-a", "ann", 40), (both, "ann", 90)]
    bob: list[Row] = [("m", "bob", 20), (both, "bob", 90)]
    one_at_a_time: list[Row] = [("m", "cy", 20), ("m+straps-a", "cy", 40), ("m+edge-tape", "cy", 30)]
    table = tidy([*ann, *bob, *one_at_a_time, (both, "di", 90), (both, "ann", 300)])
    table.loc[len(table) - 1, "facial_hair"] = "clear-of-seal"
    found = factorials(table)
    assert [(f.wearer, f.facial_hair, f.mask, len(f.configurations)) for f in found] == [
        ("ann", "none", "m", 3),
        ("bob", "none", "m", 2),
    ]
    assert found[0].effects == factorial(tidy(ann), SCATTER).effects
    assert [effect.aliases for effect in found[1].effects] == [("edge-tape",), ("straps-a",)]
    assert factorials(table.iloc[:0]) == ()


def test_parts_that_act_differently_beside_each_other() -> None:
    both = "m+straps-a+edge-tape"
    acts_alone = {"m": 20, "m+edge-tape": 21, "m+straps-a": 20, both: 900}
    multiplies = {"m": 20, "m+edge-tape": 40, "m+straps-a": 30, both: 60}
    table = tidy(
        [*((c, "ann", fit) for c, fit in acts_alone.items()), *((c, "bob", fit) for c, fit in multiplies.items())]
    )
    ann, bob = factorials(table)
    (tape,) = (effect for effect in ann.conditional if effect.part == "edge-tape")
    assert tape.other == "straps-a"
    towards = (45 / 1.05) ** (0.5 * (1 - kept_of(math.log(45 / 1.05), 0.04)))
    assert (tape.apart.ratio, tape.together.ratio) == pytest.approx((1.05 * towards, 45 / towards))
    assert bob.conditional == ()


def test_a_long_list_of_interactions_is_judged_as_one() -> None:
    both = "m+straps-a+edge-tape"
    gains = {"ann": 3.5, "bob": 2.6, "cy": 1.0, "di": 1.1}
    rows_of_all: list[Row] = [
        row
        for wearer, beyond in gains.items()
        for row in [
            ("m", wearer, 20.0),
            ("m+straps-a", wearer, 40.0),
            ("m+edge-tape", wearer, 30.0),
            (both, wearer, 60.0 * beyond),
        ]
    ]
    found = factorials(tidy(rows_of_all))
    # Each by itself: ann and bob. Among four, 2.6 is no more than what the luckiest of so many may reach.
    assert [bool(one.conditional) for one in found] == [True, True, False, False]
    assert [one.wearer for one, _ in clear_interactions(found, "edge-tape")] == ["ann"]
    assert [effect.part for _, effect in clear_interactions(found, "straps-a")] == ["straps-a"]
    assert clear_interactions(found, "nose_wire-b") == []


def test_what_methods_differ_by_is_no_effect_of_a_part() -> None:
    """Normal breathing reads twice as high on six wearers; ann's tape was measured by it alone."""
    others: list[Row] = [
        row for wearer in ("bob", "cy", "di", "eve", "fay", "gil") for row in [("m", wearer, 20.0), ("m", wearer, 40.0)]
    ]
    fits = {"": 20, "+straps-a": 40, "+edge-tape": 60, "+straps-a+edge-tape": 120}
    table = tidy([*rows(fits), *others])
    alike = factorials(table)[0]
    table.loc[[2, 3, *range(5, 16, 2)], "protocol"] = "one-exercise"
    (found,) = factorials(table)
    assert (alike.moved, found.moved) == ((), ("m+edge-tape", "m+straps-a+edge-tape"))
    straps, tape = (effect.effect for effect in found.effects)
    straps_alike, tape_alike = (effect.effect for effect in alike.effects)
    assert straps is not None and tape is not None and straps_alike is not None and tape_alike is not None
    # Straps are told within each method: nothing is added to their error.
    assert (straps.ratio, straps.high95) == pytest.approx((straps_alike.ratio, straps_alike.high95))
    assert tape.ratio == pytest.approx(60 / 20 / 1.85, rel=0.1)
    assert tape.high95 / tape.low95 > 1.3 * tape_alike.high95 / tape_alike.low95


def test_tests_by_the_common_method_carry_an_arm() -> None:
    fits = {"": 20, "+straps-a": 40, "+edge-tape": 60, "+straps-a+edge-tape": 120}
    table = tidy([*rows(fits), ("m+edge-tape", "ann", 900.0)])
    table.loc[4, "instrument"] = "optical-counter"
    found, plain = factorials(table)[0], factorials(table.iloc[:4])[0]
    assert found.moved == ()
    for one, other in zip(found.effects, plain.effects, strict=True):
        assert one.effect is not None and other.effect is not None
        assert one.effect.ratio == pytest.approx(other.effect.ratio)
