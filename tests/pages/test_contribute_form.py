"""What the form on the contribute page is told: the checker's own schemas, and what has a file already."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.records.checking import check
from builder.records.schemas import FOLDER
from builder.records.vocabulary import Slot
from builder.site.contribute_form import contribute_files, form
from builder.site.published import Renderer
from builder.words.labels import mask_label


@pytest.fixture(scope="module")
def published(demo: Dataset) -> dict[str, Any]:
    """The published file, read back."""
    (file,) = contribute_files(demo)
    assert file.path == "contribute/form.json"
    read: dict[str, Any] = json.loads(file.content)
    return read


def test_the_schemas_are_those_that_editors_and_the_checker_use(published: dict[str, Any]) -> None:
    for kind, schema in published["schemas"].items():
        text = (FOLDER / f"{kind}.schema.json").read_text("utf-8")
        # The order of keys is that of the file to be written.
        assert json.dumps(schema) == json.dumps(json.loads(text))


def test_every_mask_and_part_is_there_with_its_label(published: dict[str, Any], demo: Dataset) -> None:
    masks = {mask["id"]: mask for mask in published["masks"]}
    assert masks.keys() == demo.entries.masks.keys()
    for mask_id, record in demo.entries.masks.items():
        assert masks[mask_id]["label"] == mask_label(record.mask)
        assert masks[mask_id]["as_sold"] == {str(slot): part for slot, part in record.mask.as_sold.filled()}
    parts = {part["id"]: (part["label"], part["slot"]) for part in published["parts"]}
    assert parts == {part: (r.part.name, str(r.part.slot)) for part, r in demo.entries.parts.items()}
    labels = [mask["label"].casefold() for mask in published["masks"]]
    assert labels == sorted(labels)


def test_each_wearer_has_what_any_of_their_files_says(published: dict[str, Any], demo: Dataset) -> None:
    wearers = published["wearers"]
    assert wearers.keys() == set(demo.table["wearer"])
    for record in check(demo.root).entries.tests:
        face = record.test.face
        known = wearers[face.wearer]
        for key in ("length_mm", "width_mm", "nose_bridge"):
            value = getattr(face, key)
            assert value is None or known[key] == value
        assert face.cell is None or known["cell"] == str(face.cell)
    assert {"length_mm", "cell"} & set.union(*(set(face) for face in wearers.values())) == {"length_mm", "cell"}
    assert not any(value is None or value == "unknown" for face in wearers.values() for value in face.values())


def test_reserved_names_are_those_the_checker_refuses(published: dict[str, Any]) -> None:
    assert {"con", "lpt1"} <= set(published["reserved"]["mask"])
    assert {"con", "none", *(f"no-{slot}" for slot in Slot)} <= set(published["reserved"]["part"])


def test_jogging_stands_for_bending_over(published: dict[str, Any]) -> None:
    assert published["stands_for"] == {"jogging": "bending-over"}


def test_an_empty_database_has_a_form_too(tmp_path: Path) -> None:
    for folder in ("masks", "parts", "tests"):
        (tmp_path / folder).mkdir()
    empty = form(build_dataset(tmp_path))
    assert (empty["masks"], empty["parts"], empty["wearers"]) == ([], [], {})


def test_the_file_does_not_grow_with_the_tests(demo: Dataset) -> None:
    twice = replace(demo, table=pd.concat([demo.table, demo.table]))
    assert contribute_files(twice)[0].content == contribute_files(demo)[0].content


def test_the_repository_stands_in_the_page(demo: Dataset) -> None:
    piece = Renderer(demo, 'https://repository.example/"sealbook"/')("fragment-contribute.html", 1)
    assert 'data-repository="https://repository.example/&#34;sealbook&#34;"' in piece
