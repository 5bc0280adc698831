"""An entry is at most 64 kB long; most are under 2 kB.

A longer file is a log or a picture that got the wrong name. Raw second-by-second counts belong where `source.link`
leads; the entry keeps one number for each stretch of the run.
"""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("file-size", "An entry is a small file", __doc__)

MAX_BYTES = 64_000
"""Ample for 20 exercises and 200 stretches of counts, small enough to read any number of files without harm."""


def too_large() -> Finding:
    """Report a file above the limit."""
    return Finding((), "The file is larger than 64 kB.", "Keep the entry and link to the rest from source.link.")
