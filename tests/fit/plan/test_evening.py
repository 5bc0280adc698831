"""One wearer's evening: the same verdicts as the site, from the takes alone."""

from __future__ import annotations

import pandas as pd
import pytest

from builder.findings.dataset import Dataset
from builder.findings.table import SLOT_COLUMNS
from builder.fit.compare.factorial import all_factorials
from builder.fit.compare.measured_arms import UNIT
from builder.fit.compare.methods import MethodEffects
from builder.fit.compare.two_configurations import compare
from builder.fit.compare.verdicts import verdicts_in_list
from builder.fit.plan.evening import Evening, evening
from tests.fit.tables import ONE_METHOD, SLOTS, scatter_of_all, tidy

SCATTER = scatter_of_all(0.1, 20.0, 12.0)
EFFECTS = MethodEffects.unknown([ONE_METHOD])


def told(takes: pd.DataFrame) -> Evening:
    return evening(takes, SCATTER, EFFECTS, SLOTS)


def test_each_wearers_evening_of_the_demo(demo: Dataset) -> None:
    seen = 0
    for unit, own in demo.table.groupby(UNIT, sort=True):
        assert isinstance(unit, tuple)
        wearer, hair, mask = (str(name) for name in unit)
        found = evening(own, demo.scatter, demo.method_effects, SLOT_COLUMNS)
        assert found.mask == mask
        counted = set(own.loc[own["counted"], "configuration"])
        contrasts = {
            changed: next(one for one in whole.wearers if one.facial_hair == hair)
            for changed in sorted(counted - {mask} if mask in counted else [])
            for whole in [compare(demo.measured_arms, mask, changed, wearer=wearer)]
        }
        expected = dict(zip(contrasts, verdicts_in_list(list(contrasts.values())), strict=True))
        assert {change.rung.configuration for change in found.changes} == set(expected)
        for change in found.changes:
            shown, site = change.rung.comparison, expected[change.rung.configuration]
            assert (shown.ratio, shown.low90, shown.high90) == (site.ratio, site.low90, site.high90)
            assert (shown.verdict, shown.direction) == (site.verdict, site.direction)
            if change.worth:
                assert change.worth.a.now == (site.verdict, site.direction)
                seen += 1
    assert seen > 50


def test_parts_are_those_of_the_site(demo: Dataset) -> None:
    first = all_factorials(demo.table, demo.measured_arms, SLOT_COLUMNS)[0]
    own = demo.table.loc[(demo.table[UNIT] == [first.wearer, first.facial_hair, first.mask]).all(axis=1)]
    assert evening(own, demo.scatter, demo.method_effects, SLOT_COLUMNS).parts == first


def test_takes_set_aside_say_nothing() -> None:
    rows = [("cup", "w", 80.0), ("cup+edge-tape", "w", 200.0)]
    aside = [*rows, ("cup+edge-tape", "w", 3.0)]
    assert told(tidy(aside, set_aside=[2])) == told(tidy(rows))


def test_nothing_before_the_mask_was_worn_as_sold() -> None:
    found = told(tidy([("cup+edge-tape", "w", 200.0)]))
    assert found == Evening("cup", (), None)


def test_limits_and_other_methods_leave_the_next_donning_open() -> None:
    rows = [("cup", "w", 80.0), ("cup+edge-tape", "w", 500.0)]
    [limited] = told(tidy(rows, at_least=[1])).changes
    assert limited.worth is None
    assert limited.rung.comparison.bound == "at_least"
    [exact] = told(tidy(rows)).changes
    assert exact.worth is not None


def test_one_wearer_and_mask_at_a_time() -> None:
    with pytest.raises(ValueError, match="takes of 2 wearers and masks, not of one"):
        told(tidy([("cup", "w", 80.0), ("cup", "x", 80.0)]))
    with pytest.raises(ValueError, match="takes of 0 wearers and masks, not of one"):
        told(tidy([("cup", "w", 80.0)]).iloc[:0])
