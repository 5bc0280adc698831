"""A mask or a part under another id: every reference, its old addresses; there and back leaves the same bytes."""

from __future__ import annotations

import shutil
import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.records.checking import check
from builder.records.file_names import bad_name
from builder.records.rewriting.entry_changes import CannotChangeError, FileChange
from builder.records.rewriting.renaming import RenamedKind, rename_entry
from tests.records import samples
from tests.records.rewriting.bench import LISTED, TODAY, bench, carry_out, held

NONE = "none names a part that was taken out, so no part can be called so."
SHORT = LISTED.partition("\n# an old name")[0]


@pytest.mark.parametrize("listed", [LISTED, None])
def test_every_reference_follows(tmp_path: Path, listed: str | None) -> None:
    root = bench(tmp_path, listed)
    before = held(root)
    carry_out(root, rename_entry(root, "mask", "drum-cup", "drum-cup-m", TODAY))
    after = held(root)
    assert b"".join(after.values()).count(b"drum-cup-m") == (9 if listed else 4)
    assert after["masks/drum-cup-m.toml"] == before["masks/drum-cup.toml"]
    assert b"mask = 'drum-cup-m' # the cup, not 'drum-cup'" in after["tests/drum-cup-m/2026-09-12-blue-heron-2.toml"]
    kite = "tests/{}/2026-09-12-red-kite-1.toml"
    assert after[kite.format("drum-cup-m")] == before[kite.format("drum-cup")].replace(b"drum-cup", b"drum-cup-m")
    assert not (root / "tests/drum-cup").exists()
    lines = check(root, today=TODAY).entries.renamed
    assert [(line.kind, line.old, line.to) for line in lines if "drum-cup-m" in line.to] == [
        *([("mask", "drum", ("drum-cup-m",))] if listed else []),
        ("mask", "drum-cup", ("drum-cup-m",)),
    ]
    assert {path for path in before if path in after and before[path] != after[path]} <= {samples.REMOVED_PATH}


def test_a_part_follows_in_masks_and_tests(tmp_path: Path) -> None:
    root = bench(tmp_path)
    changes = rename_entry(root, "part", "strip", "slim-strip", TODAY)
    assert changes.files == (
        FileChange("masks/box-fold.toml", "masks/box-fold.toml"),
        FileChange("parts/strip.toml", "parts/slim-strip.toml"),
        FileChange("removed.toml", "removed.toml"),
        FileChange("tests/drum-cup/2026-09-12-blue-heron-2.toml", "tests/drum-cup/2026-09-12-blue-heron-2.toml"),
        FileChange("tests/drum-cup/2026-09-12-red-kite-1.toml", "tests/drum-cup/2026-09-12-red-kite-1.toml"),
    )
    assert [file.what for file in changes.files] == ["changed", "moved", "changed", "changed", "changed"]
    carry_out(root, changes)
    assert b'configuration.nose-wire = "slim-strip"  # bent twice\r\n' in held(root)[changes.files[-1].after]
    assert b"part = \"stripe\"\nto = ['slim-strip']\n" in held(root)["removed.toml"]


def test_renamed_back_on_another_day_the_name_it_had_meanwhile_leads_back(tmp_path: Path) -> None:
    root = bench(tmp_path, None)
    carry_out(root, rename_entry(root, "mask", "drum-cup", "cup", date(2026, 10, 1)))
    carry_out(root, rename_entry(root, "mask", "cup", "drum-cup", TODAY))
    [line] = check(root, today=TODAY).entries.renamed
    assert (line.old, line.to) == ("cup", ("drum-cup",))


def test_a_list_in_another_form_is_written_a_table_each(tmp_path: Path) -> None:
    root = bench(tmp_path, "renamed = [{mask = 'drum', to = ['drum-cup'], date = 2026-10-03}]\n")
    carry_out(root, rename_entry(root, "mask", "drum-cup", "cup", TODAY))
    assert [line.old for line in check(root, today=TODAY).entries.renamed] == ["drum", "drum-cup"]


@pytest.mark.parametrize(
    ("kind", "old", "new", "said"),
    [
        ("mask", "drum-cap", "cup", [("There is no mask drum-cap.", "Did you mean drum-cup?")]),
        ("mask", "drum-cup", "box-fold", [("masks/box-fold.toml is there already.", "Choose another id.")]),
        ("part", "strip", "thin-foam", [("parts/thin-foam.toml is there already.", "Choose another id.")]),
        ("mask", "box-fold", "drum", [("drum was the name of drum-cup, to which it leads.", "Choose another id.")]),
        ("part", "strip", "none", [(NONE, "Choose another name.")]),
        (
            "mask",
            "ox",
            "Box fold",
            [
                ("There is no mask ox.", "Check how it is written."),
                (
                    '"Box fold" is no id: 2 to 60 small letters and digits, single hyphens between.',
                    "Rename it, for example to box-fold.toml.",
                ),
            ],
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_all_at_once(
    tmp_path: Path, kind: RenamedKind, old: str, new: str, said: list[tuple[str, str]]
) -> None:
    with pytest.raises(CannotChangeError) as raised:
        rename_entry(bench(tmp_path), kind, old, new, TODAY)
    assert [(obstacle.problem, obstacle.remedy) for obstacle in raised.value.obstacles] == said


def test_entries_with_problems_are_left_alone(tmp_path: Path) -> None:
    root = bench(tmp_path)
    (root / "parts/odd.toml").write_text("name = ")
    with pytest.raises(CannotChangeError) as raised:
        rename_entry(root, "mask", "drum-cup", "cup", TODAY)
    assert raised.value.obstacles[0].problem == "The entries have problems."
    assert [problem.rule for problem in raised.value.problems] == ["syntax"]


ids = st.from_regex(r"\A[a-z0-9]{1,8}(-[a-z0-9]{1,8}){0,3}\Z")
kinds: st.SearchStrategy[RenamedKind] = st.sampled_from(("mask", "part"))


@settings(max_examples=12)
@given(kinds, st.booleans(), ids, ids, st.sampled_from([LISTED, SHORT, None, SHORT + "\n# the end\n"]))
def test_there_and_back_leaves_the_same_bytes(
    kind: RenamedKind, first: bool, new: str, newer: str, listed: str | None
) -> None:
    """Also by way of a third name, and for a mask or part that had other names before."""
    old = {"mask": ("drum-cup", "box-fold"), "part": ("strip", "thin-foam")}[kind][first]
    known = {"drum-cup", "box-fold", "strip", "thin-foam", "drum", "stripe"}
    if len({new, newer} - known) < 2 or bad_name(kind, new) or bad_name(kind, newer):
        return
    folder = Path(tempfile.mkdtemp())
    try:
        root = bench(folder, listed)
        before = held(root)
        for one, other in ((old, new), (new, newer), (newer, new), (new, old)):
            carry_out(root, rename_entry(root, kind, one, other, TODAY))
            assert not any(one.encode() == word for word in b" ".join(held(root).values()).split(b'"')[1:2])
        assert held(root) == before
    finally:
        shutil.rmtree(folder)
