"""Every rule that an entry must keep to: those of the reader and those on records, as the rules page lists them."""

from __future__ import annotations

from builder.records import file_faults, file_names, git_faults, key_faults, picture_faults, syntax, value_faults
from builder.records.problems import Rule
from builder.records.rules import RECORD_RULES
from builder.records.rules.base import FAILED_RULE

_READING = (
    *file_faults.RULES,
    *picture_faults.RULES,
    file_names.RULE,
    git_faults.RULE,
    syntax.RULE,
    *key_faults.RULES,
    *value_faults.RULES,
)

ALL_RULES: tuple[Rule, ...] = tuple(sorted((*_READING, *RECORD_RULES, FAILED_RULE), key=lambda rule: rule.name))
"""In alphabetical order."""
