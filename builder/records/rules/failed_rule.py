"""A rule of the checker itself broke down on this file.

That is a fault of the checker, not of the entry. The other rules have run all the same. Please report it with
the file.
"""

from builder.records.problems import Finding, printable
from builder.records.rules.base import Rule

RULE = Rule("failed-rule", "The checker itself failed", __doc__)


def failed(rule: Rule, error: Exception) -> Finding:
    """Report a rule that raised an error."""
    reason = printable(f"{type(error).__name__}: {error}")
    return Finding((), f"The rule {rule.name} broke down: {reason}.", "Report this as a fault of the checker.")
