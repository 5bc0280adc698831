"""Keys that come together are both there; of keys that say the same thing only one is.

Face length and face width come together, or only the panel cell is given. A stretch of counts has particles or a
concentration. A strip has `width_mm` and `thickness_mm`, a round wire has `diameter_mm`. A line of `removed.toml`
names a test or a mask.
"""

from builder.records.problems import Finding, Key
from builder.records.rules.base import Rule

RULE = Rule("belong-together", "Keys that belong together", __doc__)

_REMEDIES = {
    "face": "Give length_mm and width_mm, or cell alone, or none of them.",
    "count": "Keep one: particles where the counter gives a number, else concentration.",
    "section": "Strip: width_mm and thickness_mm, no diameter_mm. Round: diameter_mm alone.",
    "removal": "Keep one: test for a single test, mask for a mask with all its tests.",
}
ERROR_TYPES = frozenset(_REMEDIES)


def incomplete(error_type: str, key: Key, reason: str) -> Finding:
    """Report a table whose keys contradict each other; `reason` is the model's own sentence."""
    return Finding(key, f"{reason[0].upper()}{reason[1:]}.", _REMEDIES[error_type])
