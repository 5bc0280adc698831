"""No file and no folder, whatever it holds, stops the reader."""

from __future__ import annotations

import os
import random
import re
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.records.all_rules import ALL_RULES
from builder.records.checking import check
from builder.records.entries import EntryFile
from builder.records.file_faults import MAX_BYTES, MAX_LIST_BYTES
from builder.records.passed_over import is_passed_over
from builder.records.problems import Problem, as_github, as_json, as_text
from builder.records.reading import list_files, read_file
from builder.records.vocabulary import Slot
from tests.conftest import FIXTURE_KEPT
from tests.records import samples
from tests.review.repository import start

NAMES = {rule.name for rule in ALL_RULES}
FILES = {"mask": samples.MASK_PATH, "part": samples.PART_PATH, "test": samples.TEST_PATH}


def problems_with(root: Path, content: bytes, path: str = samples.TEST_PATH) -> list[Problem]:
    """Check one file of the given content among sound ones, and every way to print the outcome."""
    samples.write(root, {path: content})
    checked = check(root, today=date(2026, 12, 1))
    for problem in checked.problems:
        assert problem.rule in NAMES
        assert 1 <= problem.line <= content.count(b"\n") + 1
        assert problem.problem and problem.remedy
        assert "Input should" not in problem.problem + problem.remedy
    assert as_text(checked.problems).isprintable() or "\n" in as_text(checked.problems)
    as_json(checked.problems), as_github(checked.problems)
    read = len(checked.entries.masks) + len(checked.entries.parts) + len(checked.entries.tests)
    assert read >= 3 or checked.problems
    return checked.problems


def rules(root: Path) -> list[str]:
    return [problem.rule for problem in check(root, today=date(2026, 12, 1)).problems]


@pytest.mark.parametrize(
    "content, expected",
    [
        (b"", "missing-key"),
        (b"\x00\x01\x02", "syntax"),
        (b"\xff\xfe\x00", "encoding"),
        (b"mask = '\xe4'", "encoding"),
        (b"a = " + b"[" * 60_000, "syntax"),
        (b"a = " + b"{b=" * 20_000, "syntax"),
        (b"a = " + b"9" * 10_000, "syntax"),
        (b"a." * 30_000 + b"a = 1", "syntax"),
        (b"x = {" + b'"a" . ' * 10_000 + b"a = 1}", "syntax"),
        (b"[" + b"a." * 30_000 + b"a]", "syntax"),
        (b"a." * 20 + b"a = 1", "unknown-key"),
        (b"".join(b"k%d = 1\n" % n for n in range(5_000)), "unknown-key"),
        (b"x" * MAX_BYTES, "syntax"),
        (b"#" + b"x" * MAX_BYTES, "file-size"),
        (samples.TEST.replace("117", "9" * 400).encode(), "value-type"),
        (samples.TEST.replace("117", "1e400").encode(), "value-type"),
        (samples.TEST.replace("117", "-inf").encode(), "value-type"),
        (samples.TEST.replace("117", "nan").encode(), "value-type"),
        (samples.TEST.replace("2026-09-12", "2026-09-12T10:00:00Z").encode(), "value-type"),
        (samples.TEST.replace("2026-09-12", "10:00:00").encode(), "value-type"),
    ],
)
def test_hostile_content(tmp_path: Path, content: bytes, expected: str) -> None:
    assert expected in {problem.rule for problem in problems_with(tmp_path, content)}


def test_windows_line_ends_are_fine(tmp_path: Path) -> None:
    assert problems_with(tmp_path, samples.TEST.replace("\n", "\r\n").encode()) == []


def test_with_a_byte_order_mark_the_rest_is_read_too(tmp_path: Path) -> None:
    found = problems_with(tmp_path, b"\xef\xbb\xbf" + samples.TEST.replace("comfort = 4", "comfort = 9").encode())
    assert [(problem.rule, problem.line) for problem in found] == [("encoding", 1), ("value-range", 41)]


def test_a_huge_file_is_refused_without_reading_all_of_it(tmp_path: Path) -> None:
    samples.write(tmp_path)
    with (tmp_path / samples.TEST_PATH).open("wb") as file:
        file.truncate(50_000_000_000)  # a sparse file: reading it would fill the memory
    assert as_text(check(tmp_path).problems) == (
        f"{tmp_path}/{samples.TEST_PATH}:1 error file-size\n"
        "    The file is larger than 64 kB.\n"
        "    → Keep the entry and link to the rest from source.link."
    )


def test_the_list_of_what_was_taken_out_may_be_long(tmp_path: Path) -> None:
    line = samples.REMOVED.partition("\n\n")[2].replace("heron-2", "heron-{}")
    long = "\n".join(line.format(n) for n in range(2, 2_000))
    assert len(long) > MAX_BYTES
    assert problems_with(tmp_path, long.encode(), samples.REMOVED_PATH) == []
    found = problems_with(tmp_path, b"#" * (MAX_LIST_BYTES + 1), samples.REMOVED_PATH)
    assert [problem.problem for problem in found] == ["The list is larger than 4 MB."]


def test_links_are_refused(tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries")
    outside = tmp_path / "outside.toml"
    outside.write_text(samples.PART, encoding="utf-8")
    (root / "parts/linked.toml").symlink_to(outside)
    (root / "tests/linked").symlink_to(root / "tests/drum-cup", target_is_directory=True)
    (root / "masks/nowhere.toml").symlink_to(tmp_path / "gone")
    assert as_text(check(root, ["parts"], today=date(2026, 12, 1)).problems) == (
        f"{root}/parts/linked.toml:1 error no-links\n"
        "    This is a symbolic link.\n"
        "    → Put the file itself here, or delete the link."
    )
    assert rules(root) == ["no-links"] * 3


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    samples.write(tmp_path)
    os.mkfifo(tmp_path / "parts/pipe.toml")
    assert rules(tmp_path) == ["unexpected-file"]


def test_what_cannot_be_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    samples.write(tmp_path)
    (tmp_path / samples.TEST_PATH).unlink()
    # Between listing and reading a file may go; permissions do not stop the superuser who may run this.
    read = read_file(tmp_path, EntryFile("test", samples.TEST_PATH))
    assert read.record is None
    assert [(found.rule.name, found.finding.problem) for found in read.found] == [
        ("readable", "It cannot be read: no such file or directory.")
    ]

    def refuse(path: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "scandir", refuse)
    assert [(found.rule.name, found.finding.problem) for found in list_files(tmp_path).found] == [
        ("readable", "It cannot be read: permission denied.")
    ]


@pytest.mark.parametrize(
    "path, refused",
    [
        (".gitattributes", True),
        (".gitmodules", True),
        (".gitconfig", True),
        ("tests/drum-cup/.gitignore", True),
        ("parts/.g\u200ci\u200dtattributes", True),
        ("masks/.GIT/config", True),
        ("masks/git~1/config", True),
        (".hidden/.gitattributes", True),
        (".hidden/deep/HEAD", True),
        (".hidden/deep/objects/x", False),
        (".hidden/deep/README.md", False),
        (".gitkeep", False),
        ("tests/.gitkeep", False),
        (".github/workflows/x.yml", False),
        (".DS_Store", False),
        ("masks/._drum-cup.toml", False),
        ("masks/.drum-cup.toml.swp", False),
        ("README.md", False),
        ("masks/README.md", False),
    ],
)
def test_of_hidden_files_those_of_git_are_refused(tmp_path: Path, path: str, refused: bool) -> None:
    samples.write(tmp_path, {path: ""})
    assert rules(tmp_path) == ["git-files"] * refused
    assert is_passed_over(path) is not refused


def test_a_folder_is_no_readme(tmp_path: Path) -> None:
    samples.write(tmp_path, {"README.md/HEAD": ""})
    (tmp_path / "masks" / "README.md").symlink_to("/etc/passwd")
    assert rules(tmp_path) == ["unexpected-file", "no-links"]
    assert not is_passed_over("README.md/HEAD")


def test_hundreds_of_hidden_folders_inside_each_other_are_read(tmp_path: Path) -> None:
    samples.write(tmp_path)
    deepest = tmp_path
    for _ in range(300):
        deepest /= ".a"
    deepest.mkdir(parents=True)
    (deepest / "HEAD").write_text("")
    assert rules(tmp_path) == ["git-files"]


def test_a_repository_among_the_entries_is_named(tmp_path: Path) -> None:
    samples.write(tmp_path, {"tests/drum-cup/.git": "gitdir: ../../../.git/modules/sub\n"})
    assert as_text(check(tmp_path, today=date(2026, 12, 1)).problems) == (
        f"{tmp_path}/tests/drum-cup/.git:1 error git-files\n"
        "    A repository of its own begins here.\n"
        "    → Move it out of the entries folder."
    )


def test_entries_may_be_the_top_of_a_repository_but_not_claim_to_be(tmp_path: Path) -> None:
    root = samples.write(tmp_path / "entries", {".git": "gitdir: tests\n"})
    assert rules(root) == ["git-files"]
    (root / ".git").unlink()
    start(root)
    assert rules(root) == []
    (root / ".git").rename(tmp_path / "kept")
    (root / ".git").write_text(f"gitdir: {tmp_path}/kept\n")
    assert rules(root) == []


def test_an_empty_folder_may_be_a_submodule(tmp_path: Path) -> None:
    samples.write(tmp_path)
    for path in ("tests/empty", "tests/kept"):
        (tmp_path / path).mkdir()
    (tmp_path / "tests/kept/.gitkeep").write_text("")
    assert as_text(check(tmp_path, today=date(2026, 12, 1)).problems) == (
        f"{tmp_path}/tests/empty:1 warning git-files\n"
        "    This folder is empty. git keeps no empty folders, so if it came by git it is a submodule.\n"
        "    → Delete it, or put a test into it."
    )


def test_names_that_no_page_can_show(tmp_path: Path) -> None:
    samples.write(tmp_path)
    for name in (b"\xff.toml", b"new\nline.toml", b"esc\x1b[31m.toml", "\u202ex.toml".encode()):
        (tmp_path / "parts" / os.fsdecode(name)).write_text(samples.PART, encoding="utf-8")
    shown = [problem.path.removeprefix(f"{tmp_path}/parts/") for problem in check(tmp_path).problems]
    assert shown == ["\\u202ex.toml", "\\udcff.toml", "esc\\u001b[31m.toml", "new\\u000aline.toml"]


@settings(max_examples=150, suppress_health_check=FIXTURE_KEPT)
@given(kind=st.sampled_from(sorted(FILES)), seed=st.integers(0, 2**32), changes=st.integers(1, 12))
def test_no_change_of_bytes_breaks_the_reader(tmp_path: Path, kind: str, seed: int, changes: int) -> None:
    rng = random.Random(seed)
    content = bytearray(samples.FILES[FILES[kind]].encode())
    for _ in range(changes):
        place = rng.randrange(len(content) + 1)
        match rng.randrange(4):
            case 0:
                content[place:place] = rng.choice([b'"', b"[", b"]", b"\n", b"=", b"\xff", b"\0", b"9", b"{}", b"'''"])
            case 1:
                del content[place : place + rng.randrange(30)]
            case 2:
                content[place : place + 1] = bytes([rng.randrange(256)])
            case _:
                start = rng.randrange(len(content) + 1)
                content[place:place] = content[start : start + rng.randrange(60)]
    problems_with(tmp_path, bytes(content), FILES[kind])


VALUES = st.one_of(
    st.sampled_from(["1", "-1", "0", "1e9", "nan", "inf", "true", "2026-09-12", "10:00:00", '""', "[]", "{}"]),
    st.sampled_from(['"none"', '"None"', '"x@y.org"', '"\\u202e"', "[[]]", '[{a = "b"}]', '["nose", 3]', "'''\n'''"]),
    st.integers().map(str),
    st.floats().map(repr),
    st.text(st.characters(min_codepoint=32, max_codepoint=126, exclude_characters="'"), max_size=80).map("'{}'".format),
)


@settings(max_examples=300, suppress_health_check=FIXTURE_KEPT)
@given(kind=st.sampled_from(sorted(FILES)), data=st.data())
def test_no_change_of_structure_breaks_the_reader(tmp_path: Path, kind: str, data: st.DataObject) -> None:
    lines = samples.FILES[FILES[kind]].splitlines()
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(lines) - 1))
        match data.draw(st.integers(0, 3)):
            case 0:
                name = lines[place].partition(" = ")[0] if " = " in lines[place] else "new-key"
                lines[place] = f"{name} = {data.draw(VALUES)}"
            case 1:
                lines[place] = re.sub(
                    r"\w+", data.draw(st.sampled_from(["face", "result", "x"])), lines[place], count=1
                )
            case 2:
                lines[place] = ""
            case _:
                lines.append(lines[place])
    text = "\n".join(lines)
    if _valid(text):
        problems_with(tmp_path, text.encode(), FILES[kind])


def _valid(text: str) -> bool:
    try:
        tomllib.loads(text)
    except ValueError:
        return False
    return True


def test_the_record_of_a_file_is_what_it_says(tmp_path: Path) -> None:
    samples.write(tmp_path)
    read: list[Any] = [read_file(tmp_path, file).record for file in list_files(tmp_path).files]
    mask, part, test = read
    assert (mask.id, mask.path, mask.mask.as_sold.part_in(Slot.NOSE_FOAM)) == (
        "drum-cup",
        samples.MASK_PATH,
        "thin-foam",
    )
    assert (part.id, part.path, part.part.can_be_undone) == ("thin-foam", samples.PART_PATH, True)
    assert (test.id, test.test.result.exercise[1].fit_factor) == ("drum-cup/2026-09-12-blue-heron-1", 100)
