"""An entry is at most 64 kB long; most are under 2 kB.

A longer file is a log or a picture that got the wrong name. Raw second-by-second counts belong where `source.link`
leads; the entry keeps one number for each stretch of the run. `removed.toml`, which is a list, may have 4 MB.
"""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("file-size", "An entry is a small file", __doc__)

MAX_BYTES = 64_000
"""Ample for 20 exercises and 200 stretches of counts, small enough to read any number of files without harm."""


MAX_LIST_BYTES = 4_000_000
"""Room for the 20,000 lines that the list of what was taken out may hold."""


def too_large(limit: int = MAX_BYTES) -> Finding:
    """Report a file above the limit, in bytes."""
    if limit == MAX_LIST_BYTES:
        return Finding((), "The list is larger than 4 MB.", "Take lines out whose masks nobody links to any more.")
    return Finding((), "The file is larger than 64 kB.", "Keep the entry and link to the rest from source.link.")
