"""A review names pictures that are new, changed or gone, and shows none of them."""

from __future__ import annotations

import json
from pathlib import Path

from builder.review.changes import PictureChange
from builder.review.markdown import as_markdown
from builder.review.report import as_json, review
from tests.records import samples
from tests.records.pictures_made import drawn, noted, written
from tests.review.repository import commit, git, start

NAMED = samples.MASK + '\n[[picture]]\nfile = "drum-cup.{kind}"\nalt = "The cup."\nlicence = "cc0"\n'


def pictured(kind: str, content: bytes) -> dict[str, str | bytes]:
    return {samples.MASK_PATH: NAMED.format(kind=kind), f"masks/drum-cup.{kind}": content}


def test_a_picture_comes_changes_and_goes(tmp_path: Path) -> None:
    entries = samples.write(tmp_path / "entries")
    start(tmp_path)
    samples.write(entries, pictured("jpg", written("jpg")))
    size = len(written("jpg"))
    found = review(entries, "main")
    assert found.pictures == (PictureChange("masks/drum-cup.jpg", "new", size),)
    assert not found.has_errors
    assert (
        "### Pictures\n\nLook at each before it is published: whether it shows what its words say, and nobody who does "
        "not want it.\n\n- `masks/drum-cup.jpg` new, 1 kB\n"
    ) in as_markdown(found)
    assert json.loads(as_json(found))["pictures"] == [{"path": "masks/drum-cup.jpg", "what": "new", "bytes": size}]
    commit(tmp_path, "a picture")

    samples.write(entries, pictured("jpg", written("jpg", drawn(80, 40))))
    assert [(one.path, one.what) for one in review(entries, "main").pictures] == [("masks/drum-cup.jpg", "changed")]
    (entries / "masks/drum-cup.jpg").unlink()
    (entries / samples.MASK_PATH).write_text(samples.MASK, "utf-8")
    assert review(entries, "main").pictures == (PictureChange("masks/drum-cup.jpg", "removed", 0),)


def test_a_picture_of_a_branch_is_checked_without_being_checked_out(tmp_path: Path) -> None:
    entries = samples.write(tmp_path / "entries")
    start(tmp_path)
    git(tmp_path, "switch", "-q", "-c", "proposed")
    samples.write(entries, pictured("png", noted("png")))
    commit(tmp_path, "a picture with a place in it")
    git(tmp_path, "switch", "-q", "main")
    found = review(entries, "main", "proposed")
    assert [(one.path, one.what) for one in found.pictures] == [("masks/drum-cup.png", "new")]
    assert [problem.rule for problem in found.problems] == ["picture-metadata"]
    assert found.has_errors
