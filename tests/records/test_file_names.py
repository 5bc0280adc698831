"""The names of files: what they say, and what no file can be called."""

from __future__ import annotations

import pytest

from builder.records.file_names import NameParts, bad_name, name_parts


@pytest.mark.parametrize(
    "kind, stem, problem",
    [
        ("mask", "drum-cup-2", None),
        ("mask", "a", '"a" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "a" * 61, f'"{"a" * 60}…" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "drum--cup", '"drum--cup" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "drum-cup\n", '"drum-cup\\u000a" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "con", "Windows cannot store a file called con."),
        ("folder", "lpt9", "Windows cannot store a file called lpt9."),
        ("mask", "none", None),
        ("part", "none", "none names a part that was taken out, so no part can be called so."),
        ("part", "no-nose-wire", "no-nose-wire names a part that was taken out, so no part can be called so."),
        ("part", "no-frills", None),
        ("test", "2026-09-12-blue-heron-12", None),
        ("test", "2026-09-12-blue-heron-0", '"2026-09-12-blue-heron-0" is no name for a test.'),
        ("test", "2026-09-12-blue-heron", '"2026-09-12-blue-heron" is no name for a test.'),
        ("test", "2026-13-12-blue-heron-1", '"2026-13-12-blue-heron-1" is no name for a test.'),
        ("test", "2026-09-12-Blue-1", '"2026-09-12-Blue-1" is no name for a test.'),
    ],
)
def test_file_names(kind: str, stem: str, problem: str | None) -> None:
    finding = bad_name(kind, stem)
    assert (finding and finding.problem) == problem


@pytest.mark.parametrize(
    "stem, suggestion",
    [("Wide Foam (2)", "wide-foam-2"), ("schön", "sch-n"), ("ß", "blue-heron"), ("x" * 70, "x" * 60)],
)
def test_a_bad_name_comes_with_a_good_one(stem: str, suggestion: str) -> None:
    finding = bad_name("mask", stem)
    assert finding and finding.remedy == f"Rename it, for example to {suggestion}.toml."
    assert bad_name("mask", suggestion) is None


def test_a_wearer_may_have_numbers_in_the_name() -> None:
    name = name_parts("2026-09-12-room-101-2")
    assert isinstance(name, NameParts)
    assert (name.date.isoformat(), name.wearer, name.number) == ("2026-09-12", "room-101", 2)
