"""What the checker says of pictures beside entries, word for word, and what `check --fix` does to them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from builder.records.checking import check
from builder.records.fixing import fix_entries
from builder.records.picture_faults import MAX_PICTURE_BYTES
from builder.records.picture_files import is_picture
from builder.records.problems import as_text
from tests.records import samples
from tests.records.pictures_made import KINDS, drawn, noted, pixels, written

TODAY = date(2026, 12, 1)
NAMED = samples.MASK + '\n[[picture]]\nfile = "drum-cup.{kind}"\nalt = "The cup from the front."\nlicence = "cc0"\n'


def entries(folder: Path, kind: str, content: bytes, suffix: str = "") -> Path:
    """The sample entries with one picture of the mask, which its file names."""
    name = suffix or kind
    return samples.write(folder, {samples.MASK_PATH: NAMED.format(kind=name), f"masks/drum-cup.{name}": content})


def said(root: Path) -> str:
    return as_text(check(root, today=TODAY).problems).replace(f"{root.as_posix()}/", "")


@pytest.mark.parametrize("kind", KINDS)
def test_a_plain_picture_is_read_with_its_size(kind: str, tmp_path: Path) -> None:
    content = written(kind)
    checked = check(entries(tmp_path, kind, content), today=TODAY)
    assert checked.problems == []
    (picture,) = checked.entries.pictures.values()
    assert (picture.path, picture.width, picture.height) == (f"masks/drum-cup.{kind}", 64, 48)
    assert picture.content == content


def test_notes_are_named_and_taken_out(tmp_path: Path) -> None:
    root = entries(tmp_path, "jpg", noted("jpg"))
    assert said(root) == (
        "masks/drum-cup.jpg:1 error picture-metadata\n"
        "    It holds EXIF (camera, day, often the place), XMP (programs and people), texts.\n"
        "    → Run `sealbook check --fix`, which takes it out."
    )
    assert check(root, today=TODAY).entries.pictures == {}
    before = pixels((root / "masks/drum-cup.jpg").read_bytes())
    assert [(fix.path, fix.what) for fix in fix_entries(root)] == [
        ("masks/drum-cup.jpg", "took out all but the picture")
    ]
    assert said(root) == ""
    assert pixels((root / "masks/drum-cup.jpg").read_bytes()) == before
    assert fix_entries(root) == []


def test_a_turned_picture_is_left_to_whoever_can_turn_it(tmp_path: Path) -> None:
    content = noted("jpg", orientation=6)
    root = entries(tmp_path, "jpg", content)
    assert said(root) == (
        "masks/drum-cup.jpg:1 error picture-file\n"
        "    The picture lies on its side or is mirrored, and only a note in it says how to turn it.\n"
        "    → Turn it in a picture program and save it upright, then run `sealbook check --fix`."
    )
    assert fix_entries(root) == []
    assert (root / "masks/drum-cup.jpg").read_bytes() == content


def test_what_cannot_be_shown_is_named_with_what_to_do(tmp_path: Path) -> None:
    svg = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
    half = written("png")[:-20]
    for number, (name, content, problem, remedy) in enumerate(
        [
            ("png", svg, "This is an SVG, which can hold scripts.", "Save the picture as JPEG, PNG or WebP."),
            ("png", written("jpg"), "It ends in .png and holds a JPEG.", "Rename it to end in .jpg."),
            (
                "png", half, "The picture cannot be used: it ends in the middle.",
                "Save it anew, whole and with at most 2,400 pixels a side.",
            ),
            (
                "webp", written("webp", drawn(), save_all=True, append_images=[drawn().rotate(90)]),
                "The picture moves.", "Save one still picture of it.",
            ),
        ]
    ):  # fmt: skip
        root = entries(tmp_path / str(number), name, content)
        assert said(root) == f"masks/drum-cup.{name}:1 error picture-file\n    {problem}\n    → {remedy}"


def test_a_picture_that_is_too_large_is_not_read_at_all(tmp_path: Path) -> None:
    root = entries(tmp_path, "png", written("png") + bytes(MAX_PICTURE_BYTES))
    assert said(root) == (
        "masks/drum-cup.png:1 error file-size\n"
        "    The picture is larger than 500 kB.\n"
        "    → Save it smaller: 1,600 pixels a side are plenty."
    )


@pytest.mark.parametrize("name", ["drum-cup.svg", "drum-cup.jpeg", "Drum Cup.JPG", "x.heic"])
def test_pictures_that_no_entry_can_name_are_said_to_be_pictures(name: str, tmp_path: Path) -> None:
    root = samples.write(tmp_path, {f"masks/{name}": written("jpg") if "j" in name.lower() else b"<svg/>"})
    assert " error picture-file\n" in said(root)
    assert (
        f"masks/{name}:1 error known-picture\n    No entry names this picture, so no page shows it.\n"
        "    → Name it in [[picture]] of the file of its mask or part, or delete it."
    ) in said(root)


def test_a_link_in_place_of_a_picture_is_refused(tmp_path: Path) -> None:
    root = entries(tmp_path, "png", written("png"))
    (root / "masks/drum-cup.png").rename(tmp_path / "elsewhere.png")
    (root / "masks/drum-cup.png").symlink_to(tmp_path / "elsewhere.png")
    assert "masks/drum-cup.png:1 error no-links" in said(root)


def test_a_picture_beside_an_entry_that_cannot_be_read_may_be_its(tmp_path: Path) -> None:
    root = samples.write(tmp_path, {samples.MASK_PATH: "model = ", "masks/drum-cup-2.png": written("png")})
    assert "known-picture" not in said(root)


def test_pictures_stand_beside_masks_and_parts_alone() -> None:
    places = ["masks/a.png", "parts/a.jpg", "masks/a.svg", "tests/drum/a.png", "a.png", "masks/.png", "masks/a.toml"]
    assert [is_picture(path) for path in places] == [True, True, True, False, False, False, False]
