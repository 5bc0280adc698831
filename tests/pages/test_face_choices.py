"""The faces that a mask's page offers to narrow its figures to."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.site.face_choices import face_choices
from builder.site.shown_tests import shown_by_mask


def test_cells_and_bridges_are_offered_with_their_wearers_in_their_order(demo: Dataset) -> None:
    tests = [test for test in shown_by_mask(demo)["skevuthar"] if test.counted]
    cells, bridges = face_choices(tests)
    assert (cells.key, bridges.key) == ("cell", "bridge")
    assert [choice.value for choice in bridges.choices] == ["low", "medium", "high", "unknown"]
    assert [choice.value for choice in cells.choices][-2:] == ["10", "outside"]
    high = bridges.choices[2]
    assert (high.name, high.label) == ("high bridge", "high bridge (2 wearers)")
    assert sum(int(choice.label.split("(")[1].split(" ")[0]) for choice in cells.choices) == 13


def test_one_alone_is_no_choice(demo: Dataset) -> None:
    tests = [test for test in shown_by_mask(demo)["skevuthar"] if test.counted and test.nose_bridge == "high"]
    assert [kind.key for kind in face_choices(tests)] == (["cell"] if len({test.cell for test in tests}) > 1 else [])
    assert face_choices([]) == []
