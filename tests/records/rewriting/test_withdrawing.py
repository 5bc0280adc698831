"""A person's tests go, and what stays in their place names nobody."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder.records.checking import check
from builder.records.kept_bench import FILE, KeptBench, KeptTake, write_with
from builder.records.kept_bench import bench as remembered
from builder.records.rewriting.entry_changes import CannotChangeError
from builder.records.rewriting.withdrawing import IN_HISTORY, REASON, withdraw_person
from tests.records import samples
from tests.records.rewriting.bench import TODAY, bench, carry_out, held


def test_no_file_names_the_wearer_any_more(tmp_path: Path) -> None:
    root = bench(tmp_path)
    changes = withdraw_person(root, "wearer", "blue-heron", REASON, TODAY)
    assert changes.notes == (IN_HISTORY,)
    carry_out(root, changes)
    assert not any(b"blue-heron" in content for content in held(root).values())
    assert not any("heron" in path for path in held(root))
    entries = check(root, today=TODAY).entries
    assert [(line.mask, line.tests) for line in entries.withdrawn] == [
        ("drum-cup", 2),
        ("box-fold", 1),
        ("drum-cup", 3),
    ]
    assert [record.id for record in entries.tests] == ["drum-cup/2026-09-12-red-kite-1"]
    assert [line.old for line in entries.renamed] == ["drum", "stripe"]


def test_a_contributor_and_where_the_name_still_stands(tmp_path: Path) -> None:
    root = bench(tmp_path, None)
    part = root / samples.PART_PATH
    part.write_text(part.read_text() + 'notes = "Cut by grey-bench, not by grey-bench-2."\n')
    changes = withdraw_person(root, "contributor", "grey-bench", "Asked for.", TODAY)
    assert changes.notes == (f"grey-bench still stands in {part.as_posix()}:7.", IN_HISTORY)
    carry_out(root, changes)
    assert check(root, today=TODAY).entries.tests == ()
    assert not (root / "tests/drum-cup").exists()
    [first, _] = check(root, today=TODAY).entries.withdrawn
    assert (first.mask, first.tests, first.reason) == ("box-fold", 1, "Asked for.")


def test_nobody_of_that_name(tmp_path: Path) -> None:
    with pytest.raises(CannotChangeError) as raised:
        withdraw_person(bench(tmp_path), "wearer", "blue-herron", REASON, TODAY)
    [obstacle] = raised.value.obstacles
    assert (obstacle.problem, obstacle.remedy) == ("There is no wearer blue-herron.", "Did you mean blue-heron?")


def test_what_is_remembered_of_the_bench_names_nobody_either(tmp_path: Path) -> None:
    root = bench(tmp_path)
    before = "tests/drum-cup/2026-01-02-blue-heron-1.toml"
    other = KeptTake("tests/drum-cup/2026-09-12-red-kite-1.toml")
    takes = (KeptTake(before, before, 'wearer = "blue-heron"'), other)
    answers = {"wearer": "blue-heron", "contributor": "grey-bench"}
    with remembered(root) as kept:
        write_with(root, replace(kept, answers=answers, takes=takes))
    carry_out(root, withdraw_person(root, "wearer", "blue-heron", REASON, TODAY))
    assert not any(b"blue-heron" in content for content in held(root).values())
    assert KeptBench.of(root) == KeptBench({"contributor": "grey-bench"}, takes=(other,))
    (root / FILE).write_text("[")
    changes = withdraw_person(root, "contributor", "grey-bench", REASON, TODAY)
    assert changes.notes[-1].startswith(f"{root / FILE} cannot be understood. Delete it:")
