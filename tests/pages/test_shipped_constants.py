"""The scripts compute with the builder's levels and limits, and have none of their own."""

from __future__ import annotations

import json
import re

import pytest

from builder.findings.dataset import Dataset
from builder.site.kinds import published_files
from builder.site.shipped_constants import CONSTANTS
from tests.conftest import ROOT

SCRIPTS = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for path in sorted((ROOT / "site_src/pages/assets/scripts").rglob("*.js"))
}
FILES = ("compare/configurations.json", "explore/configurations.json", "faces/panel.json", "contribute/form.json")


def test_each_constant_is_asked_for_and_no_other() -> None:
    asked = {name for text in SCRIPTS.values() for name in re.findall(r"\b(?:constant|levelText)\(\"(\w+)\"\)", text)}
    assert asked == CONSTANTS.keys(), "builder/site/shipped_constants.py brings what the scripts ask for"


def test_what_each_page_fetches_first_brings_them(demo: Dataset) -> None:
    content = {file.path: file.content for file in published_files(demo)}
    for path in FILES:
        assert json.loads(content[path])["constants"] == CONSTANTS, path


@pytest.mark.parametrize("path", [path for path in SCRIPTS if not path.endswith("statistics/distributions.js")])
def test_no_script_has_a_level_of_its_own(path: str) -> None:
    """Words and figures take them by name; the distributions themselves may count on such numbers."""
    code = re.sub(r"//.*|/\*.*?\*/", "", SCRIPTS[path], flags=re.DOTALL)
    found = re.findall(
        r"(?<![\w.])(?:0?\.(?:9|90|95|99|975|995|05|01|005))(?!\d)|\b9[059] % interval|\(9[059] %\)", code
    )
    assert found == [], "name it in builder/fit/levels.py and ship it by builder/site/shipped_constants.py"
    assert not re.search(r"(?:reach(?:es|ed)?|fit factor of) 100\b", code)
