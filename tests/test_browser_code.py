"""The browser's scripts as files: each is used, each page finds the one it asks for, their types are the builder's."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from builder.findings.advice import advise
from builder.findings.dataset import Dataset
from builder.fit.facemodel import FaceDescription
from builder.site import (
    bench_page,
    browser_levels,
    browser_logs,
    browser_words,
    compare_page,
    contribute_form,
    explorer_page,
    face_model_file,
    face_pages,
    hack_pages,
    mask_pages,
    offline,
    people_file,
    yardstick_page,
)
from builder.site.published import Renderer
from builder.site.search_index import FinishedPage, search_file
from tests.conftest import ROOT, unpacked

SCRIPTS = ROOT / "site_src" / "pages" / "assets" / "scripts"
LOADER = SCRIPTS / "common" / "page.js"
THEME = ROOT / "site_src" / "theme" / "main.html"
MADE = {ROOT / "site_src" / "pages" / made.ADDRESS for made in (browser_levels, browser_logs, browser_words)}
"""The scripts that the builder makes."""
TYPES = ROOT / "site_src" / "types" / "published.d.ts"


def code(script: Path) -> str:
    """A script without its comments: types are imported in these, which loads nothing."""
    return re.sub(r"/\*.*?\*/|^\s*//[^\n]*", "", script.read_text("utf-8"), flags=re.DOTALL | re.MULTILINE)


def imports(script: Path) -> set[Path]:
    if script in MADE:
        return set()
    found = re.findall(
        r"""(?:\bfrom|^import|\bimport\(|\bnew Worker\(new URL\()\s*["']([^"']+)["']""", code(script), re.MULTILINE
    )
    return {(script.parent / address).resolve() for address in found}


def reached(scripts: set[Path]) -> set[Path]:
    """The scripts and all that they import."""
    todo, seen = set(scripts), set[Path]()
    while todo:
        script = todo.pop()
        seen.add(script)
        todo |= imports(script) - seen
    return seen


def modules() -> dict[str, Path]:
    """What the loader knows, by the name that pages ask for."""
    found = re.findall(r"""\["([a-z-]+)", \(\) => import\("([^"]+)"\)\]""", code(LOADER))
    return {name: (LOADER.parent / address).resolve() for name, address in found}


WORKERS = {ROOT / "site_src" / "pages" / offline.SCRIPT}
"""What runs beside a page."""


def test_every_script_is_loaded_by_some_page() -> None:
    loaded = {SCRIPTS / address for address in re.findall(r"assets/scripts/([\w./-]+\.js)", THEME.read_text("utf-8"))}
    assert LOADER in loaded
    assert sorted(reached(loaded | WORKERS)) == sorted([*SCRIPTS.rglob("*.js"), *MADE])


def test_every_export_is_used() -> None:
    texts = {script: script.read_text("utf-8") for script in SCRIPTS.rglob("*.js")}
    tests = "".join(file.read_text("utf-8") for file in (ROOT / "tests" / "browser").glob("*.py"))
    unused = [
        f"{script.name}: {name}"
        for script, text in texts.items()
        for name in re.findall(r"^export (?:async )?(?:function\*?|const|class) (\w+)", text, re.MULTILINE)
        if name != "start"
        and not any(re.search(rf"\b{name}\b", other) for path, other in texts.items() if path != script)
        and not re.search(rf"\b{name}\b", tests)
    ]
    assert unused == []


def test_what_a_page_asks_for_is_there() -> None:
    sources = [source for folder in ("builder", "site_src") for source in (ROOT / folder).rglob("*")]
    texts = [source.read_text("utf-8") for source in sources if source.suffix in {".html", ".md", ".py"}]
    asked = {name for text in texts for name in re.findall(r'data-module="([^"]*)"', text)}
    assert asked == modules().keys()
    assert imports(LOADER) == set(modules().values())
    for script in modules().values():
        assert re.search(r"^export (async )?function start\(", code(script), re.MULTILINE), script


def test_one_name_is_one_script() -> None:
    names = Counter(script.name for script in SCRIPTS.rglob("*.js"))
    assert [name for name, n in names.items() if n > 1] == []


def test_every_folder_reaches_only_down_to_what_pages_share() -> None:
    """A page's own scripts are used by no other: but for what is chosen to be compared, which three pages name, and for
    the bench, which writes entries as the contribute page does and says verdicts as the compare page does. All may use
    statistics, which use nothing.
    """
    allowed = {
        "common": {"statistics"},
        "statistics": set[str](),
        "logs": {"statistics"},
        "explorer": {"common", "compare", "statistics"},
        "bench": {"common", "statistics", "compare", "contribute", "logs"},
        "yardstick": {"common", "compare"},
    }
    for script in SCRIPTS.rglob("*.js"):
        folder = script.parent.name
        used = {other.parent.name for other in imports(script) if script != LOADER}
        assert used <= allowed.get(folder, {"common", "logs", "statistics"}) | {"words", folder}, script


def interfaces() -> dict[str, tuple[set[str], set[str]]]:
    """The names that each interface demands, and those that it allows too."""
    found: dict[str, tuple[set[str], set[str]]] = {}
    for name, parent, body in re.findall(
        r"interface (\w+)(?: extends (\w+))? \{\n(.*?)\n  \}", TYPES.read_text("utf-8"), re.DOTALL
    ):
        names = re.findall(r"^    (\w+)(\??):", body, re.MULTILINE)
        demanded, allowed = found[parent] if parent else (set(), set())
        found[name] = (
            demanded | {key for key, mark in names if not mark},
            allowed | {key for key, mark in names if mark},
        )
    return found


@pytest.fixture(scope="module")
def published(demo: Dataset) -> dict[str, list[Any]]:
    """What is published of the committed entries, by the interface that describes it."""
    makers = (
        explorer_page.explorer_files,
        explorer_page.face_files,
        compare_page.measured_files,
        face_pages.face_files,
        face_model_file.face_model_file,
        people_file.people_file,
        mask_pages.mask_files,
        contribute_form.contribute_files,
        bench_page.bench_files,
        yardstick_page.yardstick_files,
    )
    made = [compare_page.comparables_file(demo), *(file for make in makers for file in make(demo))]
    files = {file.path: unpacked(file) for file in made}
    explore, comparables = files["explore/configurations.json"], files["compare/configurations.json"]
    face_types = [file for path, file in files.items() if path.startswith("explore/faces/")]
    render = Renderer(demo)
    narrowed = [
        unpacked(file)
        for make in (mask_pages.narrowed_mask_files, hack_pages.narrowed_hack_files, face_pages.narrowed_face_files)
        for file in make(demo, render)
        if not file.path.endswith(("-donnings.packed", "-effects.packed"))
    ]
    measured = [file for path, file in files.items() if path.startswith("compare/masks/")]
    donnings = [file for path, file in files.items() if path.endswith("donnings.packed")]
    ladders = [file for path, file in files.items() if path.startswith("yardstick/")]
    panel, form = files["faces/panel.json"], files["contribute/form.json"]
    model = files["faces/model.json"]
    people = files["faces/people.json"]
    lists = [face_pages.shown_advice(demo, advise(demo, FaceDescription(cell=cell))) for cell in ("4", "unknown")]
    return {
        "Explorer": [explore],
        "Findable": [
            unpacked(search_file(demo, [FinishedPage("cautions/", "Cautions", "", has_sections=True, explains=True)]))
        ],
        "Configuration": [explore["configurations"]],
        "Strip": [explore["strip"]],
        "FaceType": face_types,
        "Figures": [{k: v for k, v in one["configurations"].items() if k != "id"} for one in face_types],
        "Narrowed": narrowed,
        "Comparables": [comparables],
        "Comparable": [comparables["configurations"]],
        "Scatter": [comparables["scatter"]],
        "Methods": [comparables["methods"]],
        "MaskMeasured": measured,
        "Arm": [one["arms"] for one in measured],
        "Donning": [one["tests"] for one in measured],
        "Spread": [one["figures"] for one in measured],
        "Yardstick": ladders,
        "YardstickRow": [one["rows"] for one in ladders],
        "Donnings": donnings,
        "PlacedDonning": [one["dots"] for one in donnings],
        "Panel": [panel],
        "Cell": form["cells"],
        "People": [people],
        "PeopleConfiguration": [people["configurations"]],
        "PeopleWearer": [people["wearers"]],
        "Advice": lists,
        "Advised": [row for one in lists for row in one["ranked"]],
        "FaceModel": [model],
        "FaceFeatures": [model["features"]],
        "Turn": model["features"]["turns"],
        "OwnResultWorth": [model["own_results"]],
        "CondensedPosterior": model["posteriors"],
        "Bench": [files["bench/known.json"]],
        "WearerScatter": [files["bench/known.json"]["stranger"], *files["bench/known.json"]["wearers"].values()],
        "Form": [form],
        "Word": form["schemas"]["test"]["$defs"]["Exercise"]["oneOf"],
        "Timing": list(form["protocols"].values()),
        "KnownMask": form["masks"],
        "KnownPart": form["parts"],
        "KnownFace": list(form["wearers"].values()),
    }


def test_types_of_data_files_are_those_that_are_published(published: dict[str, list[Any]]) -> None:
    described = interfaces()
    # Schemas hold more than the form reads.
    assert described.keys() - {"Schema"} == published.keys()
    for name, values in published.items():
        demanded, allowed = described[name]
        assert values, name
        for value in values:
            assert demanded <= set(value) <= demanded | allowed, name
