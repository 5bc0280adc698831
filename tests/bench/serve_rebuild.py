"""How long a saved entry takes to be on its page while the site is served, and until the model is checked again.

Builds the site as `mkdocs serve` does, changes one fit factor, builds again. Times are beside those of the first build
in the same run.
"""

from __future__ import annotations

import re
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from mkdocs.commands.build import build
from mkdocs.config import load_config

from builder import demo
from builder.demo.scenario import generate
from builder.records.toml_text import to_toml
from tests.bench.arguments import parser
from tests.conftest import ROOT


@contextmanager
def lap(what: str) -> Iterator[None]:
    """Print how long something took, by the clock and on the processor."""
    wall, processor = time.perf_counter(), time.process_time()
    yield
    print(f"{what:<48} {time.perf_counter() - wall:7.2f} s   {time.process_time() - processor:7.2f} s of processor")


def main(tests: int, wearers: int, masks: int, configurations: int, seed: int) -> None:
    """Measure on invented entries of the size asked for."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        entries = folder / "entries"
        for path, record in generate(tests, wearers, masks, seed, configurations or None):
            (entries / path).parent.mkdir(parents=True, exist_ok=True)
            (entries / path).write_text(to_toml(record), encoding="utf-8")
        config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(folder / "site"))
        plugin: Any = config.plugins["sealbook"]
        plugin.config["entries"] = str(entries)
        plugin.on_startup(command="serve", dirty=False)
        with lap("first build"):
            build(config, serve_url="http://127.0.0.1:8000/")
        texts = ((path, path.read_text()) for path in sorted(entries.rglob("tests/*/*.toml")))
        # One that states its fit factor alone: the checker would find fault with any other.
        file = next(path for path, text in texts if "\nfit_factor" in text and "[[result" not in text)
        file.write_text(re.sub(r"\nfit_factor = .*", "\nfit_factor = 77.7", file.read_text(), count=1))
        with lap("a saved entry on its page"):
            build(config, serve_url="http://127.0.0.1:8000/")
        assert not plugin._problems
        assert "77.7" in (folder / "site" / "masks" / file.parent.name / "index.html").read_text()
        with lap("the model's check beside it"):
            plugin._recheck.wait()
        with lap("the build after that"):
            build(config, serve_url="http://127.0.0.1:8000/")


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("--tests", type=int, default=demo.TESTS, help="tests to invent")
    arguments.add_argument("--wearers", type=int, default=demo.WEARERS, help="wearers")
    arguments.add_argument("--masks", type=int, default=demo.MASKS, help="masks")
    arguments.add_argument("--configurations", type=int, default=0, help="0: as the masks ask")
    arguments.add_argument("--seed", type=int, default=7, help="seed of the invented entries")
    main(**vars(arguments.parse_args()))
