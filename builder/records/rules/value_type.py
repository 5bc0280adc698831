"""Each value is of its kind: numbers without quotation marks, words with them, dates as dates.

Kinds are not guessed. `"117"` is text to TOML, and whoever reads it as a number may one day read `"117,5"` as 1175.
"""

from builder.records.problems import Finding, Key, quoted
from builder.records.rules.base import Rule

RULE = Rule("value-type", "Values of the right kind", __doc__)

# pydantic's error type: what belongs there, and an example of how to write it.
_EXPECTED = {
    "string_type": ("text", 'in straight quotation marks, such as "text"'),
    "string_unicode": ("text", 'in straight quotation marks, such as "text"'),
    "float_type": ("a number", "without quotation marks and with a decimal point, such as 117.5"),
    "finite_number": ("a number", "such as 117.5; leave the key out where it is not known"),
    "int_type": ("a whole number", "without quotation marks and without a decimal point, such as 4"),
    "bool_type": ("true or false", "in small letters, without quotation marks"),
    "date_type": ("a date", "as year-month-day without quotation marks or time, such as 2026-09-12"),
    "model_type": ("a table", "as [table] with its keys below"),
    "tuple_type": ("a list", 'in square brackets, such as ["one", "two"]'),
}


def wrong_type(error_type: str, key: Key, value: object) -> Finding:
    """Report a value of another kind than its key asks for."""
    if error_type not in _EXPECTED:
        return Finding(key, f"{quoted(value)} cannot stand here.", "See the description of this key in the format.")
    expected, how = _EXPECTED[error_type]
    if error_type == "tuple_type" and isinstance(value, dict):
        how = "of tables, each under its own [[header]] in double brackets"
    return Finding(key, f"Expected {expected}, found {_kind(value)}.", f"Write {expected} {how}.")


def _kind(value: object) -> str:
    if isinstance(value, str):
        return f"text: {quoted(value)}"
    return quoted(value)
