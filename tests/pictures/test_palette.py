"""Colours stand once."""

from __future__ import annotations

import re

from builder.findings.dataset import Dataset
from builder.pictures.palette import Ink, style_rule
from builder.site.kinds import published_files
from tests.conftest import ROOT

COLOUR = re.compile(r"#[0-9a-fA-F]{3,8}\b(?!;)|\brgba?\(|\bhsla?\(")
NOT_OF_THE_PALETTE = {
    # Sheets of white paper, and shadows.
    "run-sheet.html": {"#fff"},
    "site.css": {"#ffffff"},
    "compare.css": {"#0003"},
    "explorer.css": {"#0002"},
    # Clear ink behind and around an interactive chart.
    "chart.js": {"rgba("},
    # A file that browsers show beside a page's name; the next test holds it to the palette.
    "mark.svg": {"#0e5a63", "#f6f3ea", "#7fd0d2", "#10181c"},
}


def test_an_ink_is_a_colour_for_light_and_dark() -> None:
    rule = style_rule([Ink.PAPER, Ink.ON_BRAND])
    assert rule == (
        ":root {\n  color-scheme: light dark;\n"
        "  --sb-paper: light-dark(#fbfaf6, #11181b);\n"
        "  --sb-on-brand: light-dark(#ffffff, #0d1a1d);\n}\n"
    )
    assert Ink.ON_BRAND.variable == "var(--sb-on-brand)"
    assert Ink.ON_BRAND.light == "#ffffff"
    assert style_rule().count("light-dark(") == len(Ink)


def test_the_site_publishes_the_palette_and_loads_it_first(demo: Dataset) -> None:
    (file,) = (file for file in published_files(demo) if file.path == "assets/styles/palette.css")
    assert file.content == style_rule()
    config = (ROOT / "site_src" / "settings.yml").read_text("utf-8")
    assert 0 < config.index("- assets/styles/palette.css") < config.index("- assets/styles/site.css")


def test_no_colour_stands_anywhere_else() -> None:
    found = {}
    for folder in ("builder", "site_src"):
        for path in sorted((ROOT / folder).rglob("*")):
            if path.suffix not in {".py", ".html", ".css", ".js", ".svg"} or "vendor" in path.parts:
                continue
            colours = set(COLOUR.findall(path.read_text("utf-8"))) - NOT_OF_THE_PALETTE.get(path.name, set())
            if colours and path.name != "palette.py":
                found[path.relative_to(ROOT).as_posix()] = colours
    assert found == {}


def test_the_mark_has_the_colour_of_the_brand() -> None:
    mark = (ROOT / "site_src/pages/assets/images/mark.svg").read_text("utf-8")
    light, dark = re.findall(r"path\{fill:(#[0-9a-f]{6})\}", mark)
    assert f"--sb-brand: light-dark({light}, {dark});" in style_rule()


def test_what_a_page_takes_from_the_palette_is_in_it() -> None:
    named = {f"--sb-{ink}" for ink in Ink} | {"--sb-serif", "--sb-sans", "--sb-mono", "--sb-wide"}
    for folder in ("builder", "site_src"):
        for path in sorted((ROOT / folder).rglob("*")):
            if path.suffix in {".py", ".html", ".css", ".js"} and "vendor" not in path.parts:
                used = set(re.findall(r"var\((--sb-[a-z0-9-]*[a-z0-9])\)", path.read_text("utf-8")))
                assert used <= named, path
