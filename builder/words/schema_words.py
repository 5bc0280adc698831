"""What a form asks for, as people read it: the JSON Schema of an entry, explained in the language that is spoken."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from builder.records.models import Slots
from builder.records.schemas import schema
from builder.records.vocabulary import Slot
from builder.words.catalogue import Language, language


def spoken_schema(model: type[BaseModel]) -> dict[str, Any]:
    """Give the JSON Schema of an entry: in English as it is, else with its keys and words explained anew."""
    found, spoken = schema(model), language()
    for name, part in {model.__name__: found, **found["$defs"]}.items():
        _explain_keys(part.get("properties", {}), _keys(spoken, name))
        _explain_words(part.get("oneOf", []), spoken, name)
    return found


def _keys(spoken: Language, name: str) -> dict[str, str]:
    if name == Slots.__name__:
        return {value: said.meaning for value, said in spoken.vocabulary.get(Slot.__name__, {}).items()}
    return dict(spoken.keys.get(name, {}))


def _explain_keys(properties: dict[str, dict[str, Any]], said: dict[str, str]) -> None:
    for key, explained in properties.items():
        if key in said:
            explained["description"] = said[key]


def _explain_words(choices: list[dict[str, Any]], spoken: Language, name: str) -> None:
    known = spoken.vocabulary.get(name, {})
    for choice in choices:
        if said := known.get(choice.get("const", "")):
            choice |= {"title": said.label, "description": said.meaning}
