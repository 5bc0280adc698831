"""The entries stand in one folder with the folders `masks`, `parts` and `tests` in it.

Without that folder there is nothing to check, which is more often a mistyped `--entries` than an empty database.
"""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("entries-folder", "The entries folder is there", __doc__)


def missing() -> Finding:
    """Report an entries folder that is not there or no folder."""
    return Finding((), "There is no such folder.", "Name the folder that holds masks, parts and tests with --entries.")
