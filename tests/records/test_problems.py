"""How findings are written down, and that nothing in an entry can disturb what they are shown on."""

from __future__ import annotations

import json

import pytest

from builder.records.problems import Key, Problem, as_github, as_json, as_log, as_text, dotted, quoted

PROBLEMS = [
    Problem("e/tests/a,b.toml", 3, "face.wearer", "error", "text-form", "100 % wrong:\nso.", "Write this."),
    Problem("e/masks/x.toml", 1, "", "warning", "syntax", "Not TOML.", "Write that."),
]


def test_text_is_three_lines_each() -> None:
    assert as_text(PROBLEMS[1:]) == "e/masks/x.toml:1 warning syntax\n    Not TOML.\n    → Write that."
    assert as_text([]) == ""


def test_json_has_these_keys_and_no_others() -> None:
    assert json.loads(as_json(PROBLEMS))[1] == {
        "path": "e/masks/x.toml",
        "line": 1,
        "key": "",
        "severity": "warning",
        "rule": "syntax",
        "problem": "Not TOML.",
        "remedy": "Write that.",
    }
    assert json.loads(as_json([])) == []


def test_github_commands_are_escaped() -> None:
    assert as_github(PROBLEMS).splitlines() == [
        "::error file=e/tests/a%2Cb.toml,line=3,title=text-form::face.wearer: 100 %25 wrong:%0Aso.%0AWrite this.",
        "::warning file=e/masks/x.toml,line=1,title=syntax::Not TOML.%0AWrite that.",
    ]


def test_a_note_is_a_notice() -> None:
    note = Problem("e/tests/a.toml", 9, "result", "note", "planned-test", "Planned.", "Wait.")
    assert as_github([note]) == "::notice file=e/tests/a.toml,line=9,title=planned-test::result: Planned.%0AWait."


def test_no_text_in_the_log_of_a_workflow_is_a_command() -> None:
    hostile = Problem("e/x.toml", 1, "", "error", "syntax", "::stop-commands::x", "##[add-mask]e and ::y")
    assert as_log([hostile]) == "e/x.toml:1 error syntax\n    : :stop-commands::x\n    → ## [add-mask]e and ::y"
    assert as_log(PROBLEMS) == as_text(PROBLEMS)


@pytest.mark.parametrize(
    "key, expected",
    [
        ((), ""),
        (("result", "exercise", 1, "name"), "result.exercise[2].name"),
        (("nose-wire",), "nose-wire"),
        (("a b", "c"), '"a b".c'),
        (("", "\x1b"), '""."\\u001b"'),
    ],
)
def test_keys_are_dotted_as_in_toml(key: Key, expected: str) -> None:
    assert dotted(key) == expected


@pytest.mark.parametrize(
    "value, expected",
    [
        ("a\x1b[31m\u202eb\n\ud800", '"a\\u001b[31m\\u202eb\\u000a\\ud800"'),
        ("x" * 61, f'"{"x" * 60}…"'),
        (True, "true"),
        (10**20 - 1, "9" * 20),
        (-(10**20) + 1, f"-{'9' * 20}"),
        (10**20, "a number of more than 20 digits"),
        (-(10**20), "a number of more than 20 digits"),
        (1.5, "1.5"),
        ({"a": 1}, "a table"),
        ([1], "a list"),
    ],
)
def test_values_are_shown_in_one_short_line(value: object, expected: str) -> None:
    assert quoted(value) == expected
