"""Tests by who made or wore them, newest first, and the set-ups that a contributor came back to."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.findings.testers import references, rows_by_tester
from tests.records import samples


def take(
    day: str, number: int, reading: float, *, more: str = "", contributor: str = "grey-bench"
) -> dict[str, str | bytes]:
    head = samples.TEST.partition("\n[[result.exercise]]")[0].replace("2026-09-12", day)
    text = head.replace("grey-bench", contributor) + f"\nfit_factor = {reading}\n{more}"
    return {f"tests/drum-cup/{day}-blue-heron-{number}.toml": text}


def dataset(folder: Path, files: dict[str, str | bytes]) -> Dataset:
    root = samples.write(folder, files)
    (root / samples.TEST_PATH).unlink()
    return build_dataset(root)


@pytest.fixture
def returned(tmp_path: Path) -> Dataset:
    """One mask on one face on three days, and once by somebody else."""
    files: dict[str, str | bytes] = {}
    for day, readings in (("2026-09-01", (100, 110)), ("2026-09-08", (90, 105)), ("2026-09-15", (95, 20))):
        for number, reading in enumerate(readings, start=1):
            files |= take(day, number, reading)
    files |= take("2026-09-15", 3, 40, contributor="red-bench")
    files |= take("2026-09-15", 10, 50, more='set_aside = "The hose came off."\n')
    return dataset(tmp_path, files)


def test_the_newest_come_first_and_the_tenth_after_the_ninth(returned: Dataset) -> None:
    own = rows_by_tester(returned, "contributor")
    assert list(own) == ["grey-bench", "red-bench"]
    assert [re.sub(r".*heron-", "", row["test"]) for row in own["grey-bench"]] == ["10", "2", "1", "2", "1", "2", "1"]
    days = [row["date"] for row in own["grey-bench"]]
    assert days == sorted(days, reverse=True)
    assert [row["test"][-2:] for row in rows_by_tester(returned, "wearer")["blue-heron"]] == [
        "10",
        "-3",
        "-2",
        "-1",
        "-2",
        "-1",
        "-2",
        "-1",
    ]


def test_a_reference_is_the_same_mask_face_and_method_on_several_days(returned: Dataset) -> None:
    own = rows_by_tester(returned, "contributor")
    (found,) = references(returned, own["grey-bench"])
    assert (found.configuration, found.wearer) == ("drum-cup+no-nose-foam", "blue-heron")
    assert [(day.date, day.donnings) for day in found.drift.days] == [
        ("2026-09-01", 2),
        ("2026-09-08", 2),
        ("2026-09-15", 2),
    ]
    assert found.drift.oddest.date == "2026-09-15"
    assert references(returned, own["red-bench"]) == ()


def test_a_set_up_with_a_limit_is_no_reference(tmp_path: Path) -> None:
    files = take("2026-09-01", 1, 100) | take("2026-09-02", 1, 200, more="at_least = true\n")
    data = dataset(tmp_path, files)
    assert references(data, rows_by_tester(data, "contributor")["grey-bench"]) == ()


def test_nobody_tested_nothing_to_list(tmp_path: Path) -> None:
    assert rows_by_tester(build_dataset(tmp_path), "wearer") == {}
