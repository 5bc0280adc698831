"""The plan of the house: which folder may use which, and that no files go round in a circle."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from tests.conftest import ROOT

USES = {
    "fit": set(),
    "pictures": set(),
    "records": {"fit"},
    "findings": {"records", "fit"},
    "words": {"findings", "records", "fit"},
    "site": {"words", "pictures", "findings", "records", "fit"},
    "commands": {"words", "pictures", "findings", "records", "fit", "review", "demo", "home"},
    "review": {"words", "pictures", "findings", "records", "fit"},
    "demo": {"records", "fit"},
    "home": {"records"},
    "plugin": {"site", "home", "words", "pictures", "findings", "records"},
    "cli": {"commands"},
    "__main__": {"cli"},
    "__init__": set(),
}
"""Each folder of builder/, and each file beside them, with the others it may import."""

FILES = sorted((ROOT / "builder").rglob("*.py"))


def room(module: str) -> str:
    """The folder below builder/ that a module lies in, or its own name beside them."""
    return module.split(".")[1] if "." in module else "__init__"


def name_of(file: Path) -> str:
    return ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imported(file: Path) -> Iterator[str]:
    """Every module of builder that a file imports, at the top, in a function or for types alone."""
    modules = {name_of(other) for other in FILES}
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "builder":
            names = [f"{node.module}.{alias.name}" for alias in node.names]
            yield from (name if name in modules else node.module for name in names)
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.split(".")[0] == "builder")


@pytest.mark.parametrize("file", FILES, ids=name_of)
def test_arrows_go_one_way(file: Path) -> None:
    own = room(name_of(file))
    wrong = {module for module in imported(file) if room(module) not in USES[own] | {own}}
    assert not wrong, f"{name_of(file)} may not import {sorted(wrong)}: see USES"


def test_no_files_go_round_in_a_circle() -> None:
    graph = {name_of(file): set(imported(file)) - {name_of(file)} for file in FILES}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(f"a circle of imports: {' → '.join(error.args[1])}")
