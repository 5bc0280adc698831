"""What a hack does across wearers and masks."""

import math

import numpy as np
import pandas as pd
import pytest

from builder.fit.compare.hack_effects import HackEffect, all_hacks
from builder.fit.compare.pooling import bayes_pool
from tests.fit.tables import SLOTS, Row, scatter_of_all, tidy

SCATTER = scatter_of_all(0.1)
TAPE = "edge-tape"


def hack(table: pd.DataFrame) -> HackEffect:
    return next(effect for effect in all_hacks(table, SCATTER, SLOTS) if effect.part == TAPE)


def pair(wearer: str, mask: str, without: float, with_: float) -> list[Row]:
    return [(mask, wearer, without), (f"{mask}+{TAPE}", wearer, with_)]


def test_one_contrast_is_shown_but_not_pooled() -> None:
    found = hack(tidy([*pair("ann", "m", 20, 60), ("m", "bob", 40)]))
    (contrast,) = found.contrasts
    assert (found.slot, found.k, found.mean_ratio, found.predict_low95, found.tau) == ("edge", 1, None, None, None)
    assert (contrast.wearer, contrast.mask, contrast.backgrounds) == ("ann", "m", ("m",))
    half = 1.959964 * math.sqrt(0.2)
    assert (contrast.ratio, contrast.low95) == pytest.approx((3, 3 / math.exp(half)), rel=1e-3)


def test_several_are_pooled() -> None:
    rows = [*pair("ann", "m", 20, 60), *pair("ann", "n", 20, 30), *pair("bob", "m", 50, 90)]
    found = hack(tidy(rows))
    pooled = bayes_pool(np.log([3, 1.5, 1.8]), [0.2] * 3)
    assert found.k == 3
    assert found.mean_ratio == pytest.approx(math.exp(pooled.mean.mean))
    assert found.predict_high95 == pytest.approx(math.exp(pooled.new.interval(0.95).high))
    assert found.chance_helps == pytest.approx(pooled.chance_helps)
    assert [(c.wearer, c.mask) for c in found.contrasts] == [("ann", "m"), ("ann", "n"), ("bob", "m")]


def test_two_are_enough_to_pool() -> None:
    found = hack(tidy([*pair("ann", "m", 20, 60), *pair("bob", "m", 50, 90)]))
    assert found.mean_ratio == pytest.approx(math.exp(bayes_pool(np.log([3, 1.8]), [0.2] * 2).mean.mean))
    assert found.heterogeneity == "too few wearers to say how much it differs between faces"


def test_backgrounds_of_one_wearer_are_one_contrast() -> None:
    rows = [*pair("ann", "m", 20, 60), ("m+straps-a", "ann", 30), (f"m+straps-a+{TAPE}", "ann", 45)]
    rows += [("m+straps-a", "ann", 30), (f"m+straps-a+{TAPE}", "ann", 45)]
    (contrast,) = hack(tidy(rows)).contrasts
    assert contrast.backgrounds == ("m", "m+straps-a")
    assert (contrast.n_with, contrast.n_without) == (3, 3)
    # Two donnings a side weigh twice as much as one.
    assert contrast.ratio == pytest.approx((3 * 1.5**2) ** (1 / 3))
    assert contrast.high95 is not None and contrast.ratio is not None
    half = 1.959964 * math.sqrt(0.1 / (0.5 + 1))
    assert math.log(contrast.high95 / contrast.ratio) == pytest.approx(half, rel=1e-2)


def test_all_else_must_be_equal() -> None:
    rows: list[Row] = [
        ("m", "ann", 20),
        (f"m+straps-a+{TAPE}", "ann", 60),
        (f"n+{TAPE}", "ann", 60),
        (f"m+{TAPE}", "bob", 60),
    ]
    found = hack(tidy(rows))
    assert (found.contrasts, found.k, found.mean_ratio) == ((), 0, None)


@pytest.mark.parametrize("slot", [*SLOTS, "ear_cup"])
def test_parts_only_changed_together_are_not_credited(slot: str) -> None:
    other = next(one for one in SLOTS if one != slot)
    slots = (*SLOTS, "ear_cup")
    both = f"m+{slot}-x+{other}-y"
    rows: list[Row] = [(c, wearer, fit) for wearer in ("ann", "bob", "cy") for c, fit in (("m", 20), (both, 160))]
    found = all_hacks(tidy(rows, slots=slots), SCATTER, slots)
    assert {hack.part: (hack.contrasts, hack.k, hack.mean_ratio) for hack in found} == {
        f"{slot}-x": ((), 0, None),
        f"{other}-y": ((), 0, None),
    }
    # Apart from the other it is known, and the other with it.
    rows += [(f"m+{slot}-x", "ann", 60), (f"m+{slot}-x", "bob", 60)]
    found = all_hacks(tidy(rows, slots=slots), SCATTER, slots)
    assert {hack.part: [c.ratio for c in hack.contrasts] for hack in found} == {
        f"{slot}-x": pytest.approx([3, 3]),
        f"{other}-y": pytest.approx([160 / 60] * 2),
    }


def test_a_slot_that_is_left_out_credits_nobody() -> None:
    rows: list[Row] = [("m+straps-a", "ann", 20), ("m+straps-a+ear_cup-x", "ann", 160)]
    with pytest.raises(ValueError, match="are alike in every slot given"):
        all_hacks(tidy(rows), SCATTER, SLOTS)


def test_another_part_in_the_slot_is_no_reference() -> None:
    rows: list[Row] = [("m+edge-foam", "ann", 20), (f"m+{TAPE}", "ann", 60)]
    assert hack(tidy(rows)).k == 0


def test_limits_are_listed_but_not_pooled() -> None:
    rows = [*pair("ann", "m", 20, 200), *pair("bob", "m", 200, 30), *pair("cy", "m", 200, 200), *pair("di", "m", 5, 9)]
    found = hack(tidy(rows, at_least=[1, 2, 4, 5]))
    assert (found.k, found.limits, found.mean_ratio) == (1, 3, None)
    ann, bob, cy, _ = found.contrasts
    assert (ann.bound, ann.high95) == ("at_least", None)
    assert (bob.bound, bob.low95) == ("at_most", None)
    assert (ann.ratio, bob.ratio) == pytest.approx((10, 0.15))
    assert (cy.bound, cy.ratio, cy.low95, cy.high95) == ("both", None, None, None)
    assert ann.low95 is not None and bob.high95 is not None


def test_all_hacks_in_the_order_of_slots() -> None:
    rows = [*pair("ann", "m", 20, 60), ("m+straps-b", "ann", 10), ("m+straps-a", "ann", 40)]
    found = all_hacks(tidy(rows), SCATTER, SLOTS)
    assert [hack.part for hack in found] == ["straps-a", "straps-b", TAPE]
    assert found[2] == hack(tidy(rows))


def test_order_of_rows_does_not_matter() -> None:
    table = tidy([*pair("ann", "m", 20, 60), *pair("bob", "m", 20, 30), *pair("cy", "n", 50, 90)])
    assert all_hacks(table, SCATTER, SLOTS) == all_hacks(table.iloc[::-1], SCATTER, SLOTS)
