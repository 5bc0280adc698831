"""What `--fix` corrects, and what it leaves alone."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

import pytest

from builder.records.checking import check
from builder.records.fixing import fix_entries
from tests.records import samples


def fixed(root: Path, *paths: str) -> list[str]:
    return [f"{fix.path}: {fix.what}" for fix in fix_entries(root, paths)]


def text(root: Path, path: str = samples.TEST_PATH) -> str:
    return (root / path).read_bytes().decode()


def test_sound_entries_are_left_alone(tmp_path: Path) -> None:
    samples.write(tmp_path)
    before = {path: _written(tmp_path / path) for path in samples.FILES}
    assert fixed(tmp_path) == []
    assert {path: _written(tmp_path / path) for path in samples.FILES} == before


def _written(path: Path) -> tuple[int, int, bytes]:
    """Which file it is, when it was last written, and what it holds. When it was last read does not matter."""
    return path.stat().st_ino, path.stat().st_mtime_ns, path.read_bytes()


def test_the_form_of_a_file(tmp_path: Path) -> None:
    untidy = samples.TEST.partition("\n")[2].replace('"grey-bench"', '"grey-bench"  \t').replace("\n", "\r\n")
    samples.write(tmp_path, {samples.TEST_PATH: b"\xef\xbb\xbf" + untidy.rstrip().encode()})
    (tmp_path / samples.TEST_PATH).chmod(0o640)
    assert fixed(tmp_path) == [
        f"{samples.TEST_PATH}: {what}"
        for what in (
            "removed the byte order mark",
            "made line ends plain",
            "removed spaces at line ends",
            "ended the file with one line end",
            "added the schema line",
        )
    ]
    assert text(tmp_path) == samples.TEST
    assert (tmp_path / samples.TEST_PATH).stat().st_mode & 0o777 == 0o640
    assert fixed(tmp_path) == []


def test_spaces_inside_a_text_are_kept(tmp_path: Path) -> None:
    prose = samples.TEST.replace('"The right side sat well."', '"""\nA line.   \nAnother.\n"""')
    samples.write(tmp_path, {samples.TEST_PATH: prose})
    assert fixed(tmp_path) == []
    assert text(tmp_path) == prose


@pytest.mark.parametrize(
    "right, wrong, what",
    [
        ('"short-four-exercise"', "'Short Four_Exercise'", 'wrote "short-four-exercise" for protocol'),
        ('"short-four-exercise"', '"Short, four exercises"  # as shown', 'wrote "short-four-exercise" for protocol'),
        ('"left-cheek"', '"Left cheek"', 'wrote "left-cheek"'),
        ('facial_hair = "none"', 'facial_hair = "NONE"', 'wrote "none" for facial_hair'),
    ],
)
def test_words_spelled_with_other_case_or_gaps(tmp_path: Path, right: str, wrong: str, what: str) -> None:
    samples.write(tmp_path, {samples.TEST_PATH: samples.TEST.replace(right, wrong)})
    assert fixed(tmp_path) == [f"{samples.TEST_PATH}: {what}"]
    assert tomllib.loads(text(tmp_path)) == tomllib.loads(samples.TEST)
    assert check(tmp_path, today=date(2026, 12, 1)).problems == []


@pytest.mark.parametrize(
    "content",
    [
        samples.TEST.replace('"talking"', '"talkin"'),  # a guess
        samples.TEST.replace("117", '"117"'),  # a value
        samples.TEST.replace("117", "117,5"),  # no TOML
        samples.TEST.replace("comfort", "confort"),  # a key
    ],
)
def test_what_only_the_contributor_knows_is_left_alone(tmp_path: Path, content: str) -> None:
    samples.write(tmp_path, {samples.TEST_PATH: content})
    assert fixed(tmp_path) == []
    assert text(tmp_path) == content


def test_a_file_in_the_wrong_place_is_moved(tmp_path: Path) -> None:
    samples.write(
        tmp_path,
        {
            samples.TEST_PATH: samples.TEST.replace("drum-cup", "box-cup", 1).replace("blue-heron", "red-kite"),
            "masks/box-cup.toml": samples.MASK.replace("Drum", "Box"),
        },
    )
    target = "tests/box-cup/2026-09-12-red-kite-1.toml"
    assert fixed(tmp_path) == [f"{samples.TEST_PATH}: moved to {target}"]
    assert not (tmp_path / samples.TEST_PATH).exists()
    assert check(tmp_path, today=date(2026, 12, 1)).problems == []


def test_a_folder_that_nothing_is_left_in_goes_too(tmp_path: Path) -> None:
    wrong = samples.TEST_PATH.replace("drum-cup/", "other-cup/")
    samples.write(tmp_path, {wrong: samples.TEST.replace("-12", "-11", 1), "tests/drum-cup/.DS_Store": ""})
    assert len(fixed(tmp_path)) == 1
    assert not (tmp_path / "tests" / "other-cup").exists()


def test_a_file_without_a_proper_name_gets_the_first_free_number(tmp_path: Path) -> None:
    samples.write(tmp_path, {"tests/drum-cup/12.9.2026.toml": samples.TEST.replace("= 50", "= 51")})
    assert fixed(tmp_path) == ["tests/drum-cup/12.9.2026.toml: moved to tests/drum-cup/2026-09-12-blue-heron-2.toml"]


def test_no_file_is_ever_overwritten(tmp_path: Path) -> None:
    other = samples.TEST_PATH.replace("blue-heron", "red-kite")
    samples.write(tmp_path, {other: samples.TEST.replace("= 50", "= 51")})
    assert fixed(tmp_path) == []
    assert text(tmp_path) == samples.TEST


def test_a_test_is_not_moved_to_a_mask_that_is_not_there(tmp_path: Path) -> None:
    samples.write(tmp_path, {samples.TEST_PATH: samples.TEST.replace("drum-cup", "drum-cap")})
    assert fixed(tmp_path) == []


def test_only_chosen_files_are_touched(tmp_path: Path) -> None:
    bare = samples.TEST.partition("\n")[2]
    other = samples.TEST_PATH.replace("-1.toml", "-2.toml")
    samples.write(tmp_path, {samples.TEST_PATH: bare, other: bare})
    assert fixed(tmp_path, other) == [f"{other}: added the schema line"]
    assert text(tmp_path) == bare


def test_links_and_large_files_are_left_alone(tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries", {samples.PART_PATH: "#" * 70_000})
    outside = tmp_path / "outside.toml"
    outside.write_text("x = 1  \n", encoding="utf-8")
    (root / "parts/linked.toml").symlink_to(outside)
    assert fixed(root) == []
    assert outside.read_text(encoding="utf-8") == "x = 1  \n"
