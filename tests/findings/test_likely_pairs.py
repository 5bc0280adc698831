"""Which comparisons have a page of their own: changes beside their mask as sold, masks beside the most tried one."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.likely_pairs import likely_pairs, most_tried
from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.two_configurations import compare
from tests.fit.tables import Row, measured, scatter_of_all, tidy


def arms(*rows: Row) -> MeasuredArms:
    return measured(tidy(rows), scatter_of_all(0.25))


def test_the_reference_is_the_mask_that_most_wearers_tried_as_sold(demo: Dataset) -> None:
    sold = demo.counted[demo.counted["parts"] == ""]
    wearers = sold.groupby("mask")["wearer"].nunique()
    assert demo.reference == wearers.idxmax() == "skevuthar"
    assert wearers.max() == 13


def test_of_equals_the_first_by_id_is_the_reference() -> None:
    changed = [("c+edge-x", "ann", 9.0), ("c+edge-x", "ben", 9.0)]
    assert most_tried(arms(("b", "ann", 10.0), ("a", "ben", 10.0), *changed)) == "a"
    assert most_tried(arms(*changed)) == ""


def test_each_pair_is_compared_by_itself_on_some_wearer_of_both(demo: Dataset) -> None:
    faces = demo.measured_arms.by_configuration
    expected = {
        (configuration.partition("+")[0] if "+" in configuration else demo.reference, configuration)
        for configuration in faces
    }
    shared = {(a, b) for a, b in expected if a != b and a in faces and faces[a].keys() & faces[b].keys()}
    found = [one for own in demo.likely_pairs.values() for one in own]
    assert {(one.a, one.b) for one in found} == shared
    assert len(found) == len(shared) == 40
    assert found == [compare(demo.measured_arms, one.a, one.b) for one in found]
    assert demo.paged == {b for _, b in shared}


def test_a_mask_without_a_pair_is_left_out() -> None:
    assert likely_pairs(arms(("a", "ann", 10.0), ("b", "ben", 20.0)), {}, ["a", "b"], "a") == {}
