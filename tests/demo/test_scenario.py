"""The invented entries: always the same, as varied as they should be, and without a fault."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections import defaultdict
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from builder import demo
from builder.demo.invented_bench import DONNINGS_A_SPECIMEN
from builder.demo.part_list import PARTS
from builder.demo.scenario import NamedEntry, generate, scenario
from builder.fit.panel import OUTSIDE, cell_of
from builder.records.checking import check
from builder.records.circumstances import Conditions, Observations, Specimen
from builder.records.models import Face, Mask, Part, Test, configuration_id
from builder.records.overall import overall
from builder.records.toml_text import to_toml
from builder.records.vocabulary import HAIR_AT_SEAL, Check, Slot
from builder.records.writing_files import write_files

ENTRIES = Path(__file__).parents[2] / "entries"
LARGE = (5000, 120, 60, 3, 400)


@cache
def default() -> list[NamedEntry]:
    return list(generate(demo.TESTS, demo.WEARERS, demo.MASKS, demo.SEED))


@cache
def large() -> list[NamedEntry]:
    return list(generate(*LARGE))


def takes(entries: list[NamedEntry]) -> list[Test]:
    return [record for _, record in entries if isinstance(record, Test)]


def worn() -> dict[str, dict[str, int]]:
    """Count the donnings that count: configuration → wearer → number."""
    donnings: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for test in takes(default()):
        if test.result.set_aside is None:
            donnings[configuration_id(test.mask, test.configuration)][test.face.wearer] += 1
    return donnings


def test_the_entries_of_the_repository_are_the_defaults_to_the_byte() -> None:
    committed = {
        path.relative_to(ENTRIES).as_posix(): path.read_bytes() for path in ENTRIES.rglob("*") if path.is_file()
    }
    assert committed == {path: to_toml(record).encode() for path, record in default()}


def test_the_same_arguments_give_the_same_entries_and_another_seed_gives_others() -> None:
    def texts(seed: int) -> list[tuple[str, str]]:
        return [(path, to_toml(record)) for path, record in generate(60, 8, 5, seed)]

    assert texts(1) == texts(1)
    assert not {path for path, _ in texts(1) if path.startswith("tests/")} & {path for path, _ in texts(2)}


def test_the_bench_does_not_hang_on_the_number_of_tests() -> None:
    few, many = (list(generate(tests, 10, 6, 5)) for tests in (1, 300))
    assert [entry for entry in few if not entry[0].startswith("tests/")] == [
        entry for entry in many if not entry[0].startswith("tests/")
    ]


def test_a_large_demo_reads_back_by_the_models() -> None:
    kinds: dict[str, type[Mask | Part | Test]] = {"masks": Mask, "parts": Part, "tests": Test}
    for path, record in large():
        assert kinds[path.split("/")[0]].model_validate(tomllib.loads(to_toml(record))) == record


@pytest.mark.parametrize("entries", [default, large])
def test_paths_say_what_is_in_the_file(entries: Callable[[], list[NamedEntry]]) -> None:
    records = entries()
    assert len({path for path, _ in records}) == len(records)
    assert [path for path, _ in records] == sorted(path for path, _ in records)
    masks = {path for path, record in records if isinstance(record, Mask)}
    for path, record in records:
        if isinstance(record, Test):
            assert path.startswith(f"tests/{record.mask}/{record.date}-{record.face.wearer}-")
            assert f"masks/{record.mask}.toml" in masks
        elif isinstance(record, Mask):
            assert path.startswith(f"masks/{record.model.lower()}")
            assert path.endswith(f"-{record.size.lower()}.toml" if record.size else f"{record.model.lower()}.toml")


@pytest.mark.parametrize("entries", [default, large])
def test_the_checker_finds_nothing(entries: Callable[[], list[NamedEntry]], tmp_path: Path) -> None:
    """No rule calls out where nothing is wrong: not one warning on 5,000 tests."""
    write_files(tmp_path, {path: to_toml(record) for path, record in entries()})
    checked = check(tmp_path, today=dt.date(2025, 1, 1))
    assert checked.problems == []
    assert len(checked.entries.tests) == len(takes(entries()))


def test_numbers_are_as_asked_and_every_record_says_that_it_is_invented() -> None:
    tests, wearers, masks, _, configurations = LARGE
    records = takes(large())
    assert len(records) == tests
    assert sum(isinstance(record, Mask) for _, record in large()) == masks
    assert len({test.face.wearer for test in records}) == wearers
    assert len({configuration_id(test.mask, test.configuration) for test in records}) == configurations
    assert all(record.source.invented for _, record in large())


def test_a_wearer_has_one_face_in_every_file() -> None:
    faces: dict[str, set[Face]] = defaultdict(set)
    for test in takes(large()):
        faces[test.face.wearer].add(test.face.model_copy(update={"facial_hair": None}))
    assert {len(different) for different in faces.values()} == {1}


def test_the_default_bench_has_faces_of_every_sort() -> None:
    faces = {test.face.wearer: test.face for test in takes(default())}
    assert len(faces) == demo.WEARERS
    assert sum(face.cell is not None for face in faces.values()) == 2
    assert sum(face.nose_bridge is None for face in faces.values()) == 1
    assert {face.nose_bridge for face in faces.values()} == {None, "low", "medium", "high"}
    measured = [(f.length_mm, f.width_mm) for f in faces.values() if f.length_mm is not None and f.width_mm is not None]
    cells = [cell_of(length, width) for length, width in measured]
    assert cells.count(OUTSIDE) == 1
    assert len(set(cells)) >= 7


SLOTS_WITHOUT_PART: dict[Slot, str] = {}
"""Slots that no part of the demo fills, with the reason."""


def test_the_default_bench_covers_every_slot_and_uses_every_part() -> None:
    used = {part for _, record in default() if isinstance(record, Mask) for _, part in record.as_sold.filled()}
    used |= {part for test in takes(default()) for _, part in test.configuration.filled()}
    assert used == {*PARTS, "none"}
    filled = {part.slot for part in PARTS.values()}
    assert filled == set(Slot) - SLOTS_WITHOUT_PART.keys(), (
        "PARTS in builder/demo/part_list.py fills every slot; or say in SLOTS_WITHOUT_PART here why not"
    )


def test_the_default_bench_holds_factorials_of_each_sort() -> None:
    by_mask: dict[str, dict[str, dict[str, int]]] = defaultdict(dict)
    for name, wearers in worn().items():
        mask, _, parts = name.partition("+")
        by_mask[mask][parts] = wearers
    full = next(tried for tried in by_mask.values() if len(tried) == 8)
    assert any(all(wearers.get(wearer, 0) >= 2 for wearers in full.values()) for wearer in full[""])
    shapes = [sorted(parts.count("+") + 1 for parts in tried if parts) for tried in by_mask.values()]
    assert [1, 1, 1] in shapes
    assert [2, 2, 2] in shapes


def test_changes_are_compared_on_one_two_three_and_more_wearers() -> None:
    tried = worn()
    changed = {name: set(wearers) for name, wearers in tried.items() if "+" in name}
    assert all(wearers <= set(tried[name.split("+")[0]]) for name, wearers in changed.items())
    assert {1, 2, 3, 6} <= {len(wearers) for wearers in changed.values()}
    as_sold = sorted(len(wearers) for name, wearers in tried.items() if "+" not in name)
    assert sum(count >= 5 for count in as_sold) >= 9
    assert as_sold[0] == 1


def test_the_default_bench_shows_every_way_to_write_a_result() -> None:
    results = [test.result for test in takes(default())]
    share = {
        "at least": np.mean([result.at_least for result in results]),
        "exercises": np.mean([bool(result.exercise) for result in results]),
        "counts": np.mean([bool(result.counts) for result in results]),
        "set aside": np.mean([result.set_aside is not None for result in results]),
    }
    low = {"at least": 0.05, "exercises": 0.1, "counts": 0.1, "set aside": 0.03}
    high = {"at least": 0.15, "exercises": 0.35, "counts": 0.3, "set aside": 0.08}
    assert all(low[name] <= value <= high[name] for name, value in share.items()), share
    assert any(result.at_least and any(count.particles == 0 for count in result.counts) for result in results)
    assert any(exercise.at_least for result in results for exercise in result.exercise)


def test_hair_at_the_seal_is_always_set_aside_and_never_hides() -> None:
    unshaved = [test for test in takes(default()) if test.face.facial_hair in HAIR_AT_SEAL]
    assert len(unshaved) >= 2
    assert all(test.result.set_aside for test in unshaved)


def test_written_values_agree_with_their_details() -> None:
    for test in takes(large()):
        read = overall(test.result)
        assert test.result.fit_factor == pytest.approx(read.fit_factor, rel=0.005)
        assert test.result.at_least == read.at_least


def test_fit_factors_are_those_of_real_benches() -> None:
    as_sold = [t for t in takes(large()) if not t.configuration.filled() and t.result.set_aside is None]
    values = np.array([test.result.fit_factor for test in as_sold], dtype=float)
    assert 15 < np.exp(np.log(values).mean()) < 80
    assert values.min() >= 1
    assert 0.1 < np.mean(values >= 100) < 0.5


def test_dates_are_bench_days() -> None:
    dates = {test.date for test in takes(large())}
    assert all(date.weekday() == 5 for date in dates)
    assert dt.date(2023, 2, 4) <= min(dates) <= max(dates) <= dt.date(2024, 11, 23)


def test_one_wearer_with_one_mask_may_come_as_often_as_they_like() -> None:
    entries = list(generate(1200, 1, 1, 0, 1))
    assert len({path for path, _ in entries}) == len(entries)
    assert sum(isinstance(record, Test) for _, record in entries) == 1200


def test_no_tests_leave_masks_and_parts() -> None:
    assert len(list(generate(0, 1, 3, 0))) == 3 + len(PARTS)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((-1, 4, 4, 0), "there cannot be fewer than no tests"),
        ((5, 0, 4, 0), "there must be at least one wearer and one mask"),
        ((5, 4, 4, 0, 3), "with 4 masks there can be 4 to 352 configurations, not 3"),
    ],
)
def test_what_cannot_be_is_refused(arguments: tuple[int, int, int, int], message: str) -> None:
    with pytest.raises(ValueError, match=f"^{message}$"):
        generate(*arguments)


def test_configurations_are_dealt_over_the_masks_in_turn() -> None:
    drawn = scenario(2, 4, 0, 30)
    per_mask = np.bincount([configuration.mask for configuration in drawn.configurations])
    assert per_mask.tolist() == [8, 8, 7, 7]
    assert len({configuration.id for configuration in drawn.configurations}) == 30


def methods(test: Test) -> tuple[object, ...]:
    return test.result.protocol, test.conditions.instrument, test.conditions.size_selection


def test_the_default_bench_bridges_methods_and_has_masks_measured_in_one_way() -> None:
    cells: dict[tuple[str, str], set[object]] = defaultdict(set)
    masks: dict[str, set[object]] = defaultdict(set)
    for test in takes(default()):
        cells[test.face.wearer, configuration_id(test.mask, test.configuration)].add(methods(test))
        masks[test.mask].add(methods(test))
    assert sum(len(found) > 1 for found in cells.values()) >= 20
    alone = [found for found in masks.values() if len(found) == 1]
    assert len(alone) >= 3
    assert len(set.union(*alone)) >= 3


def test_a_specimen_is_worn_by_one_wearer_and_ages() -> None:
    worn: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for test in sorted(takes(large()), key=lambda test: (test.date, test.conditions.order or 0)):
        if test.specimen.label is not None and test.specimen.donnings_before is not None:
            worn[test.mask, test.face.wearer, test.specimen.label].append(test.specimen.donnings_before)
    assert len(worn) > 100
    assert all(sorted(before) == list(range(len(before))) for before in worn.values())
    assert max(map(len, worn.values())) == DONNINGS_A_SPECIMEN


def test_the_default_bench_notes_something_in_every_key() -> None:
    for name, table in (("specimen", Specimen), ("conditions", Conditions), ("observations", Observations)):
        for key in table.model_fields:
            values = [getattr(getattr(test, name), key) for test in takes(default())]
            assert any(value not in (None, ()) for value in values), f"{name}.{key}"
    checks = {test.conditions.seal_check for test in takes(default())}
    assert checks == {None, *Check}
