"""Numbers and texts are within the limits that the format gives them.

Limits are wide: they catch a slipped decimal point, a face in centimetres, a percentage where a fraction was
meant, not unusual faces or masks. A fit factor is at least 1, which is no protection at all: less would mean
more particles inside the mask than outside, and then the ambient level changed during the run or the hoses were
swapped.
"""

from builder.records.problems import Finding, Key, quoted
from builder.records.rules.base import Rule

RULE = Rule("value-range", "Values within their limits", __doc__)

_SENTENCES = {
    "greater_than_equal": ("is below {ge}", "Write {ge} or more."),
    "greater_than": ("is not above {gt}", "Write a number above {gt}."),
    "less_than_equal": ("is above {le}", "Write {le} or less."),
    "less_than": ("is not below {lt}", "Write a number below {lt}."),
    "string_too_short": ("is shorter than {min_length}", "Write at least {min_length}, or leave the key out."),
    "string_too_long": ("is longer than {max_length}", "Write at most {max_length}."),
    "too_long": ("has more than {max_length} items", "Write at most {max_length}."),
}
ERROR_TYPES = frozenset(_SENTENCES)

# Advice beyond the limit itself, by the name of the key.
_ADVICE = {
    "fit_factor": "A fit factor is the concentration outside the mask over the one inside, so 1 means no protection.",
    "length_mm": "Face length is chin to nasal root in millimetres.",
    "width_mm": "Face width is across the cheekbones in millimetres.",
    "penetration_percent": "It is a percentage: 6, not 0.06.",
}


def out_of_range(error_type: str, key: Key, value: object, limits: dict[str, object]) -> Finding:
    """Report a value outside its limits; `limits` holds them under the names that the sentences use."""
    name = next((part for part in reversed(key) if isinstance(part, str)), "")
    shown = {limit: _limit(error_type, value) for limit, value in limits.items()}
    problem, remedy = _SENTENCES[error_type]
    text = f"{quoted(value)} {problem.format(**shown)}."
    return Finding(key, text[0].upper() + text[1:], f"{remedy.format(**shown)} {_ADVICE.get(name, '')}".strip())


def _limit(error_type: str, value: object) -> str:
    if error_type.startswith("string"):
        return f"{value} character{'s' if value != 1 else ''}"
    return f"{value:,.15g}".replace(",", " ") if isinstance(value, int | float) else str(value)
