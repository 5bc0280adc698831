"""A mask becomes one for each of its sizes; each test goes to one, and its old address is known."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.checking import check
from builder.records.rewriting.entry_changes import CannotChangeError
from builder.records.rewriting.splitting import Split, split_mask
from tests.records.rewriting.bench import TODAY, bench, carry_out, held

SIZES = {"drum-cup-s": "S", "drum-cup-m": "M"}


def test_each_test_goes_to_its_size(tmp_path: Path) -> None:
    root = bench(tmp_path)
    goes = {"red-kite": "drum-cup-s", "drum-cup/2026-09-12-blue-heron-2": "drum-cup-s"}
    carry_out(root, split_mask(root, Split("drum-cup", SIZES, goes, "drum-cup-m"), TODAY))
    entries = check(root, today=TODAY).entries
    assert [entries.masks[mask].mask.size for mask in SIZES] == ["S", "M"]
    assert b'model = "Drum"\nsize = "S"\nmaker' in held(root)["masks/drum-cup-s.toml"]
    assert [record.id for record in entries.tests if "drum" in record.id] == [
        "drum-cup-m/2026-09-12-blue-heron-1",
        "drum-cup-s/2026-09-12-blue-heron-2",
        "drum-cup-s/2026-09-12-red-kite-1",
    ]
    assert [line.test for line in entries.removed] == ["drum-cup-m/2026-09-12-blue-heron-7"]
    assert [(line.old, line.to) for line in entries.renamed if line.kind != "part"] == [
        ("drum", ("drum-cup-s", "drum-cup-m")),
        ("drum-cup-m/2026-09-12-heron-1", ("drum-cup-m/2026-09-12-blue-heron-1",)),
        ("drum-cup", ("drum-cup-s", "drum-cup-m")),
    ]


def test_a_size_that_is_there_is_replaced(tmp_path: Path) -> None:
    root = bench(tmp_path, None)
    path = root / "masks/drum-cup.toml"
    path.write_text(path.read_text().replace("maker", "size = 'one'\nmaker"))
    carry_out(root, split_mask(root, Split("drum-cup", SIZES, {}, "drum-cup-m"), TODAY))
    assert b"size = 'S'\nmaker" in held(root)["masks/drum-cup-s.toml"]


@pytest.mark.parametrize(
    ("split", "said"),
    [
        (Split("drum-cap", SIZES, {}), ["There is no mask drum-cap."]),
        (
            Split("drum-cup", {"box-fold": "S"}, {"nobody": "drum-cup-l", "red-kite": "box-fold"}),
            [
                "A mask is split into two sizes or more.",
                "masks/box-fold.toml is there already.",
                "drum-cup-l is none of the new ids.",
                "nobody is no test, specimen or wearer of drum-cup.",
                "Nothing says to which size these tests go: drum-cup/2026-09-12-blue-heron-1, "
                "drum-cup/2026-09-12-blue-heron-2, drum-cup/2026-09-12-blue-heron-7.",
            ],
        ),
    ],
)
def test_what_cannot_be_is_said_all_at_once(tmp_path: Path, split: Split, said: list[str]) -> None:
    with pytest.raises(CannotChangeError) as raised:
        split_mask(bench(tmp_path), split, TODAY)
    assert [obstacle.problem for obstacle in raised.value.obstacles] == said
