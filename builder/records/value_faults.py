"""What can be wrong with the values of one file: words, kinds, limits and forms."""

from collections.abc import Sequence

from builder.fit.counted import counted
from builder.records.file_names import id_from
from builder.records.nearest_words import nearest, plain
from builder.records.problems import Finding, Key, Rule, quoted
from builder.records.value_types import ID_PATTERN, TEST_ID_PATTERN, TEXT_PATTERN, URL_PATTERN
from builder.records.vocabulary import Word

UNKNOWN_WORD = Rule(
    "unknown-word",
    "Words from the lists",
    """Where a value comes from a closed list of words, it is one of them, spelled as listed.

Words are in small letters with hyphens. The lists and what each word means are on the methods page; the message names
the nearest word, or all of them.
""",
)


def unknown_word(key: Key, value: object, known: Sequence[Word]) -> Finding:
    """Report a word that is not on the list of its key."""
    if near := nearest_word(value, known):
        remedy = f'Did you mean "{near}"? {near.label}: {near.meaning}'
    else:
        remedy = "Write one of: " + "; ".join(f'"{word}" ({word.meaning.rstrip(".")})' for word in known) + "."
    return Finding(key, f"{quoted(value)} is not one of the words for {_name(key)}.", remedy)


def nearest_word(value: object, known: Sequence[Word]) -> Word | None:
    """Find the word that was probably meant."""
    if not isinstance(value, str):
        return None
    by_name = {name: word for word in known for name in (plain(word.label), str(word))}
    near = nearest(plain(value), by_name)
    return by_name[near[0]] if near else None


def _name(key: Key) -> str:
    """Name the key that a value belongs to; for an item of a list that of the list."""
    return next((part for part in reversed(key) if isinstance(part, str)), "")


VALUE_TYPE = Rule(
    "value-type",
    "Values of the right kind",
    """Each value is of its kind: numbers without quotation marks, words with them, dates as dates.

Kinds are not guessed. `"117"` is text to TOML, and whoever reads it as a number may one day read `"117,5"` as 1175.
""",
)

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


VALUE_RANGE = Rule(
    "value-range",
    "Values within their limits",
    """Numbers and texts are within the limits that the format gives them.

Limits are wide: they catch a slipped decimal point, a face in centimetres, a percentage where a fraction was
meant, not unusual faces or masks. A fit factor is at least 1, which is no protection at all: less would mean
more particles inside the mask than outside, and then the ambient level changed during the run or the hoses were
swapped.
""",
)

_SENTENCES = {
    "greater_than_equal": ("is below {ge}", "Write {ge} or more."),
    "greater_than": ("is not above {gt}", "Write a number above {gt}."),
    "less_than_equal": ("is above {le}", "Write {le} or less."),
    "less_than": ("is not below {lt}", "Write a number below {lt}."),
    "string_too_short": ("is shorter than {min_length}", "Write at least {min_length}, or leave the key out."),
    "string_too_long": ("is longer than {max_length}", "Write at most {max_length}."),
    "too_long": ("has more than {max_length} items", "Write at most {max_length}."),
}
RANGE_ERRORS = frozenset(_SENTENCES)

# Advice beyond the limit itself, by the name of the key.
_ADVICE = {
    "fit_factor": "A fit factor is the concentration outside the mask over the one inside, so 1 means no protection.",
    "length_mm": "Face length is chin to nasal root in millimetres.",
    "width_mm": "Face width is across the cheekbones in millimetres.",
    "penetration_percent": "It is a percentage: 6, not 0.06.",
}


def out_of_range(error_type: str, key: Key, value: object, limits: dict[str, object]) -> Finding:
    """Report a value outside its limits; `limits` holds them under the names that the sentences use."""
    shown = {limit: _limit(error_type, value) for limit, value in limits.items()}
    problem, remedy = _SENTENCES[error_type]
    text = f"{quoted(value)} {problem.format(**shown)}."
    return Finding(key, text[0].upper() + text[1:], f"{remedy.format(**shown)} {_ADVICE.get(_name(key), '')}".strip())


def _limit(error_type: str, value: object) -> str:
    if error_type.startswith("string"):
        return counted(int(str(value)), "character")
    return f"{value:,.15g}".replace(",", " ") if isinstance(value, int | float) else str(value)


TEXT_FORM = Rule(
    "text-form",
    "Ids, links and texts are well formed",
    """Ids, links and texts have a form that works as file name, web address and page text.

An id is small letters and digits with single hyphens between: `wide-foam-strip`, not `Wide_Foam_Strip`. A link
begins with `http://` or `https://`. Text holds no control characters, and no marks that turn the reading
direction around, since those can make a page show something else than the file says.
""",
)


def malformed(key: Key, value: object, pattern: str) -> Finding:
    """Report a text that does not match the pattern of its key."""
    if pattern == ID_PATTERN:
        return Finding(
            key, f"{quoted(value)} is no id: small letters and digits, single hyphens between.", _id_remedy(value)
        )
    if pattern == TEST_ID_PATTERN:
        return Finding(
            key,
            f"{quoted(value)} is no id of a test: <mask>/<date>-<wearer>-<n>.",
            "Write the path of its file below tests/, without .toml.",
        )
    if pattern == URL_PATTERN:
        return Finding(key, f"{quoted(value)} is no web address.", "Write an address that begins with https://.")
    if pattern == TEXT_PATTERN:
        return Finding(
            key,
            f"{quoted(value)} holds a control character or a mark that turns the reading direction around.",
            "Type the text anew without it.",
        )
    return Finding(key, f"{quoted(value)} has the wrong form.", "See the description of this key in the format.")


def _id_remedy(value: object) -> str:
    suggestion = id_from(str(value))
    return f'Write "{suggestion}".' if len(suggestion) > 1 else 'Write an id such as "blue-heron".'


RULES = (UNKNOWN_WORD, VALUE_TYPE, VALUE_RANGE, TEXT_FORM)
