"""Entries written in all the ways that people write them, for changes to be tried on."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from builder.records.checking import check
from builder.records.rewriting.entry_changes import EntryChanges
from builder.records.writing_files import write_files
from tests.records import samples

TODAY = date(2026, 10, 20)
OTHER_MASK = samples.MASK.replace('"Drum"', '"Box"').replace("model", "# not the drum\nmodel")
HERON_2 = (
    samples.TEST.replace('mask = "drum-cup"', "mask = 'drum-cup' # the cup, not 'drum-cup'")
    .replace('[configuration]\nnose-foam = "none"', "configuration = { nose-wire = 'strip' }")
    .replace("= 50", "= 61")
)
KITE = (
    samples.TEST.replace("blue-heron", "red-kite")
    .replace('[configuration]\nnose-foam = "none"', 'configuration.nose-wire = "strip"  # bent twice')
    .replace("= 50", "= 62")
    .replace("\n", "\r\n")
)
BOX = samples.TEST.replace("drum-cup", "box-fold").replace("= 50", "= 63").replace("nose-foam", "nose-wire")
PART = samples.PART.replace("nose-foam", "nose-wire").replace("Thin foam", "Strip")
LISTED = """\
#:schema ../builder/schemas/removed.schema.json
# what went

[[removed]]
test = "drum-cup/2026-09-12-blue-heron-7"
date = 2026-10-02
reason = "The hose was loose."

# an old name
[[renamed]]
mask = "drum"
to = ["drum-cup"]  # and no other
date = 2026-10-03

[[renamed]]
test = "drum-cup/2026-09-12-heron-1"
to = ["drum-cup/2026-09-12-blue-heron-1"]
date = 2026-10-03

[[renamed]]
part = "stripe"
to = ['strip']
date = 2026-10-03

[[withdrawn]]
mask = "drum-cup"
tests = 2
date = 2026-10-04
reason = "Withdrawn at the wish of somebody concerned."
"""
FILES: dict[str, str | bytes] = {
    "masks/box-fold.toml": OTHER_MASK + 'nose-wire = "strip"\n',
    "parts/strip.toml": PART,
    "tests/drum-cup/2026-09-12-blue-heron-2.toml": HERON_2,
    "tests/drum-cup/2026-09-12-red-kite-1.toml": KITE,
    "tests/box-fold/2026-09-12-blue-heron-1.toml": BOX,
    samples.REMOVED_PATH: LISTED,
}


def bench(root: Path, listed: str | None = LISTED) -> Path:
    """Write two masks, two parts, four tests and, unless it is None, a list of addresses."""
    samples.write(root, FILES)
    if listed is None:
        (root / samples.REMOVED_PATH).unlink()
    else:
        (root / samples.REMOVED_PATH).write_text(listed)
    assert errors(root) == []
    return root


def errors(root: Path) -> list[str]:
    """What the checker finds wrong."""
    return [f"{p.path} {p.problem}" for p in check(root, today=TODAY).problems if p.severity == "error"]


def carry_out(root: Path, changes: EntryChanges) -> None:
    """Write changes; the checker finds nothing wrong afterwards."""
    write_files(root, changes.contents, changes.instead_of, changes.gone)
    assert errors(root) == []


def held(root: Path) -> dict[str, bytes]:
    """Every file with its bytes."""
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}
