"""The keys of entries, as options, columns, messages and the form know them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel

from builder.records.entries import MODELS
from builder.records.entry_keys import EntryKey, fields_of, key_at, keys_in, keys_of, name_of, tables_with
from builder.records.models import Mask, Part, Test
from builder.records.vocabulary import Leak, Protocol


@pytest.mark.parametrize("model", [Mask, Part, Test])
def test_every_field_has_a_name_of_its_own_and_a_meaning(model: type[Mask | Part | Test]) -> None:
    names = [field.option for field in fields_of(model)]
    assert len(set(names)) == len(names)
    assert all(field.meaning for field in fields_of(model))


def test_what_is_needed() -> None:
    def needed(model: type[Mask | Part | Test]) -> list[str]:
        return [field.name for field in fields_of(model) if field.needed]

    assert needed(Test) == ["mask", "date", "contributor", "wearer", "facial_hair", "protocol"]
    assert needed(Mask) == ["model", "maker", "style", "class"]
    assert needed(Part) == ["name", "slot", "material", "fitting", "can_be_undone"]


def test_keys_are_named_as_fields() -> None:
    assert name_of(Test, "face.length_mm") == "length_mm"
    assert name_of(Test, "observations.leaks[2]") == "leaks"
    assert name_of(Test, "result") == "result"


def everywhere(keys: Any) -> Iterator[EntryKey]:
    for key in keys.values():
        yield key
        yield from everywhere(key.keys)


@pytest.mark.parametrize("model", MODELS.values())
def test_every_key_of_the_models_is_known(model: type[BaseModel]) -> None:
    def names(table: type[BaseModel]) -> list[str]:
        return [info.alias or name for name, info in table.model_fields.items()]

    assert list(keys_of(model)) == names(model)
    assert all(key.meaning and (key.kind == "table") == bool(key.keys) for key in everywhere(keys_of(model)))


def test_what_a_key_may_hold() -> None:
    date, protocol = key_at(Test, ("date",)), key_at(Test, ("result", "protocol"))
    leaks, comfort = key_at(Test, ("observations", "leaks", 1)), key_at(Test, ("observations", "comfort"))
    counts, aside = key_at(Test, ("result", "counts")), key_at(Test, ("result", "at_least"))
    assert (date.kind, date.many, date.needed, date.words) == ("date", False, True, ())
    assert (protocol.kind, protocol.words, protocol.meaning) == ("text", tuple(Protocol), "Which exercises were done.")
    assert (leaks.kind, leaks.many, leaks.words) == ("text", True, tuple(Leak))
    assert (comfort.kind, comfort.least, comfort.most, comfort.needed) == ("whole number", 1, 5, False)
    assert (counts.kind, counts.many, list(counts.keys)[:2]) == ("table", True, ["phase", "exercise"])
    assert (aside.kind, aside.default) == ("yes or no", False)
    assert list(keys_in(Test, ("result", "counts", 3))) == list(counts.keys)


def test_tables_that_have_a_key() -> None:
    assert tables_with(Test, "notes") == ("observations",)
    assert tables_with(Test, "fit_factor") == ("result", "result.exercise")
    assert tables_with(Mask, "notes") == ("",)
    assert tables_with(Part, "nonsense") == ()
