"""What can be wrong with the values of one file: words, kinds, limits and forms."""

from collections.abc import Sequence

from builder.records.file_names import id_from
from builder.records.nearest_words import nearest, plain
from builder.records.problems import Finding, Key, Rule, quoted
from builder.records.shared_messages import SHARED, shared
from builder.records.value_types import ID_PATTERN, PICTURE_PATTERN, TEST_ID_PATTERN, TEXT_PATTERN, URL_PATTERN
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
    "float_type": (shared("number"), "without quotation marks and with a decimal point, such as 117.5"),
    "finite_number": (shared("number"), "such as 117.5; leave the key out where it is not known"),
    "int_type": (shared("integer"), "without quotation marks and without a decimal point, such as 4"),
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
    if isinstance(value, str):
        problem = shared("wrong_type", expected=expected, value=quoted(value))
    else:
        problem = f"Expected {expected}, found {quoted(value)}."
    return Finding(key, problem, f"Write {expected} {how}.")


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
    "greater_than_equal": (SHARED["below"], SHARED["below_remedy"]),
    "greater_than": (SHARED["not_above"], SHARED["not_above_remedy"]),
    "less_than_equal": (SHARED["above"], SHARED["above_remedy"]),
    "less_than": ("{value} is not below {limit}.", "Write a number below {limit}."),
    "string_too_short": (SHARED["too_short"], "Write at least {limit}, or leave the key out."),
    "string_too_long": (SHARED["too_long"], SHARED["most_remedy"]),
    "too_long": ("{value} has more than {limit} items.", SHARED["most_remedy"]),
}
RANGE_ERRORS = frozenset(_SENTENCES)
_LIMITS = {
    "greater_than_equal": "ge",
    "greater_than": "gt",
    "less_than_equal": "le",
    "less_than": "lt",
    "string_too_short": "min_length",
    "string_too_long": "max_length",
    "too_long": "max_length",
}

# Advice beyond the limit itself, by the name of the key.
_ADVICE = {
    "fit_factor": "A fit factor is the concentration outside the mask over the one inside, so 1 means no protection.",
    "length_mm": "Face length is chin to nasal root in millimetres.",
    "width_mm": "Face width is across the cheekbones in millimetres.",
    "penetration_percent": "It is a percentage: 6, not 0.06.",
}


def out_of_range(error_type: str, key: Key, value: object, limits: dict[str, object]) -> Finding:
    """Report a value outside its limits; `limits` holds the limit under pydantic's name for it."""
    limit = _limit(error_type, limits[_LIMITS[error_type]])
    problem, remedy = (sentence.format(value=quoted(value), limit=limit) for sentence in _SENTENCES[error_type])
    return Finding(key, problem[0].upper() + problem[1:], f"{remedy} {_ADVICE.get(_name(key), '')}".strip())


def _limit(error_type: str, value: object) -> str:
    if error_type.startswith("string"):
        return "1 character" if value == 1 else shared("characters", n=value)
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
        return Finding(key, shared("no_id", value=quoted(value)), _id_remedy(value))
    if pattern == TEST_ID_PATTERN:
        return Finding(
            key,
            f"{quoted(value)} is no id of a test: <mask>/<date>-<wearer>-<n>.",
            "Write the path of its file below tests/, without .toml.",
        )
    if pattern == URL_PATTERN:
        return Finding(key, shared("no_link", value=quoted(value)), shared("no_link_remedy"))
    if pattern == PICTURE_PATTERN:
        return Finding(
            key,
            f"{quoted(value)} is no name of a picture.",
            "Name a file beside this one: small letters, digits, single hyphens, then .jpg, .png or .webp.",
        )
    if pattern == TEXT_PATTERN:
        return Finding(key, shared("hidden", value=quoted(value)), shared("hidden_remedy"))
    return Finding(key, f"{quoted(value)} has the wrong form.", "See the description of this key in the format.")


def _id_remedy(value: object) -> str:
    suggestion = id_from(str(value))
    return f'Write "{suggestion}".' if len(suggestion) > 1 else shared("no_id_remedy")


RULES = (UNKNOWN_WORD, VALUE_TYPE, VALUE_RANGE, TEXT_FORM)
