"""The rules on what was read, a module each. A module's docstring is the paragraph on the site's rules page."""

from __future__ import annotations

import importlib
import pkgutil

from builder.records.rules.base import RecordRule

_NAMES = sorted(module.name for module in pkgutil.iter_modules(__path__) if module.name != "base")

RECORD_RULES: tuple[RecordRule, ...] = tuple(importlib.import_module(f"{__name__}.{name}").RULE for name in _NAMES)
"""One for each module here but `base`, named like its module with hyphens, in alphabetical order."""
