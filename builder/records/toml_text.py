"""Records to TOML: the text of an entry.

It keeps the order of the model, leaves out what holds its default, and writes lists of tables as `[[table]]`
blocks, which is how the annotated examples show an entry. tomli-w was weighed and left: it folds `[[result.counts]]`
into inline tables and spreads every short list over several lines; tomlkit keeps layouts, at some milliseconds a
document. TOML's basic strings escape as JSON's do, except that DEL must be escaped too (TOML 1.0, "String").
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping

from builder.records.kept_addresses import Removed
from builder.records.models import Entry, Mask, Part, Test

SCHEMAS: dict[type[Entry], str] = {
    Mask: "../../builder/schemas/mask.schema.json",
    Part: "../../builder/schemas/part.schema.json",
    Test: "../../../builder/schemas/test.schema.json",
    Removed: "../builder/schemas/removed.schema.json",
}
"""The schema of each kind of entry, as seen from the file's folder below `entries/`."""

WIDTH = 90
"""A list longer than this many characters gets a line an item."""


def to_toml(record: Entry) -> str:
    """Write a record as the text of its file: schema line, plain keys, then the tables, all in the model's order."""
    table = record.model_dump(by_alias=True, exclude_defaults=True)
    return "\n".join((f"#:schema {SCHEMAS[type(record)]}", *_lines(table))) + "\n"


def _lines(table: Mapping[str, object], name: str = "") -> Iterator[str]:
    """Give the lines of a table: its plain keys first, for TOML counts what follows a header as part of it."""
    inner = {key: value for key, value in table.items() if _holds_tables(value)}
    yield from (f"{key} = {toml_value(value)}" for key, value in table.items() if key not in inner)
    for key, value in inner.items():
        path = f"{name}.{key}" if name else key
        if isinstance(value, Mapping):
            yield from ("", f"[{path}]", *_lines(value, path))
        elif isinstance(value, tuple):
            for item in value:
                yield from ("", f"[[{path}]]", *_lines(item, path))


def _holds_tables(value: object) -> bool:
    return isinstance(value, Mapping) or (isinstance(value, tuple) and any(isinstance(item, Mapping) for item in value))


def toml_value(value: object) -> str:
    """Write a plain value, or a list of them. Raises TypeError for what TOML has no text for."""
    match value:
        case bool():
            return "true" if value else "false"
        case float() if value.is_integer():
            return str(int(value))
        case int() | float():
            return repr(value)
        case dt.date():
            return value.isoformat()
        case str():
            return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007f")
        case tuple():
            return _list([toml_value(item) for item in value])
    raise TypeError(f"no TOML for {type(value).__name__}")


def _list(items: list[str]) -> str:
    line = f"[{', '.join(items)}]"
    if len(line) <= WIDTH:
        return line
    return "\n".join(("[", *(f"    {item}," for item in items), "]"))
