"""Kill the build at random moments: the published folder is the old site or the new one, never a mix.

A mix ends with exit code 1.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.arguments import parser
from tests.conftest import ROOT
from tests.test_plugin import digests

SETTINGS = """
INHERIT: {root}/mkdocs.yml
docs_dir: {root}/site_src/pages
site_dir: {folder}/site
plugins:
  - sealbook:
      entries: {folder}/entries
"""


def start(folder: Path) -> subprocess.Popen[bytes]:
    """Start a build of a folder's entries into its `site`."""
    environment = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    command = [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(folder / "mkdocs.yml")]
    return subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def main(rounds: int) -> None:
    """Build two states of the entries, then kill builds from one to the other and look what is published."""
    random.seed(1)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "mkdocs.yml").write_text(SETTINGS.format(root=ROOT, folder=folder), "utf-8")
        shutil.copytree(ROOT / "entries", folder / "entries")
        assert start(folder).wait() == 0
        new = digests(folder / "site")
        test = sorted((folder / "entries" / "tests").rglob("*.toml"))[0]
        test.rename(folder / "aside.toml")
        begun = time.monotonic()
        assert start(folder).wait() == 0
        whole = time.monotonic() - begun
        old = digests(folder / "site")
        shutil.copytree(folder / "site", folder / "old")
        (folder / "aside.toml").rename(test)
        found = {"old": 0, "new": 0, "mix": 0}
        for _ in range(rounds):
            shutil.rmtree(folder / "site")
            shutil.copytree(folder / "old", folder / "site")
            build = start(folder)
            # Most moments are alike; the last ones, when files are written and exchanged, are tried more often.
            time.sleep(whole * max(random.random(), random.random()) * 1.05)
            build.send_signal(signal.SIGKILL)
            build.wait()
            there = digests(folder / "site")
            found["old" if there == old else "new" if there == new else "mix"] += 1
    told = f"{found['old']} left the old site, {found['new']} the new one, {found['mix']} a mix of both"
    print(f"{rounds} builds killed within {whole:.1f} s: {told}")
    sys.exit(found["mix"] > 0)


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("rounds", nargs="?", type=int, default=20, help="builds killed")
    main(**vars(arguments.parse_args()))
