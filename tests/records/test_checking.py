"""What the checker says, word for word, and that it always says something instead of breaking down."""

from __future__ import annotations

import gc
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from builder.records import checking
from builder.records.all_rules import ALL_RULES
from builder.records.checking import check, check_new
from builder.records.problems import Finding, as_text
from builder.records.rules import RECORD_RULES
from tests.records import samples

BROKEN = Path(__file__).parent.parent / "broken"
RULES_WITH_FIXTURE = sorted(folder.name for folder in BROKEN.iterdir() if folder.is_dir())
# What cannot be kept in a folder of fixtures is made by the tests of reading, and of failing rules below.
RULES_WITH_TEST = {
    "entries-folder",
    "failed-rule",
    "file-size",
    "no-links",
    "picture-file",
    "picture-metadata",
    "readable",
}
TODAY = date(2026, 12, 1)


def said(root: Path, *paths: str) -> str:
    return as_text(check(root, paths, today=TODAY).problems).replace(f"{root.as_posix()}/", "")


@pytest.mark.parametrize("rule", RULES_WITH_FIXTURE)
def test_each_fault_is_named_word_for_word(rule: str) -> None:
    expected = (BROKEN / rule / "expected.txt").read_text(encoding="utf-8")
    assert said(BROKEN / rule / "entries") + "\n" == expected.replace("entries/", "")
    assert f" {rule}" in expected


def test_each_rule_is_seen_to_fire() -> None:
    assert {rule.name for rule in ALL_RULES} == set(RULES_WITH_FIXTURE) | RULES_WITH_TEST


def test_entries_without_a_fault(tmp_path: Path) -> None:
    checked = check(samples.write(tmp_path), today=TODAY)
    entries, problems = checked.entries, checked.problems
    assert problems == []
    assert list(entries.masks) == ["drum-cup"]
    assert list(entries.parts) == ["thin-foam"]
    assert [record.id for record in entries.tests] == ["drum-cup/2026-09-12-blue-heron-1"]
    assert entries.tests[0].path == samples.TEST_PATH
    assert entries.tests[0].test.face.length_mm == 117


def test_what_was_taken_out_is_read_beside_the_rest(tmp_path: Path) -> None:
    checked = check(samples.write(tmp_path, {samples.REMOVED_PATH: samples.REMOVED}), today=TODAY)
    entries, problems = checked.entries, checked.problems
    assert problems == []
    assert [(removal.test, removal.reason) for removal in entries.removed] == [
        ("drum-cup/2026-09-12-blue-heron-2", "The hose was loose.")
    ]


def test_a_test_with_a_broken_file_is_still_there(tmp_path: Path) -> None:
    listed = samples.REMOVED.replace("heron-2", "heron-1")
    samples.write(tmp_path, {samples.REMOVED_PATH: listed, samples.TEST_PATH: "mask = "})
    assert [p.rule for p in check(tmp_path, today=TODAY).problems] == ["removed-test", "syntax"]


def test_an_empty_folder_is_no_problem(tmp_path: Path) -> None:
    checked = check(tmp_path)
    entries, problems = checked.entries, checked.problems
    assert (entries.masks, entries.parts, entries.tests, problems) == ({}, {}, (), [])


def test_a_missing_folder_is_one_problem(tmp_path: Path) -> None:
    assert as_text(check(tmp_path / "gone").problems) == (
        f"{tmp_path / 'gone'}:1 error entries-folder\n"
        "    There is no such folder.\n"
        "    → Name the folder that holds masks, parts and tests with --entries."
    )


def test_an_unreadable_mask_is_not_reported_again_by_its_tests(tmp_path: Path) -> None:
    samples.write(tmp_path, {samples.MASK_PATH: "model = Drum", samples.PART_PATH: "name = "})
    assert [(p.path.removeprefix(f"{tmp_path}/"), p.rule) for p in check(tmp_path, today=TODAY).problems] == [
        (samples.MASK_PATH, "syntax"),
        (samples.PART_PATH, "syntax"),
    ]


def test_a_fault_in_one_table_does_not_hide_those_in_others(tmp_path: Path) -> None:
    content = samples.TEST.replace('nose-foam = "none"', 'brace = "wide-frame"').replace("comfort", "confort")
    samples.write(tmp_path, {samples.TEST_PATH: content.replace("2026-", "2062-", 1)})
    assert [(p.rule, p.key) for p in check(tmp_path, today=TODAY).problems] == [
        ("own-place", "date"),
        ("possible-date", "date"),
        ("known-part", "configuration.brace"),
        ("unknown-key", "observations.confort"),
    ]


def test_a_fault_is_not_reported_again_for_what_it_leaves_out(tmp_path: Path) -> None:
    content = samples.TEST.replace('"bending-over"', '"bending"').replace("= 138", '= "138"')
    samples.write(tmp_path, {samples.TEST_PATH: content.replace("= 117", '= "117"')})
    assert [p.rule for p in check(tmp_path, today=TODAY).problems] == ["value-type", "value-type", "unknown-word"]


def test_what_is_needed_and_wrong_hides_nothing_else(tmp_path: Path) -> None:
    """No number, a mask that is no id, a protocol that is no word, a key that nobody knows: all at once."""
    head, _, tail = samples.TEST.partition("\n[[result.exercise]]")
    content = (head + "\n[conditions]" + tail.partition("[conditions]")[2]).replace('"drum-cup"', '"Drum Cup"')
    content = content.replace("short-four-exercise", "short").replace("[observations]", "[observations]\nxyzzy = 3")
    samples.write(tmp_path, {samples.TEST_PATH: content.replace('nose-foam = "none"', 'brace = "wide-frame"')})
    assert [(p.rule, p.key) for p in check(tmp_path, today=TODAY).problems] == [
        ("text-form", "mask"),
        ("known-part", "configuration.brace"),
        ("planned-test", "result"),
        ("unknown-word", "result.protocol"),
        ("unknown-key", "observations.xyzzy"),
    ]


def test_a_wrong_mask_a_bad_key_and_no_number(tmp_path: Path) -> None:
    head, _, _ = samples.TEST.partition("\n[[result.exercise]]")
    content = (
        head.replace('"drum-cup"', '"drum-cap"').replace("[result]", "[result]\nxyzzy = 3").replace("none", "nonne")
    )
    samples.write(tmp_path, {samples.TEST_PATH: content})
    assert [(p.rule, p.key) for p in check(tmp_path, today=TODAY).problems] == [
        ("own-place", "mask"),
        ("known-part", "configuration.nose-foam"),
        ("unknown-word", "face.facial_hair"),
        ("planned-test", "result"),
        ("unknown-key", "result.xyzzy"),
    ]


def test_a_misspelled_number_is_one_problem(tmp_path: Path) -> None:
    head, _, _ = samples.TEST.partition("\n[[result.exercise]]")
    samples.write(tmp_path, {samples.TEST_PATH: head + "fit_facter = 64\n"})
    assert [p.rule for p in check(tmp_path, today=TODAY).problems] == ["unknown-key"]


def test_keys_that_belong_together_are_looked_at_beside_a_bad_word(tmp_path: Path) -> None:
    content = samples.TEST.replace("width_mm = 138\n", "").replace('"high"', '"hihg"')
    samples.write(tmp_path, {samples.TEST_PATH: content})
    assert [(p.rule, p.key) for p in check(tmp_path, today=TODAY).problems] == [
        ("belong-together", "face"),
        ("unknown-word", "face.nose_bridge"),
    ]


def test_a_table_that_is_none_hides_nothing_else(tmp_path: Path) -> None:
    content = samples.TEST.replace("[face]", "[faces]").replace('brace = "', "")
    samples.write(tmp_path, {samples.TEST_PATH: content.replace("comfort = 4", "comfort = 9")})
    assert [(p.rule, p.key) for p in check(tmp_path, today=TODAY).problems] == [
        ("missing-key", "face"),
        ("unknown-key", "faces"),
        ("value-range", "observations.comfort"),
    ]


def test_tests_are_sorted_by_id(tmp_path: Path) -> None:
    other = samples.TEST.replace("drum-cup", "drum-cup-2").replace("= 50", "= 51")
    mask = samples.MASK.replace('"Drum"', '"Drum two"')
    samples.write(
        tmp_path,
        {samples.TEST_PATH.replace("drum-cup", "drum-cup-2"): other, "masks/drum-cup-2.toml": mask},
    )
    checked = check(tmp_path, today=TODAY)
    entries, problems = checked.entries, checked.problems
    assert problems == []
    # A hyphen sorts before the slash.
    assert [record.id for record in entries.tests] == [
        "drum-cup-2/2026-09-12-blue-heron-1",
        "drum-cup/2026-09-12-blue-heron-1",
    ]


SECOND = samples.TEST_PATH.replace("-1.toml", "-2.toml")
OTHER_WEARER = samples.TEST_PATH.replace("blue-heron", "red-kite")


def test_only_chosen_files_are_reported_on(tmp_path: Path) -> None:
    samples.write(tmp_path, {SECOND: "mask = 1", OTHER_WEARER: "mask = 2"})
    assert said(tmp_path, samples.TEST_PATH) == ""
    assert said(tmp_path, SECOND).startswith(f"{SECOND}:1 error ")
    assert OTHER_WEARER not in said(tmp_path, SECOND)
    assert OTHER_WEARER in said(tmp_path, "tests/drum-cup")
    assert said(tmp_path, samples.MASK_PATH) == ""


@pytest.mark.parametrize("rule", RULES_WITH_FIXTURE)
def test_a_file_by_itself_is_told_what_it_is_told_among_all(rule: str) -> None:
    """Whatever a rule looks at beside it: other days' ambient level, the mask's other tests, one it was copied from."""
    root = BROKEN / rule / "entries"
    everything = check(root, today=TODAY).problems
    for path in sorted({problem.path for problem in everything}):
        place = Path(path).relative_to(root).as_posix()
        asked = check(root, [place], today=TODAY).problems
        assert [p for p in asked if p.path == path] == [p for p in everything if p.path == path] != []
        assert set(asked) <= set(everything)
        assert all(p.path == path or p.concerns == (Path(p.path).relative_to(root).as_posix(), place) for p in asked)


@pytest.mark.parametrize("chosen", [samples.TEST_PATH, SECOND])
def test_a_chosen_file_is_compared_with_the_same_wearers_other_files(tmp_path: Path, chosen: str) -> None:
    samples.write(tmp_path, {SECOND: samples.TEST.replace("138", "139").replace("= 50", "= 51"), OTHER_WEARER: "x"})
    assert said(tmp_path, chosen) == (
        f"{SECOND}:11 error same-face  face.length_mm\n"
        f"    blue-heron has 117 × 139 mm here, but 117 × 138 mm in {samples.TEST_PATH}:11.\n"
        "    → Correct the one that is wrong; another face needs another pseudonym."
    )


def test_a_test_on_the_other_side_of_the_date_line_is_not_in_the_future(tmp_path: Path) -> None:
    samples.write(tmp_path)
    assert check(tmp_path, today=date(2026, 9, 11)).problems == []
    assert [p.rule for p in check(tmp_path, today=date(2026, 9, 10)).problems] == ["possible-date"]


def test_a_rule_that_breaks_down_is_reported_and_the_others_still_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> list[Finding]:
        raise ZeroDivisionError("no\x1b zero")

    rules = [replace(rule, test=broken) if rule.name == "hair-at-seal" else rule for rule in RECORD_RULES]
    monkeypatch.setattr(checking, "RECORD_RULES", tuple(rules))
    samples.write(tmp_path, {samples.TEST_PATH: samples.TEST.replace("2026-09-12", "2062-09-12", 1)})
    assert said(tmp_path) == (
        f"{samples.TEST_PATH}:1 error failed-rule\n"
        "    The rule hair-at-seal broke down: ZeroDivisionError: no\\u001b zero.\n"
        "    → Report this as a fault of the checker.\n"
        f"{samples.TEST_PATH}:3 error own-place  date\n"
        "    date is 2062-09-12, but the file is named 2026-09-12.\n"
        "    → Write date = 2026-09-12, or rename the file to 2062-09-12-blue-heron-1.toml.\n"
        f"{samples.TEST_PATH}:3 error possible-date  date\n"
        "    2062-09-12 lies in the future: by the clock here it is 2026-12-01.\n"
        "    → Write the day of the test as year-month-day."
    )


def test_the_garbage_collector_is_left_as_it_was(tmp_path: Path) -> None:
    check(tmp_path)
    assert gc.isenabled()
    gc.disable()
    try:
        check(tmp_path)
        assert not gc.isenabled()
    finally:
        gc.enable()


LATER = samples.TEST.replace("fit_factor = 50\n", "fit_factor = 40\n")
NEW_MASK_TEST = "tests/new-cup/2026-09-12-blue-heron-1.toml"


def files(root: Path) -> dict[str, str]:
    return {path.relative_to(root).as_posix(): path.read_text() for path in sorted(root.rglob("*")) if path.is_file()}


def test_a_good_new_test_has_no_problem_and_is_not_there_yet(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    before = files(root)
    assert check_new(root, {SECOND: LATER}, today=TODAY) == []
    assert files(root) == before


def test_new_entries_are_compared_with_old_ones_and_each_other(tmp_path: Path) -> None:
    root = samples.write(tmp_path)
    wider = LATER.replace("width_mm = 138", "width_mm = 148")
    [face] = check_new(root, {SECOND: wider}, today=TODAY)
    assert (face.path, face.rule, face.line) == (f"{root}/{SECOND}", "same-face", 11)
    assert face.problem.endswith(f"but 117 × 138 mm in {root}/{samples.TEST_PATH}:11.")
    assert [problem.rule for problem in check_new(root, {SECOND: samples.TEST}, today=TODAY)] == ["same-test"]
    mask = {"masks/new-cup.toml": samples.MASK.replace("Drum", "New")}
    new_test = {NEW_MASK_TEST: LATER.replace("drum-cup", "new-cup")}
    assert [problem.rule for problem in check_new(root, new_test, today=TODAY)] == ["known-mask"]
    assert check_new(root, mask | new_test, today=TODAY) == []


def test_faults_of_other_files_are_no_concern_of_new_ones(tmp_path: Path) -> None:
    root = samples.write(tmp_path, {"parts/bad.toml": "x", "tests/drum-cup/2026-01-01-red-fox-1.toml": "y"})
    assert check_new(root, {SECOND: LATER}, today=TODAY) == []
