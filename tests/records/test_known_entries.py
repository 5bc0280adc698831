"""What the entries hold already."""

from __future__ import annotations

from pathlib import Path

from builder.records.entries import TestRecord
from builder.records.known_entries import KnownEntries, with_known_faces
from builder.records.models import Face, Test
from builder.records.vocabulary import FacialHair, NoseBridge
from tests.records import samples


def known(root: Path, **files: str) -> KnownEntries:
    return KnownEntries(samples.write(root, {path.replace("__", "/"): text for path, text in files.items()}))


def test_of(root: Path) -> Test:
    [record] = known(root).tests_of(["blue-heron"])
    return record.test


test_of.__test__ = False  # type: ignore[attr-defined]


def test_ids_and_wearers(tmp_path: Path) -> None:
    entries = known(tmp_path)
    assert (entries.ids("mask"), entries.ids("part")) == (("drum-cup",), ("thin-foam",))
    assert entries.wearers == ("blue-heron",)
    assert [record.path for record in entries.tests_of(["blue-heron", "nobody"])] == [samples.TEST_PATH]
    assert entries.tests_of(["nobody"]) == []


def test_the_next_number_is_one_more_than_the_highest(tmp_path: Path) -> None:
    test = test_of(tmp_path)
    samples.write(tmp_path, {samples.TEST_PATH.replace("heron-1", "heron-9"): "broken"})
    start = "tests/drum-cup/2026-09-12-blue-heron-"
    assert KnownEntries(tmp_path).places([test, test]) == [f"{start}10.toml", f"{start}11.toml"]
    other = test.model_copy(update={"mask": "new-mask"})
    assert KnownEntries(tmp_path).places([other]) == ["tests/new-mask/2026-09-12-blue-heron-1.toml"]


def test_the_number_of_a_test_that_was_taken_out_is_not_given_again(tmp_path: Path) -> None:
    test = test_of(tmp_path)
    removed = '[[removed]]\ntest = "drum-cup/2026-09-12-blue-heron-4"\ndate = 2026-09-20\nreason = "Wrong mask."\n'
    samples.write(tmp_path, {"removed.toml": removed})
    assert KnownEntries(tmp_path).places([test]) == ["tests/drum-cup/2026-09-12-blue-heron-5.toml"]


def bare(test: Test, **face: object) -> Test:
    return test.model_copy(
        update={"face": Face(wearer="blue-heron", facial_hair=FacialHair.STUBBLE).model_copy(update=face)}
    )


def test_a_face_comes_from_earlier_tests(tmp_path: Path) -> None:
    test = test_of(tmp_path)
    [filled] = with_known_faces([bare(test)], [TestRecord("x", "x", test)])
    assert (filled.face.length_mm, filled.face.width_mm) == (117, 138)
    assert filled.face.nose_bridge is NoseBridge.HIGH
    assert filled.face.facial_hair is FacialHair.STUBBLE


def test_a_face_comes_from_the_other_rows(tmp_path: Path) -> None:
    test = test_of(tmp_path)
    assert [filled.face.cell for filled in with_known_faces([bare(test), bare(test, cell=4)], [])] == [4, 4]


def test_what_is_said_of_a_face_stays(tmp_path: Path) -> None:
    test = test_of(tmp_path)
    said = bare(test, cell=7, nose_bridge=NoseBridge.LOW)
    assert with_known_faces([said], [TestRecord("x", "x", test)]) == [said]


def test_an_unknown_face_stays_unknown(tmp_path: Path) -> None:
    test = bare(test_of(tmp_path))
    assert with_known_faces([test], []) == [test]
