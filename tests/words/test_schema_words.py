"""What a form asks for, in every language: each key that the schemas explain, and each word of a list."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import pytest

from builder.records.models import Mask, Part, Test
from builder.records.schemas import schema
from builder.words import schema_words
from builder.words.catalogue import Language, read_language
from builder.words.schema_words import spoken_schema

MODELS = (Mask, Part, Test)


def spoken(name: str) -> Language:
    return read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))


def told(key: dict[str, Any], parts: dict[str, Any]) -> bool:
    """Whether a key is explained, by itself or by the list of words that it takes one of."""
    return "description" in key or "oneOf" in parts.get(key.get("$ref", "").rpartition("/")[2], {})


def explained(model: type[Mask | Part | Test]) -> dict[str, set[str]]:
    """Give the keys that a schema explains, by the model they are of."""
    found = schema(model)
    parts = {model.__name__: found, **found["$defs"]}
    keys = {
        name: {key for key, value in part.get("properties", {}).items() if told(value, found["$defs"])}
        for name, part in parts.items()
    }
    return {name: own for name, own in keys.items() if own and name != "Slots"}


def test_english_explains_as_the_models_do() -> None:
    assert [spoken_schema(model) for model in MODELS] == [schema(model) for model in MODELS]


@pytest.mark.parametrize("name", ["de"])
def test_every_other_language_explains_each_key(name: str) -> None:
    needed: dict[str, set[str]] = {}
    for model in MODELS:
        needed |= explained(model)
    assert {name: set(keys) for name, keys in spoken(name).keys.items()} == needed


def test_german_keeps_the_limits_and_changes_the_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(schema_words, "language", lambda: spoken("de"))
    german = spoken_schema(Test)
    face, bridge = german["$defs"]["Face"]["properties"], german["$defs"]["NoseBridge"]["oneOf"]
    assert face["length_mm"]["description"] == "Vom Kinn zur tiefsten Stelle der Nasenwurzel, mm."
    assert [(word["const"], word["title"]) for word in bridge] == [
        ("low", "Niedrig"),
        ("medium", "Mittel"),
        ("high", "Hoch"),
    ]
    assert german["$defs"]["Slots"]["properties"]["nose-foam"]["description"] == "Ein Polster zwischen Nase und Maske."
    english = schema(Test)["$defs"]["Face"]["properties"]["length_mm"]
    assert {key: face["length_mm"][key] for key in ("exclusiveMinimum", "minimum", "maximum") if key in english} == {
        key: english[key] for key in ("exclusiveMinimum", "minimum", "maximum") if key in english
    }
