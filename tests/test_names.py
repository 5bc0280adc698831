"""One name, one thing: no class, type or file of the builder shares its name with another."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

BUILDER = Path(__file__).parents[1] / "builder"

SHARED_FILES: dict[str, str] = {
    "__init__.py": "what a folder is for",
}
"""File names that may stand in several folders, with the reason."""


def types_of(module: ast.Module) -> Iterator[str]:
    """Give the public classes and type aliases of a module, those within a condition too."""
    for node in ast.walk(module):
        inside = node.body + node.orelse if isinstance(node, ast.If) else []
        for statement in [*inside, *(module.body if node is module else [])]:
            if isinstance(statement, ast.ClassDef):
                yield statement.name
            elif isinstance(statement, ast.Assign):
                yield from (target.id for target in statement.targets if isinstance(target, ast.Name))
            elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
                yield statement.target.id


def is_type(name: str) -> bool:
    """Types are written in capitalised words; constants in capitals, the rest in small letters."""
    return name[:1].isupper() and not name.isupper()


def test_no_type_shares_its_name() -> None:
    places: dict[str, set[str]] = defaultdict(set)
    for path in sorted(BUILDER.rglob("*.py")):
        for name in filter(is_type, types_of(ast.parse(path.read_text("utf-8")))):
            places[name].add(str(path.relative_to(BUILDER)))
    shared = {name: sorted(paths) for name, paths in places.items() if len(paths) > 1}
    assert shared == {}, "rename all but one: a name is one thing in the whole builder"
    assert {"Slot", "Effect", "Slots", "FloatArray", "VerdictWord"} <= places.keys()


def test_no_file_shares_its_name() -> None:
    places: dict[str, list[str]] = defaultdict(list)
    for path in sorted(BUILDER.rglob("*")):
        if path.is_file() and "__pycache__" not in path.parts:
            places[path.name].append(str(path.relative_to(BUILDER)))
    shared = {name: paths for name, paths in places.items() if len(paths) > 1 and name not in SHARED_FILES}
    assert shared == {}, "name each file for what it alone holds"
    assert all(len(places[name]) > 1 for name in SHARED_FILES), "a name that nothing shares needs no reason here"


def test_cells_are_those_of_the_panel() -> None:
    """The tests of one wearer in one configuration are an arm; a cell is one of the panel's."""
    of_faces = {"panel.py", "kernel.py", "population.py", "model.py", "design.py"}
    found = [
        f"{path.relative_to(BUILDER)}:{number}: {line.strip()}"
        for path in sorted((BUILDER / "fit").rglob("*.py"))
        if path.name not in of_faces
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if re.search(r"(?<![a-z])cells?(?![a-z])", line.casefold()) and "panel" not in line
    ]
    assert found == []
