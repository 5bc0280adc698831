"""Every rule is on the rules page, with a title and a paragraph."""

from __future__ import annotations

import importlib
import pkgutil

import pytest

from builder import records
from builder.records.all_rules import ALL_RULES
from builder.records.problems import Rule


def test_no_rule_is_forgotten() -> None:
    modules = [importlib.import_module(m.name) for m in pkgutil.walk_packages(records.__path__, "builder.records.")]
    made = {id(value): value.name for module in modules for value in vars(module).values() if isinstance(value, Rule)}
    assert [rule.name for rule in ALL_RULES] == sorted(made.values())
    assert len(set(made.values())) == len(ALL_RULES)


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.name)
def test_each_rule_has_a_title_and_a_paragraph(rule: Rule) -> None:
    assert rule.explanation
    assert len(rule.explanation.split()) > 15
    assert rule.title[0].isupper() and not rule.title.endswith(".")
