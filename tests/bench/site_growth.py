"""What each further test adds to the published site, by kind of page and file, in every language of the site.

The same invented bench is published twice: with so many tests, and with twice as many, of the same masks,
configurations and wearers. The difference, in bytes a test, is what a file host has to hold for each.
"""

from __future__ import annotations

import logging
import os
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterable
from pathlib import Path, PurePosixPath

from builder.demo.scenario import generate
from builder.records.memory import PLACE
from builder.records.spoken import ENGLISH
from builder.records.toml_text import to_toml
from builder.records.writing_files import write_files
from builder.words.catalogue import languages
from tests.bench.arguments import parser
from tests.bench.build_pages import ours

SEED = 7
LEAST = 5
"""Bytes a test of what has a line of its own."""
_KINDS = frozenset({"source", "share", "methods", "faces"})
"""Folders below those of masks, parts and configurations that name a kind of page or file."""


def place(path: str) -> tuple[str, str]:
    """Give the language of a published file and the place of all like it, as in `masks/*/source/`."""
    language, _, rest = path.partition("/")
    if language not in languages() or not rest:
        language, rest = ENGLISH, path
    first, *between, name = "", *PurePosixPath(rest).parts
    if between:
        first, *between = between
    folders = [first, *(folder if folder in _KINDS else "*" for folder in between)] if first else []
    shown = "" if name == "index.html" else f"*{PurePosixPath(name).suffix}"
    return language, "/".join((*folders, shown))


def sizes(site: Path) -> Counter[tuple[str, str]]:
    """Add up the bytes of a site by place."""
    found: Counter[tuple[str, str]] = Counter()
    for file in site.rglob("*"):
        if file.is_file():
            found[place(file.relative_to(site).as_posix())] += file.stat().st_size
    return found


def main(tests: int, wearers: int, masks: int, configurations: int) -> None:
    """Publish both, and print the table."""
    logging.disable(logging.WARNING)
    published = []
    with tempfile.TemporaryDirectory() as name:
        os.environ[PLACE] = str(Path(name, "memory"))
        for many in (tests, 2 * tests):
            folder = Path(name, str(many))
            made = generate(many, wearers, masks, SEED, configurations)
            write_files(folder / "entries", {path: to_toml(record) for path, record in made})
            ours(folder / "entries", folder / "site")
            published.append(sizes(folder / "site"))
    fewer, more = published
    spoken = sorted({language for language, _ in more}, key=lambda code: (code != ENGLISH, code))
    added = {key: (more[key] - fewer[key]) / tests for key in more | fewer}
    of_place: defaultdict[str, float] = defaultdict(float)
    for (_, where), number in added.items():
        of_place[where] += number
    print(f"{tests} and {2 * tests} tests: {fewer.total() / 1e6:.0f} and {more.total() / 1e6:.0f} MB\n")
    print(f"| bytes a test | {' | '.join(spoken)} | all |\n|---|{'---|' * (len(spoken) + 1)}")
    for where, number in sorted(of_place.items(), key=lambda one: (-one[1], one[0])):
        if abs(number) >= LEAST:
            print(f"| `{where}` | {_row(added.get((code, where), 0) for code in spoken)} | {number:.0f} |")
    totals = [sum(number for (language, _), number in added.items() if language == code) for code in spoken]
    print(f"| all | {_row(totals)} | {sum(totals):.0f} |")


def _row(numbers: Iterable[float]) -> str:
    return " | ".join(f"{number:.0f}" for number in numbers)


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("tests", nargs="?", type=int, default=3000, help="tests of the smaller one")
    arguments.add_argument("--wearers", type=int, default=100, help="wearers of both")
    arguments.add_argument("--masks", type=int, default=40, help="masks of both")
    arguments.add_argument("--configurations", type=int, default=300, help="configurations of both")
    main(**vars(arguments.parse_args()))
