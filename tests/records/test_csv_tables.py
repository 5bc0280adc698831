"""What tables and logs from outside have in common: every problem at its row and column, the same once."""

from __future__ import annotations

import json
from pathlib import Path

from builder.records.csv_tables import TableProblems


def test_problems_beyond_the_first_are_counted() -> None:
    problems = TableProblems()
    problems.add(1, "", "One.", "Do.")
    for place in range(100):
        problems.add(place + 2, "x", f"Number {place}.", "Do.")
    problems.add(200, "y", "Last.", "Do.")
    text = problems.as_text(Path("t.csv")).splitlines()
    assert text[:6] == ["t.csv row 1", "    One.", "    → Do.", "t.csv row 2, column x", "    Number 0.", "    → Do."]
    assert text[-1] == "… and 52 more"
    printed = json.loads(problems.as_json())
    assert printed["total"] == 102
    assert len(printed["problems"]) == 50
    assert printed["problems"][1] == {"row": 2, "column": "x", "problem": "Number 0.", "remedy": "Do."}


def test_a_repeated_cause_is_told_once_with_its_rows() -> None:
    problems = TableProblems()
    problems.add_repeated([3], "x", '"a" is wrong.', "Do.", "is wrong.")
    problems.add_repeated([4, 5, 6, 9, 11], "x", '"b" is wrong.', "Do.", "is wrong.")
    problems.add_repeated([7], "y", "Else.", "Do.")
    assert problems.as_text(Path("t.csv")).splitlines() == [
        "t.csv row 3, column x",
        '    "a" is wrong. The same in rows 4 to 6, 9 and 11.',
        "    → Do.",
        "t.csv row 7, column y",
        "    Else.",
        "    → Do.",
    ]
    problems.add_repeated(range(20, 120), "y", "Else.", "Do.")
    assert "    Else. The same in rows 20 to 31 and 88 more." in problems.as_text(Path("t.csv")).splitlines()
    assert problems.total == 107
    printed = json.loads(problems.as_json())["problems"]
    assert (printed[0]["times"], printed[0]["also"]) == (6, [4, 5, 6, 9, 11])
