"""The pictures of a mask page say what its tables say."""

from __future__ import annotations

from xml.etree import ElementTree

from builder.findings.dataset import Dataset
from builder.site.ladder_picture import ladder_picture
from builder.site.wearing_pictures import MOST_FACES, gains_picture, leaking_faces


def words_of(picture: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(picture).iter("text")]


def test_every_change_with_a_ratio_is_a_row_of_the_ladder(demo: Dataset) -> None:
    for rungs in demo.ladders.values():
        told = [rung.comparison for rung in rungs if rung.comparison.ratio is not None]
        picture = ladder_picture(demo, rungs, "Mask <b>")
        if not told:
            assert not picture
            continue
        root = ElementTree.fromstring(picture)
        assert len(list(root.iter("circle"))) == sum(found.bound == "none" for found in told)
        assert "&lt;b&gt;" in picture
        assert sum(" wearer" in text for text in words_of(picture)) == len(told)


def test_shares_are_those_of_the_figures(demo: Dataset) -> None:
    drawn = 0
    for rows in demo.summary_by_mask.values():
        picture = gains_picture(demo, rows, "M")
        if not picture:
            continue
        drawn += 1
        words = words_of(picture)
        for row in rows:
            found = demo.wearing_by_id.get(row["configuration"])
            if found is None or not row["tests"]:
                continue
            assert f"{round(row['share_at_100'] * row['share_wearers'])} of {row['share_wearers']}" in words
            if found["comfortable_tests"]:
                n = found["comfortable_tests"]
                assert f"{round(found['comfortable'] * n)} of {n}" in words
    assert drawn


def test_faces_name_each_place_noted_and_are_few(demo: Dataset) -> None:
    for rows in demo.summary_by_mask.values():
        faces = leaking_faces(demo, rows)
        assert len(faces) <= MOST_FACES
        ids = [ElementTree.fromstring(face).attrib["aria-labelledby"] for _, face in faces]
        assert len(set(ids)) == len(ids)
    drawn = [face for rows in demo.summary_by_mask.values() for _, face in leaking_faces(demo, rows)]
    assert drawn
    assert all("Nose" in words_of(face) or "Touches the eyes" in words_of(face) for face in drawn)


def test_nobody_noted_anything_draws_nothing(demo: Dataset) -> None:
    rows = [{"configuration": "no-such", "parts": "", "tests": 1}]
    assert gains_picture(demo, rows, "M") == ""
    assert leaking_faces(demo, rows) == []
