"""A small set of entries without a fault, for tests to change."""

from __future__ import annotations

from pathlib import Path

MASK = """\
#:schema ../../builder/schemas/mask.schema.json
model = "Drum"
maker = "Example Works"
style = "cup"
class = "ffp2"

[as_sold]
nose-foam = "thin-foam"
"""

PART = """\
#:schema ../../builder/schemas/part.schema.json
name = "Thin foam"
slot = "nose-foam"
material = "polyurethane"
fitting = "Glued inside the upper edge."
can_be_undone = true
"""

TEST = """\
#:schema ../../../builder/schemas/test.schema.json
mask = "drum-cup"
date = 2026-09-12
contributor = "grey-bench"

[configuration]
nose-foam = "none"

[face]
wearer = "blue-heron"
length_mm = 117
width_mm = 138
nose_bridge = "high"
facial_hair = "none"

[result]
protocol = "short-four-exercise"

[[result.exercise]]
name = "bending-over"
fit_factor = 50

[[result.exercise]]
name = "talking"
fit_factor = 100

[[result.exercise]]
name = "head-side-to-side"
fit_factor = 200

[[result.exercise]]
name = "head-up-and-down"
fit_factor = 400

[conditions]
instrument = "condensation-counter"
aerosol = "room-air"

[observations]
leaks = ["nose", "left-cheek"]
comfort = 4
fogging = false
notes = "The right side sat well."
"""

REMOVED = """\
#:schema ../builder/schemas/removed.schema.json

[[removed]]
test = "drum-cup/2026-09-12-blue-heron-2"
date = 2026-10-02
reason = "The hose was loose."
"""

MASK_PATH = "masks/drum-cup.toml"
PART_PATH = "parts/thin-foam.toml"
TEST_PATH = "tests/drum-cup/2026-09-12-blue-heron-1.toml"
REMOVED_PATH = "removed.toml"
FILES = {MASK_PATH: MASK, PART_PATH: PART, TEST_PATH: TEST}


def write(root: Path, files: dict[str, str | bytes] | None = None) -> Path:
    """Write the sample entries below a folder, with some files changed or added."""
    for path, content in {**FILES, **(files or {})}.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_bytes(content if isinstance(content, bytes) else content.encode())
    return root
