"""The committed JSON Schemas are current and valid, let good entries pass and refuse bad ones."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from builder.records import vocabulary
from builder.records.entries import kind_of
from builder.records.kept_addresses import Removed
from builder.records.models import Entry, Mask, Part, Test
from builder.records.schemas import FOLDER, texts
from builder.records.toml_text import SCHEMAS
from tests.records import samples

KINDS: dict[str, tuple[type[Entry], str]] = {
    "mask": (Mask, samples.MASK),
    "part": (Part, samples.PART + '\n[section]\nshape = "strip"\nmaterial = "annealed-steel"\n'
             "width_mm = 5\nthickness_mm = 0.5\n"),
    "test": (Test, samples.TEST),
    "removed": (Removed, samples.REMOVED),
}  # fmt: skip


def schema(kind: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((FOLDER / f"{kind}.schema.json").read_text(encoding="utf-8"))
    return loaded


def as_json(text: str) -> dict[str, Any]:
    """Give TOML as an editor's checker sees it: dates are strings."""
    loaded: dict[str, Any] = json.loads(json.dumps(tomllib.loads(text), default=str))
    return loaded


def accepted(kind: str, text: str) -> tuple[bool, bool]:
    """Whether the schema and whether the model accept a text."""
    model, _ = KINDS[kind]
    try:
        model.model_validate(tomllib.loads(text))
        by_model = True
    except ValidationError:
        by_model = False
    return Draft202012Validator(schema(kind)).is_valid(as_json(text)), by_model


def test_the_committed_schemas_are_current() -> None:
    """Write them anew with `python -m builder.records.schemas`."""
    assert {path.name: path.read_text(encoding="utf-8") for path in FOLDER.iterdir()} == texts()


@pytest.mark.parametrize("kind", KINDS)
def test_they_are_valid_schemas_without_null(kind: str) -> None:
    Draft202012Validator.check_schema(schema(kind))
    assert "null" not in json.dumps(schema(kind))


@pytest.mark.parametrize("kind", KINDS)
def test_good_entries_pass(kind: str) -> None:
    assert accepted(kind, KINDS[kind][1]) == (True, True)


@pytest.mark.parametrize(
    "kind, right, wrong",
    [
        ("mask", 'model = "Drum"', "model = 3"),
        ("mask", 'model = "Drum"', ""),
        ("mask", 'style = "cup"', 'style = "Cup"'),
        ("mask", "[as_sold]", "[as-sold]"),
        ("mask", "nose-foam", "nose_foam"),
        ("mask", '"ffp2"', '"other"'),
        ("mask", '"ffp2"', '"ffp2"\nclass_name = "FFP2"'),
        ("part", "can_be_undone = true", 'can_be_undone = "yes"'),
        ("part", "width_mm = 5\n", ""),
        ("part", '"strip"', '"round"'),
        ("part", "width_mm = 5", "width_mm = 5\ndiameter_mm = 1"),
        ("removed", "-2\"", "\""),
        ("removed", "date = 2026-10-02\n", ""),
        ("removed", "date", "mask = \"drum-cup\"\ndate"),
        ("removed", 'test = "drum-cup/2026-09-12-blue-heron-2"\n', ""),
        ("removed", "[[removed]]", "[removed]"),
        ("test", 'mask = "drum-cup"', 'mask = "Drum Cup"'),
        ("test", "date = 2026-09-12", 'date = 5'),
        ("test", "length_mm = 117", "length_mm = 1170"),
        ("test", "length_mm = 117", 'length_mm = "117"'),
        ("test", "length_mm = 117\n", ""),
        ("test", "width_mm = 138", "width_mm = 138\ncell = 4"),
        ("test", "fit_factor = 50", "fit_factor = 0.5"),
        ("test", "fit_factor = 50", "fit_factor = true"),
        ("test", 'name = "talking"', 'name = "singing"'),
        ("test", "comfort = 4", "comfort = 6"),
        ("test", "comfort = 4", "breathing_effort = 0"),
        ("test", "[conditions]", '[specimen]\nlabel = "A"\n[conditions]'),
        ("test", "[conditions]", "[specimen]\ndonnings_before = -1\n[conditions]"),
        ("test", "[conditions]", "[conditions]\norder = 0"),
        ("test", "[conditions]", '[conditions]\nseal_check = "yes"'),
        ("test", "[conditions]", "[conditions]\nhumidity_percent = 101"),
        ("test", "comfort = 4", "comfort = 4.5"),
        ("test", '"left-cheek"', '"cheek"'),
        ("test", "fogging = false", "foging = false"),
        ("test", "sat well.", "sat\\u0000well."),
        ("test", "[conditions]", '[source]\nlink = "javascript:x"\n[conditions]'),
        ("test", "[conditions]", '[[result.counts]]\nphase = "mask"\nseconds = 3\n[conditions]'),
        ("test", "[conditions]", '[[result.counts]]\nphase = "mask"\nseconds = 0\nparticles = 1\n[conditions]'),
        (
            "test",
            "[conditions]",
            '[[result.counts]]\nphase = "mask"\nseconds = 1\nparticles = 1\nconcentration = 1\n[conditions]',
        ),
    ],
)  # fmt: skip
def test_bad_entries_are_refused_by_schema_and_model_alike(kind: str, right: str, wrong: str) -> None:
    good = KINDS[kind][1]
    assert right in good
    assert accepted(kind, good.replace(right, wrong, 1)) == (False, False)


def test_a_class_without_a_word_has_its_name() -> None:
    assert accepted("mask", samples.MASK.replace('"ffp2"', '"other"\nclass_name = "Level 2"')) == (True, True)


def test_a_result_without_a_number_is_refused() -> None:
    head, _, _ = samples.TEST.partition("\n[[result.exercise]]")
    assert not accepted("test", head)[0]
    assert accepted("test", head + "fit_factor = 64\n")[0]


def definitions() -> Iterator[type[vocabulary.Word]]:
    return (kind for kind in vars(vocabulary).values() if isinstance(kind, type) and issubclass(kind, vocabulary.Word))


def test_every_word_comes_with_its_definition() -> None:
    known = {name: choices for kind in KINDS for name, choices in schema(kind)["$defs"].items()}
    for words in definitions():
        if words is not vocabulary.Word:
            assert known[words.__name__]["oneOf"] == [
                {"const": word.value, "title": word.label, "description": word.meaning} for word in words
            ]


def test_every_key_is_explained() -> None:
    for kind in KINDS:
        for table in (schema(kind), *schema(kind)["$defs"].values()):
            for name, key in table.get("properties", {}).items():
                assert "description" in key or "$ref" in key, f"{kind}: {name}"


@pytest.mark.parametrize("path", [*samples.FILES, samples.REMOVED_PATH])
def test_entries_find_their_schema(path: str) -> None:
    kind = kind_of(path)
    assert kind
    model, text = KINDS[kind]
    line = text.partition("\n")[0]
    assert line == f"#:schema {SCHEMAS[model]}"
    entry = FOLDER.parent.parent / "entries" / path
    assert (entry.parent / SCHEMAS[model]).resolve() == FOLDER / f"{model.__name__.lower()}.schema.json"
