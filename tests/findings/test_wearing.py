"""Rates of what wearers noticed, the lowest exercise, and the seats of a panel: by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd
import pytest

from builder.findings.dataset import Dataset
from builder.findings.wearing import SEATS, WEARING_COLUMNS, wearing_figures
from builder.fit.panel import CELLS, PANEL_SEATS

NOTHING: dict[str, Any] = {
    "configuration": "cup",
    "wearer": "a",
    "date": "2026-01-01",
    "cell": "4",
    "fit_factor": 50.0,
    "at_least": False,
    "counted": True,
    "comfort": np.nan,
    "breathing_effort": np.nan,
    "touches_eyes": "",
    "fogging": "",
    "leaks": "",
    "lowest_exercise": "",
    "lowest_exercise_fit_factor": np.nan,
}


def figures(*tests: dict[str, Any]) -> dict[str, Any]:
    """The figures of one configuration."""
    (row,) = wearing_figures(pd.DataFrame([NOTHING | test for test in tests])).to_dict("records")
    return {str(name): value for name, value in row.items()}


def test_rates_are_of_the_donnings_that_note_the_thing() -> None:
    found = figures(
        {"comfort": 5.0, "touches_eyes": "yes", "leaks": "nose+chin", "breathing_effort": 4.0},
        {"comfort": 4.0, "touches_eyes": "no", "leaks": "nose", "fogging": "no"},
        {"comfort": 1.0, "touches_eyes": "no"},
        {"comfort": 1.0, "touches_eyes": "yes", "leaks": "left-cheek", "counted": False},
    )
    assert (found["comfortable"], found["comfortable_tests"]) == (pytest.approx(2 / 3), 3)
    assert (found["touches_eyes_share"], found["touches_eyes_share_tests"]) == (pytest.approx(1 / 3), 3)
    assert (found["fogging_share"], found["fogging_share_tests"]) == (0, 1)
    assert (found["hard_to_breathe"], found["hard_to_breathe_tests"]) == (1, 1)
    assert (found["leak_nose"], found["leak_chin"], found["leak_left_cheek"]) == (1, 0.5, 0)
    assert found["leak_nose_tests"] == 2
    assert math.isnan(found["every_exercise_at_100"])
    assert (found["every_exercise_at_100_tests"], found["lowest_exercise"]) == (0, "")


def test_every_exercise_has_to_pass() -> None:
    found = figures(
        {"lowest_exercise": "talking", "lowest_exercise_fit_factor": 80.0},
        {"lowest_exercise": "talking", "lowest_exercise_fit_factor": 120.0},
        {"lowest_exercise": "bending-over", "lowest_exercise_fit_factor": 100.0},
        {},
    )
    assert (found["every_exercise_at_100"], found["every_exercise_at_100_tests"]) == (pytest.approx(2 / 3), 3)
    assert (found["lowest_exercise"], found["lowest_exercise_fit_factor"]) == ("talking", 100)


def test_a_panel_of_25_has_a_seat_for_every_cell() -> None:
    assert SEATS == 25
    assert list(PANEL_SEATS) == [cell.name for cell in CELLS]


def test_wearers_are_seated_in_the_order_they_came_and_not_by_their_result() -> None:
    """Three of cell 1, which has two seats: the last to come passes and stands. Outside the panel nobody sits."""
    found = figures(
        {"wearer": "late", "cell": "1", "date": "2026-03-01", "fit_factor": 500.0},
        {"wearer": "first", "cell": "1", "date": "2026-01-01", "fit_factor": 30.0},
        {"wearer": "second", "cell": "1", "date": "2026-02-01", "fit_factor": 99.0},
        {"wearer": "second", "cell": "1", "date": "2026-02-01", "fit_factor": 150.0},
        {"wearer": "second", "cell": "1", "date": "2026-02-01", "fit_factor": 110.0, "at_least": True},
        {"wearer": "big", "cell": "outside", "fit_factor": 500.0},
        {"wearer": "medium", "cell": "7", "fit_factor": 100.0, "at_least": True},
    )
    assert (found["seats_filled"], found["seats_at_100"]) == (3, 2)
    assert found["seats_open"] == "2×2+3×2+4×5+5×2+6×2+7×3+8×2+9×2+10×2"


def test_who_has_nobody_in_the_panel_has_every_seat_open() -> None:
    found = figures({"cell": "unknown"})
    assert (found["seats_filled"], found["seats_at_100"]) == (0, 0)
    assert found["seats_open"].startswith("1×2+")


def test_the_demo_has_all_of_them(demo: Dataset) -> None:
    assert list(demo.wearing) == list(WEARING_COLUMNS)
    tested = demo.summary.loc[demo.summary["tests"] > 0, "configuration"]
    assert demo.wearing["configuration"].tolist() == sorted(tested)
    seats = demo.wearing["seats_open"].map(lambda text: sum(int(one.partition("×")[2]) for one in text.split("+")))
    assert (demo.wearing["seats_filled"] + seats == SEATS).all()
    assert (demo.wearing["seats_at_100"] <= demo.wearing["seats_filled"]).all()
