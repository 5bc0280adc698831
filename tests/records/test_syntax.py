"""What is no TOML, in plain words."""

from __future__ import annotations

import tomllib

import pytest

from builder.records import syntax
from builder.records.problems import Finding


@pytest.mark.parametrize(
    "text, line, problem",
    [
        ('a = 1\nb = "x', 2, 'The quotation mark at the end is missing. The line reads: b = "x'),
        ('a = """x\n\n', 3, "The quotation mark at the end is missing."),
        ("a = [1,\n2", 2, "This list is not closed. The line reads: 2"),
        ("a = {b = 1", 1, "This table is not closed. The line reads: a = {b = 1"),
        ("a.b = 1\na = 2", 2, "This key has been given before. The line reads: a = 2"),
        ("a = 1 b = 2", 1, "Something stands after the end of the value. The line reads: a = 1 b = 2"),
        ('a = "\\d"', 1, 'A backslash begins a code that TOML does not know. The line reads: a = "\\d"'),
        ("\x07 = 1", 1, "This is not TOML. The line reads: \\u0007 = 1"),
        ("a", 1, "A key needs an equals sign and a value. The line reads: a"),
        ("a = False", 1, "No is written in small letters. The line reads: a = False"),
        (f"a = {'x' * 100}", 1, f"Text needs quotation marks. The line reads: a = {'x' * 76}…"),
    ],
)
def test_syntax_in_plain_words(text: str, line: int, problem: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(text)
    finding = syntax.parse(text)
    assert isinstance(finding, Finding)
    assert (finding.line, finding.problem) == (line, problem)
