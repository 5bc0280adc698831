"""The build beside a bare build of as many pages of the same size.

Both run in this process, one after the other, three times; the ratio of the medians is printed. The bare site holds the
bodies of our pages as raw HTML in Markdown files, under the same MkDocs and the theme as it comes, without search.
"""

from __future__ import annotations

import logging
import re
import statistics
import tempfile
import time
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config

from builder.demo.scenario import generate
from builder.records.toml_text import to_toml
from builder.records.writing_files import write_files
from tests.bench.arguments import parser
from tests.conftest import ROOT

ROUNDS = 3


def ours(entries: Path, site: Path) -> float:
    """Build the site of some entries; seconds."""
    start = time.perf_counter()
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site))
    config.plugins["sealbook"].config["entries"] = str(entries)
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    return time.perf_counter() - start


def bare(folder: Path) -> float:
    """Build the bare site of a folder; seconds."""
    start = time.perf_counter()
    build(load_config(str(folder / "mkdocs.yml"), site_dir=str(folder / "site")))
    return time.perf_counter() - start


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
        ours(folder / "entries", folder / "site")
        pages = bodies(folder / "site", folder / "bare")
        times = [(ours(folder / "entries", folder / "site"), bare(folder / "bare")) for _ in range(ROUNDS)]
    mine, plain = (statistics.median(column) for column in zip(*times, strict=True))
    print("| tests | pages | Sealbook, s | bare, s | ratio |\n|---|---|---|---|---|")
    print(f"| {tests} | {pages} | {mine:.1f} | {plain:.1f} | {mine / plain:.2f} |")


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("tests", nargs="?", type=int, default=3000, help="invented tests")
    arguments.add_argument("masks", nargs="?", type=int, default=150, help="masks among them")
    main(**vars(arguments.parse_args()))
