"""JSON Schemas of the entries, made from the models: editors complete, explain and check with them while you type.

`python -m builder.records.schemas` writes them to builder/schemas/. They say what one file may hold; what needs other
files, such as whether a mask is known, only `sealbook check` can say. JSON Schema 2020-12, json-schema.org.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema
from pydantic_core import core_schema

from builder.records.entries import MODELS
from builder.records.kept_addresses import Removal, Renaming
from builder.records.models import Count, Face, Mask, Result, Section
from builder.records.vocabulary import Word

FOLDER = Path(__file__).parent.parent / "schemas"

# What the models check in code, once more for the editor: keys that come together or exclude each other.
_TOGETHER: Mapping[str, Mapping[str, Any]] = {
    Face.__name__: {
        "dependentRequired": {"length_mm": ["width_mm"], "width_mm": ["length_mm"]},
        "not": {"required": ["cell", "length_mm"]},
    },
    Count.__name__: {"oneOf": [{"required": ["particles"]}, {"required": ["concentration"]}]},
    Section.__name__: {
        "oneOf": [
            {
                "properties": {"shape": {"const": "strip"}, "diameter_mm": False},
                "required": ["width_mm", "thickness_mm"],
            },
            {
                "properties": {"shape": {"const": "round"}, "width_mm": False, "thickness_mm": False},
                "required": ["diameter_mm"],
            },
        ]
    },
    Mask.__name__: {
        "oneOf": [
            {"properties": {"class": {"const": "other"}}, "required": ["class_name"]},
            {"properties": {"class": {"not": {"const": "other"}}, "class_name": False}},
        ]
    },
    Removal.__name__: {"oneOf": [{"required": ["test"]}, {"required": ["mask"]}]},
    Renaming.__name__: {"oneOf": [{"required": [key]} for key in ("mask", "part", "test")]},
    Result.__name__: {"anyOf": [{"required": [key]} for key in ("fit_factor", "exercise", "counts")]},
}


class _TomlSchema(GenerateJsonSchema):
    """Speaks of TOML: there is no null, and each word of a list comes with its definition."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> dict[str, Any]:
        """Leave null out: a key without a value is not written."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> dict[str, Any]:
        """Name a default only where it is a plain value."""
        if isinstance(schema.get("default"), bool | int | float):
            return super().default_schema(schema)
        return self.generate_inner(schema["schema"])

    def enum_schema(self, schema: core_schema.EnumSchema) -> dict[str, Any]:
        """Give each word as a choice of its own, so that it can be explained."""
        return {
            "type": "string",
            "oneOf": [
                {"const": word.value, "title": word.label, "description": word.meaning}
                for word in schema["members"]
                if isinstance(word, Word)
            ],
        }

    def model_schema(self, schema: core_schema.ModelSchema) -> dict[str, Any]:
        """Add which keys belong together."""
        return {**super().model_schema(schema), **_TOGETHER.get(schema["cls"].__name__, {})}

    def get_title_from_name(self, name: str) -> str:
        """Name a key as it is written."""
        return name


def schema(model: type[BaseModel]) -> dict[str, Any]:
    """Give the JSON Schema of an entry."""
    return {
        "$schema": GenerateJsonSchema.schema_dialect,
        **model.model_json_schema(by_alias=True, schema_generator=_TomlSchema),
    }


def texts() -> dict[str, str]:
    """Give the text of each schema file by its name."""
    return {
        f"{kind}.schema.json": json.dumps(schema(model), indent=2, ensure_ascii=False) + "\n"
        for kind, model in MODELS.items()
    }


def main() -> None:
    """Write the schemas beside the package's code."""
    FOLDER.mkdir(exist_ok=True)
    for name, text in texts().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
