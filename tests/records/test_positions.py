"""Every key of a TOML text is found on the line where it stands."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from builder.records.positions import Position, position_of, positions
from builder.records.problems import Key


class Text:
    """A TOML text while it is written, with the place of each key."""

    def __init__(self) -> None:
        self.text = ""
        self.expected: dict[Key, Position] = {}

    def write(self, text: str) -> None:
        self.text += text

    def note(self, key: Key) -> None:
        line = self.text.count("\n") + 1
        self.expected.setdefault(key, Position(line, len(self.text) - (self.text.rfind("\n") + 1) + 1))


NAMES = st.text(st.sampled_from("abcXYZ019_- .#[]{}=,'é\"\\\t"), max_size=6)
SCALARS = st.sampled_from(
    [
        "1",
        "-0.5e3",
        "inf",
        "true",
        "2026-09-12",
        "1979-05-27 07:32:01.5-07:00",
        '"a # [x] \\" = b"',
        "'c:\\ #'",
        '""',
        '"""two\nlines = "" \\\n  and \\""" more"""""',
        "'''it''s\n[not.a.header]\nkey = 1'''''",
        '""""quoted""""',
    ]
)
GAPS = st.sampled_from(["", " ", "\t"])
BREAKS = st.sampled_from(["", "\n", " # a = [1, 2] \n\n\t", "\r\n"])
LINE_ENDS = st.sampled_from(["\n", " # key = 1\n", "\r\n", "\n\n  # [table]\n"])


def written_key(name: str, style: int) -> str:
    if style == 0 and name and all(c.isascii() and (c.isalnum() or c in "_-") for c in name):
        return name
    if style == 1 and "'" not in name:
        return f"'{name}'"
    escaped = name.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t")
    return f'"{escaped.replace("a", chr(92) + "u0061")}"'


@st.composite
def documents(draw: st.DrawFn) -> Text:
    out = Text()

    def pairs(path: Key, separator: str, most: int, depth: int) -> None:
        names = draw(st.lists(NAMES, max_size=most, unique=True))
        for number, name in enumerate(names):
            if number or separator == "\n":
                out.write(separator if separator == "," else draw(GAPS))
            if separator == ",":
                out.write(draw(GAPS))
            key(path, name)
            if draw(st.booleans()):  # a dotted key
                out.write(f"{draw(GAPS)}.{draw(GAPS)}")
                key((*path, name), "inner")
                path_of_value: Key = (*path, name, "inner")
            else:
                path_of_value = (*path, name)
            out.write(f"{draw(GAPS)}={draw(GAPS)}")
            value(path_of_value, depth)
            if separator == "\n":
                out.write(draw(LINE_ENDS))

    def key(path: Key, name: str) -> None:
        out.note((*path, name))
        out.write(written_key(name, draw(st.integers(0, 2))))

    def value(path: Key, depth: int) -> None:
        kind = draw(st.integers(0, 3 if depth < 3 else 1))
        if kind <= 1:
            out.write(draw(SCALARS))
        elif kind == 2:
            out.write("[")
            for number in range(draw(st.integers(0, 3))):
                out.write(draw(BREAKS))
                out.note((*path, number))
                value((*path, number), depth + 1)
                out.write(f"{draw(BREAKS)},")
            out.write(f"{draw(BREAKS)}]")
        else:
            out.write("{")
            pairs(path, ",", 3, depth + 1)
            out.write("}")

    pairs((), "\n", 4, 0)
    taken = {key[0] for key in out.expected}
    for name in draw(st.lists(NAMES, max_size=4, unique=True)):
        if name in taken:
            continue
        repeated = draw(st.booleans())
        for number in range(draw(st.integers(1, 3)) if repeated else 1):
            out.write(f"{draw(GAPS)}{'[[' if repeated else '['}{draw(GAPS)}")
            if repeated:
                out.note((name, number))
            key((), name)
            table: Key = (name, number) if repeated else (name,)
            out.write(f"{draw(GAPS)}{']]' if repeated else ']'}{draw(LINE_ENDS)}")
            pairs(table, "\n", 3, 1)
            if draw(st.booleans()) and (*table, "sub") not in out.expected:
                out.write("[")
                out.write(written_key(name, 2))
                out.write(".")
                key(table, "sub")
                out.write(f"]{draw(LINE_ENDS)}")
                pairs((*table, "sub"), "\n", 2, 2)
    return out


def keys_of(value: object, path: Key = ()) -> Iterator[Key]:
    if path:
        yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, inner in items:
        yield from keys_of(inner, (*path, name))


@given(documents())
def test_every_key_of_any_document_is_found_where_it_stands(document: Text) -> None:
    table = tomllib.loads(document.text)
    found = positions(document.text)
    assert set(keys_of(table)) == set(found)
    assert found == document.expected


@given(st.text(st.sampled_from("ab.=[]{}\"'\\#,\n 1"), max_size=60))
@example("[" * 5000)
@example("a." * 30_000)
@example("a = " + "[" * 30_000)
@example("[" + "a." * 30_000 + "a]")
@example("a = '")
@example('"\\q" = 1')
def test_no_text_is_too_broken(text: str) -> None:
    for place in positions(text).values():
        assert 1 <= place.line <= text.count("\n") + 1


@pytest.mark.parametrize(
    "key, expected",
    [
        (("result", "counts", 1, "seconds"), Position(6, 1)),
        (("result", "counts", 1, "particles"), Position(5, 10)),  # not there: its table
        (("result", "counts", 7, "particles"), Position(2, 10)),  # not there: the first of the list
        (("face", "wearer"), Position(1, 1)),
    ],
)
def test_what_is_not_there_is_found_at_its_nearest_parent(key: Key, expected: Position) -> None:
    text = "[result]\n[[result.counts]]\nseconds = 1\n\n[[result.counts]]\nseconds = 2\n"
    assert position_of(positions(text), key) == expected
