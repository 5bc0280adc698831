"""The rules for entries, a module each. A module's docstring is the paragraph on the site's rules page."""

from __future__ import annotations

import importlib
import pkgutil

from builder.records.rules.base import Rule

_NAMES = sorted(module.name for module in pkgutil.iter_modules(__path__) if module.name != "base")

ALL_RULES: tuple[Rule, ...] = tuple(importlib.import_module(f"{__name__}.{name}").RULE for name in _NAMES)
"""Every rule in alphabetical order: one for each module here but `base`, named like its module with hyphens."""
