"""What a hack does across wearers and masks."""

import math

import numpy as np
import pandas as pd
import pytest

from builder.fit.compare.crossed_pooling import pool_crossed
from builder.fit.compare.hack_effects import HackEffect, all_hacks
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.pooling import heterogeneity
from tests.fit.tables import SLOTS, Row, measured, scatter_of_all, tidy

SCATTER = scatter_of_all(0.1)
TAPE = "edge-tape"


def hacks(table: pd.DataFrame, slots: tuple[str, ...] = SLOTS) -> tuple[HackEffect, ...]:
    return all_hacks(table, measured(table, SCATTER), slots)


def hack(table: pd.DataFrame) -> HackEffect:
    return next(effect for effect in hacks(table) if effect.part == TAPE)


def pair(wearer: str, mask: str, without: float, with_: float) -> list[Row]:
    return [(mask, wearer, without), (f"{mask}+{TAPE}", wearer, with_)]


def test_one_contrast_is_shown_but_not_pooled() -> None:
    found = hack(tidy([*pair("ann", "m", 20, 60), ("m", "bob", 40)]))
    (contrast,) = found.contrasts
    assert (found.slot, found.k, found.mean_ratio, found.predict_low95, found.tau) == ("edge", 1, None, None, None)
    assert not found.pooled
    assert (contrast.wearer, contrast.mask, contrast.backgrounds) == ("ann", "m", ("m",))
    half = 1.959964 * math.sqrt(0.2)
    assert (contrast.ratio, contrast.low95) == pytest.approx((3, 3 / math.exp(half)), rel=1e-3)


def test_several_are_pooled_by_mask_and_wearer() -> None:
    rows = [*pair("ann", "m", 20, 60), *pair("ann", "n", 20, 30), *pair("bob", "m", 50, 90)]
    found = hack(tidy(rows))
    pool = pool_crossed([JointDifference(math.log(r), 0.2) for r in (3, 1.5, 1.8)], list("mnm"), ["ann", "ann", "bob"])
    assert (found.k, found.limits, found.bound) == (3, 0, "none")
    assert found.mean_ratio == pytest.approx(math.exp(pool.mean.mean))
    listed, other = pool.new_face.interval(0.95), pool.new_mask.interval(0.95)
    assert (found.predict_low95, found.predict_high95) == pytest.approx((math.exp(listed.low), math.exp(listed.high)))
    assert found.predict_new_mask_low95 == pytest.approx(math.exp(other.low))
    assert found.predict_new_mask_high95 == pytest.approx(math.exp(other.high))
    assert found.chance_helps == pytest.approx(pool.chance_helps)
    assert found.chance_helps_new_mask == pytest.approx(pool.chance_helps_new_mask)
    spreads = (found.between_masks, found.between_wearers, found.between_faces, found.rest)
    assert [spread and spread.mean for spread in spreads] == pytest.approx(
        [pool.between_masks.mean, pool.between_wearers.mean, pool.between_faces.mean, pool.rest.mean]
    )
    assert found.tau == pytest.approx(pool.between_faces.mean)
    assert found.heterogeneity == heterogeneity(pool.between_faces.interval)
    assert [(c.wearer, c.mask) for c in found.contrasts] == [("ann", "m"), ("ann", "n"), ("bob", "m")]


def test_two_are_enough_to_pool() -> None:
    found = hack(tidy([*pair("ann", "m", 20, 60), *pair("bob", "m", 50, 90)]))
    assert found.mean_ratio is not None and 1.5 < found.mean_ratio < 3
    assert found.heterogeneity == "open"


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
    found = hacks(tidy(rows, slots=slots), slots)
    assert {hack.part: (hack.contrasts, hack.k, hack.mean_ratio) for hack in found} == {
        f"{slot}-x": ((), 0, None),
        f"{other}-y": ((), 0, None),
    }
    # Apart from the other it is known, and the other with it.
    rows += [(f"m+{slot}-x", "ann", 60), (f"m+{slot}-x", "bob", 60)]
    found = hacks(tidy(rows, slots=slots), slots)
    assert {hack.part: [c.ratio for c in hack.contrasts] for hack in found} == {
        f"{slot}-x": pytest.approx([3, 3]),
        f"{other}-y": pytest.approx([160 / 60] * 2),
    }


def test_a_slot_that_is_left_out_credits_nobody() -> None:
    rows: list[Row] = [("m+straps-a", "ann", 20), ("m+straps-a+ear_cup-x", "ann", 160)]
    with pytest.raises(ValueError, match="are alike in every slot given"):
        hacks(tidy(rows))


def test_another_part_in_the_slot_is_no_reference() -> None:
    rows: list[Row] = [("m+edge-foam", "ann", 20), (f"m+{TAPE}", "ann", 60)]
    assert hack(tidy(rows)).k == 0


def test_limits_enter_the_pool() -> None:
    rows = [*pair("ann", "m", 20, 200), *pair("bob", "m", 200, 30), *pair("cy", "m", 200, 200), *pair("di", "m", 5, 9)]
    found = hack(tidy(rows, at_least=[1, 2, 4, 5]))
    assert (found.k, found.limits, len(found.contrasts), found.bound) == (1, 2, 4, "none")
    ann, bob, cy, di = found.contrasts
    assert (ann.bound, ann.high95) == ("at_least", None)
    assert (bob.bound, bob.low95) == ("at_most", None)
    assert (ann.ratio, bob.ratio) == pytest.approx((10, 0.15))
    assert (cy.bound, cy.ratio, cy.low95, cy.high95) == ("both", None, None, None)
    assert ann.low95 is not None and bob.high95 is not None
    assert ([c.wearer for c in found.exact], [c.wearer for c in found.one_sided]) == (["di"], ["ann", "bob"])
    assert found.mean_ratio is not None and di.ratio is not None and found.mean_ratio < di.ratio
    up = hack(tidy([*pair("ann", "m", 20, 200), *pair("di", "m", 5, 9)], at_least=[1]))
    alone = hack(tidy([*pair("ann", "m", 20, 200), *pair("di", "m", 5, 9)]))
    assert up.mean_ratio is not None and alone.mean_ratio is not None and alone.mean_ratio < up.mean_ratio


def test_limits_of_one_direction_alone_leave_the_mean_open() -> None:
    found = hack(tidy([*pair("ann", "m", 20, 200), *pair("bob", "m", 10, 200)], at_least=[1, 3]))
    assert (found.k, found.limits, found.bound, found.mean_ratio) == (0, 2, "at_least", None)
    assert (found.high95, found.predict_high95, found.predict_new_mask_high95) == (None, None, None)
    assert found.low95 is not None and found.predict_low95 is not None and found.predict_new_mask_low95 is not None
    assert found.low95 > 1 and found.predict_new_mask_low95 < min(found.low95, found.predict_low95)
    down = hack(tidy([*pair("ann", "m", 200, 20), *pair("bob", "m", 200, 10)], at_least=[0, 2]))
    assert down.high95 == pytest.approx(1 / found.low95)


def test_a_side_with_exact_readings_and_a_limit_gives_a_ratio() -> None:
    rows: list[Row] = [("m", "ann", 20), ("m", "ann", 30), (f"m+{TAPE}", "ann", 90), (f"m+{TAPE}", "ann", 200)]
    (contrast,) = hack(tidy(rows, at_least=[3])).contrasts
    at_limits = math.sqrt(90 * 200 / 600)
    assert contrast.bound == "none"
    assert contrast.low95 is not None and contrast.ratio is not None and contrast.high95 is not None
    assert at_limits < contrast.ratio < contrast.high95
    exact = hack(tidy(rows)).contrasts[0]
    assert exact.ratio == pytest.approx(at_limits)
    assert exact.high95 is not None and contrast.high95 > exact.high95


def test_backgrounds_with_and_without_limits_are_one_contrast() -> None:
    rows = [*pair("ann", "m", 20, 60), ("m+straps-a", "ann", 30), (f"m+straps-a+{TAPE}", "ann", 200)]
    found = hack(tidy(rows, at_least=[3]))
    (contrast,) = found.contrasts
    assert (contrast.bound, contrast.backgrounds, found.k) == ("none", ("m", "m+straps-a"), 1)
    assert contrast.ratio is not None and contrast.ratio > 3


def test_what_methods_differ_by_is_taken_out() -> None:
    """One wearer by two methods; who was measured by both in all ways tells how they differ."""
    rows = [*pair("ann", "m", 20, 60)]
    for wearer in ("bob", "cy", "di", "eve", "fay", "gil"):
        rows += [*pair(wearer, "m", 20, 60), *pair(wearer, "m", 40, 120)]
    table = tidy(rows)
    table.loc[1, "protocol"] = "one-exercise"
    table.loc[[*range(4, len(table), 4), *range(5, len(table), 4)], "protocol"] = "one-exercise"
    found = hack(table)
    ann, bob, *_ = found.contrasts
    assert (ann.method, bob.method, bob.method_factor) == ("mixed", "same", None)
    assert bob.ratio == pytest.approx(3)
    # ann's mask with tape was read by normal breathing alone, which reads twice as high.
    assert ann.method_factor == pytest.approx(1.85, abs=0.1)
    assert ann.ratio is not None and ann.method_factor is not None
    assert ann.ratio * ann.method_factor == pytest.approx(3)
    assert ann.variance is not None and ann.variance > 1.2 * 0.2
    assert (bob.n_with, bob.n_without) == (2, 2)


def test_what_contrasts_between_methods_share_does_not_average_out() -> None:
    rows = [row for i in range(40) for row in pair(f"w{i}", f"m{i % 10}", 20, 60)]
    alike, mixed = tidy(rows), tidy(rows)
    mixed.loc[mixed["configuration"] != mixed["mask"], "protocol"] = "one-exercise"

    def width(table: pd.DataFrame) -> float:
        found = hack(table)
        assert found.low95 is not None and found.high95 is not None
        return math.log(found.high95 / found.low95)

    assert width(mixed) > 1.5 * width(alike)
    assert np.isclose(hack(alike).contrasts[0].ratio or 0, 3)


def test_all_hacks_in_the_order_of_slots() -> None:
    rows = [*pair("ann", "m", 20, 60), ("m+straps-b", "ann", 10), ("m+straps-a", "ann", 40)]
    found = hacks(tidy(rows))
    assert [hack.part for hack in found] == ["straps-a", "straps-b", TAPE]
    assert found[2] == hack(tidy(rows))
    assert hacks(tidy(rows).iloc[:0]) == ()


def test_order_of_rows_does_not_matter() -> None:
    table = tidy([*pair("ann", "m", 20, 60), *pair("bob", "m", 20, 30), *pair("cy", "n", 50, 90)])
    assert hacks(table) == hacks(table.iloc[::-1])
