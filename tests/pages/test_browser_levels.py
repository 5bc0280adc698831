"""The scripts compute with the builder's levels and limits, and have none of their own."""

from __future__ import annotations

import json
import re

import pytest

from builder.site.browser_levels import LEVELS, browser_levels
from tests.conftest import ROOT

SCRIPTS = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for path in sorted((ROOT / "site_src/pages/assets/scripts").rglob("*.js"))
}


def test_each_level_is_used_and_described() -> None:
    used = {name for text in SCRIPTS.values() for name in re.findall(r"\bLEVELS\.(\w+)", text)}
    assert used == LEVELS.keys(), "builder/site/browser_levels.py brings what the scripts use"
    described = re.findall(r"readonly (\w+): number;", (ROOT / "site_src/types/levels.d.ts").read_text("utf-8"))
    assert described == list(LEVELS), "site_src/types/levels.d.ts lists what builder/site/browser_levels.py brings"


def test_the_module_holds_them() -> None:
    found = re.fullmatch(r"export const LEVELS = Object\.freeze\((.*)\);\n", str(browser_levels().content))
    assert found
    assert json.loads(found[1]) == LEVELS


@pytest.mark.parametrize("path", [path for path in SCRIPTS if not path.endswith("statistics/distributions.js")])
def test_no_script_has_a_level_of_its_own(path: str) -> None:
    """The distributions themselves may count on such numbers."""
    code = re.sub(r"/\*.*?\*/|//[^\n]*", "", SCRIPTS[path], flags=re.DOTALL)
    found = re.findall(r"(?<![\w.])0?\.(?:9|90|95|99|975|995|05|01|005|8)(?!\d)", code)
    assert found == [], "name it in builder/fit/levels.py and bring it by builder/site/browser_levels.py"
