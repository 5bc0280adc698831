"""Which kind of entry a file is, and the id it gives its record."""

from __future__ import annotations

import pytest

from builder.records.entries import EntryFile, Kind, kind_of


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("masks/drum-cup.toml", "mask"),
        ("parts/thin-foam.toml", "part"),
        ("tests/drum-cup/2026-09-12-blue-heron-1.toml", "test"),
        ("removed.toml", "removed"),
        ("masks/removed.toml", "mask"),
        ("masks/.drum-cup.toml", None),
        ("tests/drum-cup/.2026-09-12-blue-heron-1.toml", None),
        ("masks/drum-cup.txt", None),
        ("masks/drum-cup", None),
        ("masks/old/drum-cup.toml", None),
        ("tests/2026-09-12-blue-heron-1.toml", None),
        ("tests/drum-cup/old/2026-09-12-blue-heron-1.toml", None),
        ("drum-cup.toml", None),
        ("notes/drum-cup.toml", None),
    ],
)
def test_the_place_of_a_file_says_its_kind(path: str, kind: Kind | None) -> None:
    assert kind_of(path) == kind


def test_the_id_is_the_name_of_the_file() -> None:
    mask = EntryFile("mask", "masks/drum-cup.toml")
    assert (mask.id, mask.stem) == ("drum-cup", "drum-cup")
    test = EntryFile("test", "tests/drum-cup/2026-09-12-blue-heron-1.toml")
    assert (test.id, test.stem) == ("drum-cup/2026-09-12-blue-heron-1", "2026-09-12-blue-heron-1")
