"""Every language says every message that English does, filled in with the same values and counted in the same way."""

from __future__ import annotations

from importlib.resources import files

import pytest

from builder.words.catalogue import Language, Message, read_language

FOLDER = files("builder.words").joinpath("languages")
OTHERS = sorted(name for file in FOLDER.iterdir() if (name := file.name.removesuffix(".toml")) != "en")


def spoken(name: str) -> Language:
    return read_language(FOLDER.joinpath(f"{name}.toml").read_text("utf-8"))


def differing(english: dict[str, Message], other: dict[str, Message]) -> list[str]:
    """The messages that another language lacks, has beside those of English, or fills in with other values."""
    names = english.keys() | other.keys()
    return sorted(n for n in names if n not in english or n not in other or english[n].names != other[n].names)


def test_there_is_another_language() -> None:
    assert "de" in OTHERS


@pytest.mark.parametrize("name", OTHERS)
def test_it_says_the_same_messages_filled_in_with_the_same(name: str) -> None:
    assert differing(dict(spoken("en").messages), dict(spoken(name).messages)) == []


@pytest.mark.parametrize("name", OTHERS)
def test_it_has_no_form_that_no_rule_names(name: str) -> None:
    other = spoken(name)
    known = {*other.plural, "other"}
    assert {said: forms for said, found in other.messages.items() if (forms := found.forms.keys() - known)} == {}


def test_what_differs_is_named() -> None:
    one, filled = Message({"other": "a"}, frozenset()), Message({"other": "{n}"}, frozenset({"n"}))
    assert differing({"a": one, "b": one, "c": one}, {"a": filled, "c": one, "d": one}) == ["a", "b", "d"]
