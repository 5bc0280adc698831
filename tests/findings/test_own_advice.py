import pytest

from builder.findings.advice import advise
from builder.findings.dataset import Dataset
from builder.findings.own_advice import advise_on_own_results
from builder.fit.facemodel import FaceDescription
from builder.fit.facemodel.own_results import OwnResult

FACE = FaceDescription(117, 138, nose_bridge="high")


def test_chances_move_and_the_rest_stays(demo: Dataset) -> None:
    plain = {row.configuration: row for row in advise(demo, FACE).ranked}
    found = advise_on_own_results(demo, FACE, [OwnResult("brodipim", "fit-factor", 20.0)])
    assert {row.configuration for row in found.advice.ranked} == plain.keys()
    for row in found.advice.ranked:
        before = plain[row.configuration]
        assert (row.wearers, row.near_wearers) == (before.wearers, before.near_wearers)
        assert found.before[row.configuration] == pytest.approx(before.chance)
    limits = [row.low or 0.0 for row in found.advice.ranked]
    assert limits == sorted(limits, reverse=True)
    assert found.advice.best_as_sold == next(row for row in found.advice.ranked if "+" not in row.configuration)


def test_a_face_outside_the_panel_is_anyones(demo: Dataset) -> None:
    told = [OwnResult("brodipim", "passed")]
    outside = advise_on_own_results(demo, FaceDescription(130, 122), told)
    anyone = advise_on_own_results(demo, FaceDescription(), told)
    assert outside.advice.outside_panel
    assert [row.chance for row in outside.advice.ranked] == [row.chance for row in anyone.advice.ranked]
