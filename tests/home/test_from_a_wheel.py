"""A database of one's own, from an empty folder to a reviewed pull request, with the builder as a wheel brings it.

No network: the wheel is built by what is installed, and the remote is a bare repository beside the folder.
"""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.test_walkthrough import ENVIRONMENT

NAME = "Our mask bench: Leeds & York"
MASK = ["--model", "Drum", "--maker", "Example Works", "--style", "cup", "--class", "ffp2"]
TEST = [
    *("--mask", "drum", "--date", "2024-05-18", "--contributor", "grey-otter", "--wearer", "blue-heron"),
    *("--facial-hair", "none", "--protocol", "one-exercise", "--length-mm", "117", "--width-mm", "138"),
]


@dataclass(frozen=True)
class Installed:
    """A builder installed from a wheel into a folder of its own, and the folder where commands run."""

    wheel: Path
    target: Path
    home: Path

    def run(self, *command: str, ends_with: int = 0) -> str:
        """Run a command; Python finds the installed builder, never that of the checkout."""
        environment = ENVIRONMENT | {"PYTHONPATH": str(self.target)}
        done = subprocess.run(command, cwd=self.home, env=environment, capture_output=True, text=True, check=False)
        assert done.returncode == ends_with, f"{command}\n{done.stdout}\n{done.stderr}"
        assert "Traceback" not in done.stderr
        return done.stdout

    def sealbook(self, *arguments: str, ends_with: int = 0) -> str:
        """Run a verb."""
        return self.run(sys.executable, "-m", "builder", *arguments, ends_with=ends_with)

    def site(self) -> Path:
        """Build the site strictly, as the workflow does."""
        self.run(sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet")
        return self.home / "site"

    def git(self, *arguments: str) -> str:
        """Run git."""
        return self.run("git", *arguments)

    def commit(self, message: str) -> None:
        """Commit everything."""
        self.git("add", "-A")
        self.git("commit", "-q", "-m", message)


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installed]:
    """Build the wheel of this checkout and install it by the very line that a new folder's requirements.txt has."""
    top = tmp_path_factory.mktemp("own")
    pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check"]
    made = [*pip, "wheel", "--no-deps", "--no-index", "--no-build-isolation", "-w", str(top), str(ROOT)]
    done = subprocess.run(made, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (wheel,) = top.glob("*.whl")
    line = f"sealbook @ {wheel.as_uri()}"
    installing = [*pip, "install", "--no-deps", "--no-index", "--no-compile", "--target", str(top / "lib"), line]
    subprocess.run(installing, check=True, capture_output=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(ENVIRONMENT, "SEALBOOK_CACHE", str(top / "cache"))
        yield Installed(wheel, top / "lib", top)


@pytest.fixture(scope="module")
def bench(installed: Installed) -> Installed:
    """A new folder, pushed to its remote."""
    said = installed.sealbook(
        *("start", "bench", "--name", NAME, "--repository", "https://github.com/our-club/our-bench.git"),
        *("--builder", installed.wheel.as_uri()),
    )
    assert said.startswith(f"Made bench, the database “{NAME}”. What to do next:\n\n1. Look at it:\n     cd bench\n")
    assert "https://our-club.github.io/our-bench/\n" in said
    subprocess.run(["git", "init", "-q", "--bare", "-b", "main", str(installed.home / "remote.git")], check=True)
    made = replace(installed, home=installed.home / "bench")
    made.git("init", "-q", "-b", "main")
    made.commit("Begin")
    made.git("remote", "add", "origin", str(installed.home / "remote.git"))
    made.git("push", "-q", "-u", "origin", "main")
    return made


def test_the_wheel_holds_every_page_script_style_and_the_theme_once(installed: Installed) -> None:
    files = [name for name in zipfile.ZipFile(installed.wheel).namelist() if "/site_src/" in name]
    tracked = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "site_src"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.splitlines()  # fmt: skip
    for_writing_scripts = ("site_src/types/", "site_src/jsconfig.json")
    assert sorted(files) == sorted(f"builder/{path}" for path in tracked if not path.startswith(for_writing_scripts))
    assert len(files) == len(set(files)) > 90


def test_a_new_folder_is_what_git_keeps_and_no_code_of_ours(bench: Installed) -> None:
    assert bench.git("ls-files").split() == [
        ".github/pull_request_template.md",
        ".github/workflows/site.yml",
        ".gitignore",
        "LICENSE",
        "README.md",
        "entries/README.md",
        "mkdocs.yml",
        "pages/about.md",
        "requirements.txt",
    ]
    assert (bench.home / "requirements.txt").read_text().splitlines()[1:] == [f"sealbook @ {bench.wheel.as_uri()}"]


def test_the_site_of_no_tests_yet_is_published_under_its_name(bench: Installed) -> None:
    assert "no problems" in bench.sealbook("check")
    site = bench.site()
    start = (site / "index.html").read_text("utf-8")
    assert "<title>Our mask bench: Leeds &amp; York</title>" in start
    assert '<link rel="canonical" href="https://our-club.github.io/our-bench/">' in start
    assert 'href="https://github.com/our-club/our-bench"' in start
    assert '<a href="about/"' in start
    assert "Invented demo data" not in start
    feed = (site / "feed.xml").read_text("utf-8")
    assert "<title>Our mask bench: Leeds &amp; York: fit tests of masks on many faces: new tests</title>" in feed
    assert "Sealbook" not in start.replace("sealbook", "") + feed
    for path in ("methods/index.html", "assets/scripts/common/page.js", "assets/styles/site.css", "404.html"):
        assert (site / path).is_file(), path


def test_a_branch_with_the_first_test_is_checked_built_and_reviewed(bench: Installed) -> None:
    bench.git("switch", "-q", "-c", "first-tests")
    bench.sealbook("new", "mask", *MASK)
    bench.sealbook("new", "test", *TEST, "--fit-factor", "64")
    assert "no problems" in bench.sealbook("check")
    entry = bench.home / "entries" / "tests" / "drum" / "2024-05-18-blue-heron-1.toml"
    schema = re.match(r"#:schema (\S+)\n", entry.read_text("utf-8"))
    assert schema
    assert (entry.parent / schema[1]).read_bytes() == (ROOT / "builder" / "schemas" / "test.schema.json").read_bytes()
    page = (bench.site() / "masks" / "drum" / "index.html").read_text("utf-8")
    assert 'id="2024-05-18-blue-heron-1"' in page
    bench.commit("First tests")
    bench.git("push", "-q", "-u", "origin", "first-tests")

    # As the workflow reviews it: the pull request in one folder, and nothing of it run.
    proposed = bench.home.parent / "proposed"
    bench.git("clone", "-q", "-b", "first-tests", str(bench.home.parent / "remote.git"), str(proposed))
    aside = replace(bench, home=bench.home.parent)
    review = aside.sealbook("review", "origin/main", "--entries", "proposed/entries")
    assert "1 test" in review
    assert "64" in review
    assert not (proposed / "builder").exists()
    exported = bench.home.parent / "open-data"
    bench.sealbook("export", str(exported))
    assert f'title: "{NAME}: fit tests of masks on many faces"' in (exported / "CITATION.cff").read_text("utf-8")
    bench.git("switch", "-q", "main")


def test_schemas_of_another_builder_are_replaced_by_those_of_the_one_installed(bench: Installed) -> None:
    stale = bench.home / "builder" / "schemas" / "part.schema.json"
    stale.write_text("{}", "utf-8")
    (stale.parent / "mask.schema.json").unlink()
    bench.sealbook("check")
    for name in ("part.schema.json", "mask.schema.json"):
        assert (stale.parent / name).read_bytes() == (ROOT / "builder" / "schemas" / name).read_bytes()


def test_a_folder_has_its_own_pages_files_theme_and_colours(bench: Installed) -> None:
    kept = (bench.home / "mkdocs.yml").read_text("utf-8")
    (bench.home / "mkdocs.yml").write_text(
        kept.replace("palette: {}", 'palette:\n        brand: ["#5a1e63", "#d2a0e0"]')
        + "theme:\n  name: material\n  custom_dir: looks\nextra_css:\n  - assets/own.css\n",
        "utf-8",
    )
    own = {
        "pages/methods.md": "# How we measure\n\nWith one counter, in one room.\n",
        "pages/explore.md": "# Nothing to explore\n",
        "pages/assets/images/mark.svg": "<svg/>",
        "pages/assets/own.css": "h1 { font-style: italic; }",
        "looks/partials/footer.html": "<footer>ours</footer>",
    }
    for path, text in own.items():
        (bench.home / path).parent.mkdir(parents=True, exist_ok=True)
        (bench.home / path).write_text(text, "utf-8")
    site = bench.site()
    start = (site / "index.html").read_text("utf-8")
    assert "With one counter, in one room." in (site / "methods" / "index.html").read_text("utf-8")
    assert "Nothing to explore" in (site / "explore" / "index.html").read_text("utf-8")
    assert (site / "assets" / "images" / "mark.svg").read_text() == "<svg/>"
    assert "<footer>ours</footer>" in start
    assert 0 < start.index("assets/styles/site.css") < start.index("assets/own.css")
    assert "--sb-brand: light-dark(#5a1e63, #d2a0e0);" in (site / "assets" / "styles" / "palette.css").read_text()
    bench.git("checkout", "-q", ".")
    bench.git("clean", "-qfd")


def test_a_palette_that_cannot_be_read_stops_the_build(bench: Installed) -> None:
    settings = bench.home / "mkdocs.yml"
    kept = settings.read_text("utf-8")
    settings.write_text(kept.replace("palette: {}", 'palette:\n        ink: ["#cccccc", "#e3e9e8"]'), "utf-8")
    environment = ENVIRONMENT | {"PYTHONPATH": str(bench.target)}
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"],
        cwd=bench.home, env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    settings.write_text(kept, "utf-8")
    assert done.returncode == 1
    assert "the palette in mkdocs.yml has problems:\nink #cccccc on paper #fbfaf6 (light)" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_that_is_there_is_left_alone(bench: Installed) -> None:
    before = sorted(bench.home.iterdir())
    bench.sealbook("start", ".", "--name", "x", "--repository", "https://example.org/x", ends_with=2)
    assert sorted(bench.home.iterdir()) == before
