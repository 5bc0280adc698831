"""Every entry can be opened. A file without permission to read it is reported rather than skipped."""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("readable", "Every file can be opened", __doc__)


def unreadable(error: OSError) -> Finding:
    """Report a file or folder that the system does not hand over."""
    reason = (error.strerror or type(error).__name__).lower()
    return Finding((), f"It cannot be read: {reason}.", "Give read permission, or save it anew.")
