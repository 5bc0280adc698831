"""Pictures follow the entry they stand beside, and whoever shows it says its new name."""

from __future__ import annotations

from pathlib import Path

from builder.records.checking import check
from builder.records.rewriting.renaming import rename_entry
from builder.records.rewriting.splitting import Split, split_mask
from tests.records import samples
from tests.records.pictures_made import written
from tests.records.rewriting.bench import TODAY, bench, carry_out, errors, held

PICTURE = '\n[[picture]] # seen\nfile = "{file}"\nalt = "Seen from the front."\nlicence = "cc0"\nshows = ["{shows}"]\n'


def pictured(folder: Path) -> Path:
    root = bench(folder)
    mask = (root / samples.MASK_PATH).read_text("utf-8") + PICTURE.format(file="drum-cup-2.png", shows="strip")
    part = (root / "parts/strip.toml").read_text("utf-8") + PICTURE.format(file="strip.jpg", shows="drum-cup")
    samples.write(
        root,
        {
            **held(root),
            samples.MASK_PATH: mask,
            "parts/strip.toml": part,
            "masks/drum-cup-2.png": written("png"),
            "parts/strip.jpg": written("jpg"),
        },
    )
    assert errors(root) == []
    return root


def test_they_follow_a_mask_and_back(tmp_path: Path) -> None:
    root = pictured(tmp_path)
    before = held(root)
    carry_out(root, rename_entry(root, "mask", "drum-cup", "keg", TODAY))
    assert errors(root) == []
    after = held(root)
    assert after["masks/keg-2.png"] == before["masks/drum-cup-2.png"]
    assert "masks/drum-cup-2.png" not in after
    assert b'[[picture]] # seen\nfile = "keg-2.png"' in after["masks/keg.toml"]
    assert b'shows = ["keg"]' in after["parts/strip.toml"]
    carry_out(root, rename_entry(root, "mask", "keg", "drum-cup", TODAY))
    assert held(root) == before


def test_they_follow_a_part(tmp_path: Path) -> None:
    root = pictured(tmp_path)
    carry_out(root, rename_entry(root, "part", "strip", "band", TODAY))
    assert errors(root) == []
    assert sorted(check(root, today=TODAY).entries.pictures) == ["masks/drum-cup-2.png", "parts/band.jpg"]
    assert b'shows = ["band"]' in (root / samples.MASK_PATH).read_bytes()


def test_each_size_of_a_split_mask_has_them(tmp_path: Path) -> None:
    root = pictured(tmp_path)
    content = (root / "masks/drum-cup-2.png").read_bytes()
    split = Split("drum-cup", {"drum-cup-s": "S", "drum-cup-m": "M"}, {"blue-heron": "drum-cup-s"}, "drum-cup-m")
    carry_out(root, split_mask(root, split, TODAY))
    assert errors(root) == []
    for new in split.sizes:
        assert (root / f"masks/{new}-2.png").read_bytes() == content
    assert not (root / "masks/drum-cup-2.png").exists()
    assert b'shows = ["drum-cup-s"]' in (root / "parts/strip.toml").read_bytes()
