"""Symbolic links are refused. An entry is an ordinary file in its place.

A link could lead out of the folder, to a file of the machine that builds the site, and it means another thing on each
computer. Copy the file instead; where two names should hold one result, only one of them is right.
"""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("no-links", "No symbolic links", __doc__)


def link() -> Finding:
    """Report a symbolic link."""
    return Finding((), "This is a symbolic link.", "Put the file itself here, or delete the link.")
