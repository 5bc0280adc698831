"""The build beside a bare build of as many pages of the same size.

All run in this process, one after the other, three times; the ratios of the medians are printed, of the time that
passed and of that on all processors: a build shares out its pages over these, a bare one does not. The bare site holds
the bodies of our pages as raw HTML in Markdown files, under the same MkDocs and the theme as it comes, without search.
Of Sealbook there are five builds in each round:

- statistics known: the face model and the pooling of parts are from before, since a bare site has neither. All else is
  worked out and drawn: reading, checking, comparisons, factorials, every picture.
- nothing known: as whoever never built before; the face model is fitted and checked, parts are pooled, all is drawn.
- all known: the build after that of the same entries, what came of them before being remembered.
- a note, and a fit factor: the builds after one test got another one, by another process than the build before.
"""

from __future__ import annotations

import logging
import os
import re
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config

from builder.demo.scenario import generate
from builder.findings import forecast, hack_memory
from builder.records.memory import PLACE
from builder.records.toml_text import to_toml
from builder.records.writing_files import write_files
from tests.bench.arguments import parser
from tests.conftest import ROOT

ROUNDS = 3
BUILDS = ("statistics known", "nothing known", "all known", "a note changed", "a fit factor changed")


@dataclass(frozen=True)
class Took:
    """Seconds that passed, and those on the processors, of this process and of its copies."""

    passed: float
    busy: float


def timed(action: Callable[..., None], *arguments: Path) -> Took:
    """Run something and say how long it took."""
    passed, busy = time.perf_counter(), _busy()
    action(*arguments)
    return Took(time.perf_counter() - passed, _busy() - busy)


def _busy() -> float:
    return sum(os.times()[:4])


def ours(entries: Path, site: Path) -> None:
    """Build the site of some entries."""
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site))
    config.plugins["sealbook"].config["entries"] = str(entries)
    config.plugins.on_startup(command="build", dirty=False)
    build(config)


def knowing_nothing(entries: Path, site: Path) -> None:
    """Build it as whoever never built before."""
    hack_memory._made.clear()
    forecast._made.clear()
    knowing_statistics(entries, site)


def knowing_statistics(entries: Path, site: Path) -> None:
    """Build it with the face model fitted and parts pooled before, and nothing else."""
    shutil.rmtree(os.environ[PLACE], ignore_errors=True)
    ours(entries, site)


def after_a_note(entries: Path, site: Path) -> None:
    """Build it after an edit that no figure is made of."""
    _after("\n[observations]\n", '\n[observations]\nnotes = "Looked at again."\n', entries, site)


def after_a_fit_factor(entries: Path, site: Path) -> None:
    """Build it after an edit that moves all that tests tell together."""
    _after("\nfit_factor = ", "\nfit_factor = 1", entries, site)


def _after(old: str, new: str, entries: Path, site: Path) -> None:
    tests = ((path, path.read_text("utf-8")) for path in sorted((entries / "tests").rglob("*.toml")))
    path, text = next((path, text) for path, text in tests if old in text and "[[" not in text and "notes" not in text)
    path.write_text(text.replace(old, new), "utf-8")
    hack_memory._made.clear()
    forecast._made.clear()
    ours(entries, site)


def bare(folder: Path) -> None:
    """Build the bare site of a folder."""
    build(load_config(str(folder / "mkdocs.yml"), site_dir=str(folder / "site")))


def bodies(site: Path, folder: Path) -> int:
    """Lay out the bodies of a site's pages as a bare site; how many there are."""
    docs = folder / "docs"
    pages = sorted(site.rglob("index.html"))
    for page in pages:
        body = re.search(r"<article[^>]*>(.*)</article>", page.read_text("utf-8"), re.DOTALL)
        name = page.parent.relative_to(site).as_posix().replace("/", "-").strip(".") or "index"
        target = docs / f"{name}.md"
        target.parent.mkdir(parents=True, exist_ok=True)
        # Without blank lines Markdown takes the whole as one block of HTML.
        text = re.sub(r"\n\s*\n", "\n", body[1].strip()) if body else ""
        target.write_text(f"<div>\n{text}\n</div>\n", "utf-8")
    settings = "site_name: Bare\nsite_url: http://127.0.0.1/\ntheme:\n  name: material\nplugins: []\n"
    # One page in the navigation, so that both leave their pages out of the tree.
    (folder / "mkdocs.yml").write_text(f"{settings}nav:\n  - index.md\nnot_in_nav: |\n  *\n", "utf-8")
    return len(pages)


def main(tests: int, masks: int) -> None:
    """Measure and print."""
    logging.disable(logging.WARNING)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        entries = generate(tests, 100, masks, 1, None)
        write_files(folder / "entries", {path: to_toml(record) for path, record in entries})
        own = folder / "entries", folder / "site"
        os.environ[PLACE] = str(folder / "memory")
        ours(*own)
        pages = bodies(folder / "site", folder / "bare")
        builds = (knowing_statistics, knowing_nothing, ours, after_a_note, after_a_fit_factor)
        rounds = [[*(timed(mine, *own) for mine in builds), timed(bare, folder / "bare")] for _ in range(ROUNDS)]
    *built, plain = (_median(column) for column in zip(*rounds, strict=True))
    print(f"{tests} tests, {pages} pages\n")
    print("| build | passed, s | ratio | on the processor, s | ratio |\n|---|---|---|---|---|")
    print(f"| bare | {plain.passed:.1f} | 1 | {plain.busy:.1f} | 1 |")
    for name, took in zip(BUILDS, built, strict=True):
        ratios = took.passed / plain.passed, took.busy / plain.busy
        print(f"| Sealbook, {name} | {took.passed:.1f} | {ratios[0]:.2f} | {took.busy:.1f} | {ratios[1]:.2f} |")


def _median(column: tuple[Took, ...]) -> Took:
    passed, busy = (statistics.median(getattr(took, name) for took in column) for name in ("passed", "busy"))
    return Took(passed, busy)


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("tests", nargs="?", type=int, default=3000, help="invented tests")
    arguments.add_argument("masks", nargs="?", type=int, default=150, help="masks among them")
    main(**vars(arguments.parse_args()))
