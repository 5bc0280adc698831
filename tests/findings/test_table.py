"""The tidy table: each column holds what it says."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from builder.findings.table import COLUMNS, SLOT_COLUMNS, tidy_table
from builder.records.checking import check
from builder.records.entries import Entries
from builder.records.vocabulary import Slot
from tests.records import samples

FULL = """\
mask = "drum-cup"
date = 2026-09-12
contributor = "grey-bench"

[configuration]
straps = "wide-band"
nose-foam = "none"

[face]
wearer = "blue-heron"
cell = 7
nose_bridge = "high"
facial_hair = "stubble"

[result]
protocol = "one-exercise"
fit_factor = 64
at_least = true

[specimen]
label = "a"
lot = "L7"
donnings_before = 2
hours_before = 0.5
straps_mm = 20
straps_notch = 3

[conditions]
instrument = "optical-counter"
size_selection = "narrow-band"
ambient_per_cm3 = 4200
aerosol = "salt"
probe = "flush"
purge_seconds = 4
zero_check = "passed"
probe_check = "not-done"
seal_check = "failed"
helped = false
glasses = true
order = 3
temperature_c = 21.5
humidity_percent = 40

[observations]
leaks = ["nose", "chin"]
comfort = 4
breathing_effort = 2
touches_eyes = true
fogging = false
notes = "It sat well."

[source]
link = "https://log.example/7"
invented = true
"""
BAND = samples.PART.replace("Thin foam", "Wide band").replace("nose-foam", "straps")
ROW = {
    "test": "drum-cup/2026-09-12-blue-heron-1",
    "path": samples.TEST_PATH,
    "date": "2026-09-12",
    "contributor": "grey-bench",
    "mask": "drum-cup",
    "model": "Drum",
    "size": "M",
    "style": "cup",
    "mask_class": "other",
    "class_name": "Level 2",
    "configuration": "drum-cup+wide-band+no-nose-foam",
    "parts": "wide-band+no-nose-foam",
    **dict.fromkeys(SLOT_COLUMNS, ""),
    "straps": "wide-band",
    "nose_foam": "no-nose-foam",
    "wearer": "blue-heron",
    "face_length_mm": None,
    "face_width_mm": None,
    "cell": "7",
    "nose_bridge": "high",
    "facial_hair": "stubble",
    "protocol": "one-exercise",
    "fit_factor": 64.0,
    "lowest_exercise": "",
    "lowest_exercise_fit_factor": None,
    "at_least": True,
    "counting_sd": 0.0,
    "set_aside": "hair at the seal",
    "counted": False,
    "instrument": "optical-counter",
    "size_selection": "narrow-band",
    "method": "One exercise · Optical counter · Narrow band",
    "one_exercise_fit_factor": None,
    "four_exercise_fit_factor": None,
    "ambient_per_cm3": 4200.0,
    "aerosol": "salt",
    "probe": "flush",
    "purge_seconds": 4.0,
    "zero_check": "passed",
    "probe_check": "not-done",
    "seal_check": "failed",
    "helped": "no",
    "glasses": "yes",
    "order": 3.0,
    "temperature_c": 21.5,
    "humidity_percent": 40.0,
    "specimen_label": "a",
    "specimen_lot": "L7",
    "specimen_donnings_before": 2.0,
    "specimen_hours_before": 0.5,
    "specimen_straps_mm": 20.0,
    "specimen_straps_notch": 3.0,
    "leaks": "nose+chin",
    "comfort": 4.0,
    "breathing_effort": 2.0,
    "touches_eyes": "yes",
    "fogging": "no",
    "notes": "It sat well.",
    "link": "https://log.example/7",
    "invented": True,
}


@pytest.fixture
def entries(tmp_path: Path) -> Entries:
    mask = samples.MASK.replace('model = "Drum"', 'model = "Drum"\nsize = "M"').replace(
        '"ffp2"', '"other"\nclass_name = "Level 2"'
    )
    samples.write(tmp_path, {samples.TEST_PATH: FULL, samples.MASK_PATH: mask, "parts/wide-band.toml": BAND})
    checked = check(tmp_path)
    assert [problem for problem in checked.problems if problem.severity == "error"] == []
    return checked.entries


def test_a_full_test_fills_its_columns(entries: Entries) -> None:
    """A new column is told here what a full test holds in it."""
    (row,) = tidy_table(entries).to_dict("records")
    assert {name: None if pd.isna(value) else value for name, value in row.items()} == ROW
    assert list(row) == list(COLUMNS)


def test_types_are_those_declared_without_tests_too(entries: Entries) -> None:
    for table in (tidy_table(entries), tidy_table(Entries({}, {}, ()))):
        declared = {name: "object" if column.dtype == "str" else column.dtype for name, column in COLUMNS.items()}
        assert {str(name): str(dtype) for name, dtype in table.dtypes.items()} == declared


def test_each_slot_has_a_column_in_slot_order() -> None:
    assert [name for name in COLUMNS if name in SLOT_COLUMNS] == [slot.column for slot in Slot]


def test_a_face_in_millimetres_has_its_cell(tmp_path: Path) -> None:
    (row,) = tidy_table(check(samples.write(tmp_path)).entries).to_dict("records")
    assert (row["face_length_mm"], row["face_width_mm"], row["cell"]) == (117, 138, "4")
    assert (row["set_aside"], row["counted"], row["touches_eyes"]) == ("", True, "")


def test_planned_tests_are_in_no_table(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    before = tidy_table(check(root).entries)
    head, _, _ = samples.TEST.partition("\n[[result.exercise]]")
    (root / samples.TEST_PATH.replace("-1.toml", "-2.toml")).write_text(head)
    entries = check(root).entries
    assert len(entries.tests) == 2
    assert tidy_table(entries).equals(before)
