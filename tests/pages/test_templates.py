"""Templates call functions by module and name; nothing else would see a name that is not there."""

from __future__ import annotations

from pathlib import Path

from jinja2 import nodes

from builder.findings.dataset import Dataset
from builder.site.published import NAMESPACES, Renderer
from tests.conftest import ROOT

TEMPLATES = sorted((ROOT / "builder" / "site" / "templates").glob("*.html"))


def called(template: Path, demo: Dataset) -> set[tuple[str, str]]:
    """Every module and name that a template reads from a module."""
    tree = Renderer(demo).environment.parse(template.read_text("utf-8"))
    return {
        (node.node.name, node.attr)
        for node in tree.find_all(nodes.Getattr)
        if isinstance(node.node, nodes.Name) and node.node.name in NAMESPACES
    }


def test_each_name_is_there(demo: Dataset) -> None:
    missing = [
        f"{template.name}: {module}.{name}"
        for template in TEMPLATES
        for module, name in sorted(called(template, demo))
        if not hasattr(NAMESPACES[module], name)
    ]
    assert missing == []


def test_each_module_is_used(demo: Dataset) -> None:
    used = {module for template in TEMPLATES for module, _ in called(template, demo)}
    assert used == set(NAMESPACES)
