"""What was noted of a test, in words: only what was given."""

from __future__ import annotations

import math
from typing import Any

from builder.words.noted import OF_DAY, OF_DONNING, noted_of_day, noted_of_donning

NOTHING: dict[str, Any] = {
    name: ""
    if name.startswith(("zero", "probe", "seal", "helped", "glasses")) or name[9:] in ("label", "lot")
    else math.nan
    for name in (*OF_DONNING, *OF_DAY)
}


def test_nothing_is_said_of_what_was_not_noted() -> None:
    assert (noted_of_donning(NOTHING), noted_of_day(NOTHING)) == ("", "")


def test_all_of_a_donning() -> None:
    noted = {
        "specimen_label": "a",
        "specimen_lot": "<7>",
        "specimen_donnings_before": 1.0,
        "specimen_hours_before": 0.5,
        "specimen_straps_mm": 20.0,
        "specimen_straps_notch": 3.0,
        "order": 2.0,
        "seal_check": "not-done",
        "helped": "no",
        "glasses": "yes",
        "breathing_effort": 4.0,
    }
    assert noted_of_donning(NOTHING | noted) == (
        "specimen a, lot <bdi>&lt;7&gt;</bdi>, 1 donning before, 0.5 h worn before, straps 20 mm shorter, notch 3, "
        "no. 2 of the run, seal check not done, self-fitted, glasses on, breathing effort 4 of 5"
    )
    assert noted_of_donning(NOTHING | {"helped": "yes", "glasses": "no"}) == "helped, no glasses"


def test_all_of_a_day() -> None:
    noted = {"purge_seconds": 4.0, "zero_check": "passed", "probe_check": "failed"}
    air = {"temperature_c": 21.5, "humidity_percent": 40.0}
    assert noted_of_day(NOTHING | noted | air) == (
        "4 s purge, zero check passed, probe check failed, 21.5 °C, 40 % humidity"
    )
