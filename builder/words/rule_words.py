"""The rules of the checker as the rules page tells them: in English what their modules say."""

from __future__ import annotations

from builder.records.problems import Rule
from builder.words.catalogue import RuleWording, language


def title(rule: Rule) -> str:
    """Say in a few words what a rule asks for."""
    return _wording(rule).title


def explanation(rule: Rule) -> str:
    """Say what a rule looks at and why, in Markdown."""
    return _wording(rule).explanation


def _wording(rule: Rule) -> RuleWording:
    return language().rules.get(rule.name) or RuleWording(rule.title, rule.explanation or "")
