"""Which planned donning comes next, what is worn, what a take fills, what stays the same."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from builder.records.bench_takes import answers_of, first_planned, order_of, placed, planned_tests, worn
from builder.records.checking import check
from builder.records.entries import TestRecord
from builder.records.known_entries import KnownEntries
from builder.records.models import Slots
from builder.records.typed_answers import UnclearError
from tests.records import samples

HEAD, _, _ = samples.TEST.partition("\n[[result.exercise]]")
DAY = date(2026, 9, 12)


def entries(folder: Path, *days: str) -> KnownEntries:
    """The sample test, and a planned one for each of some days, numbered from 2."""
    files: dict[str, str | bytes] = {
        samples.TEST_PATH.replace("2026-09-12", day).replace("-1.toml", f"-{number}.toml"): HEAD.replace(
            "2026-09-12", day
        )
        for number, day in enumerate(days, start=2)
    }
    return KnownEntries(samples.write(folder, files))


def names(records: list[TestRecord]) -> list[str]:
    return [record.id.rpartition("/")[2] for record in records]


def test_planned_tests_of_the_day_come_first(tmp_path: Path) -> None:
    days = ("2026-09-10", "2026-09-12", "2026-10-01", *("2026-09-12",) * 8)
    known = entries(tmp_path, *days)
    found = names(planned_tests(known.tests_of(["blue-heron"]), DAY))
    assert found == [
        *(f"2026-09-12-blue-heron-{number}" for number in (3, 5, 6, 7, 8, 9, 10, 11, 12)),
        "2026-09-10-blue-heron-2",
        "2026-10-01-blue-heron-4",
    ]
    first = first_planned(known, DAY)
    assert first is not None
    assert first.id.endswith("-3")
    assert first_planned(known, date(2026, 9, 11)) is None


def test_the_order_counts_what_was_measured(tmp_path: Path) -> None:
    tests = entries(tmp_path, "2026-09-12").tests_of(["blue-heron"])
    assert order_of(tests, "drum-cup", DAY) == 2
    assert order_of(tests, "kettle", DAY) == order_of(tests, "drum-cup", date(2026, 9, 13)) == 1


@pytest.mark.parametrize(
    ("changes", "slots"),
    [
        (["as-sold"], {}),
        (["As"], {}),
        (["thin"], {"nose-foam": "thin-foam"}),
        (["nose-f=none"], {"nose-foam": "none"}),
        (["straps=thin-foam"], {"straps": "thin-foam"}),
    ],
)
def test_what_is_worn(tmp_path: Path, changes: list[str], slots: dict[str, str]) -> None:
    assert worn(entries(tmp_path), changes) == Slots.model_validate(slots)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        (["thick-foam"], "There is no part thick-foam. Did you mean thin-foam?"),
        (["nose=thin"], "nose begins nose-wire and nose-foam. Write one more letter."),
        (["thin", "nose-f=none"], "nose-foam is changed twice: to thin-foam and to none."),
    ],
)
def test_what_is_worn_is_asked_back(tmp_path: Path, changes: list[str], says: str) -> None:
    with pytest.raises(UnclearError) as raised:
        worn(entries(tmp_path), changes)
    assert str(raised.value) == says


def test_a_measured_test_fills_the_planned_one(tmp_path: Path) -> None:
    known = entries(tmp_path, "2026-09-12", "2026-09-12")
    records = known.tests_of(["blue-heron"])
    measured = next(record.test for record in records if record.id.endswith("-1"))
    path, test, instead_of = placed(known, measured, records)
    assert path == samples.TEST_PATH.replace("-1.toml", "-2.toml")
    assert instead_of == {path: path}
    assert test == measured
    other = measured.model_copy(update={"configuration": Slots()})
    assert placed(known, other, records) == (samples.TEST_PATH.replace("-1.toml", "-4.toml"), other, {})


def test_what_stays_the_same(tmp_path: Path) -> None:
    [record] = check(samples.write(tmp_path)).entries.tests
    assert answers_of(record.test) == {
        "contributor": "grey-bench",
        "wearer": "blue-heron",
        "facial_hair": "none",
        "mask": "drum-cup",
        "protocol": "short-four-exercise",
        "instrument": "condensation-counter",
        "aerosol": "room-air",
    }
