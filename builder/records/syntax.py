"""Every entry is valid TOML 1.0 (toml.io): tables in brackets, then `key = value`, one a line.

```toml
length_mm = 117.5        # not 117,5: a decimal point
nose_bridge = "high"     # not high: words stand in straight quotation marks
date = 2026-09-12        # not 12.9.2026: year, month, day
at_least = true          # not True: small letters
```

Only the first fault of a file can be named, since what follows it may mean anything.
"""

import re
import tomllib

from builder.records.problems import Finding, Rule, printable

RULE = Rule("syntax", "Valid TOML", __doc__)

_PLACE = re.compile(r"\(at (?:line (\d+), column (\d+)|end of document)\)")
_ENDLESS_NUMBER = re.compile(r"[0-9_]{4000}")
_LONGEST_LINE = 80

# The parser's time grows with the square of a dotted key's length: seconds for a key of thousands of parts.
_QUICK_LENGTH = 4_000
_DEEP_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*){30}""")

# What stands on the faulty line, most telling first: a pattern, what is wrong, what to write.
_MISTAKES = (
    (r"[“”„‘’«»]", "Curly quotation marks are not TOML.", 'Use straight ones: "…".'),
    (r"=\s*-?\d+,\d", "A decimal comma is not TOML.", "Write a point: 117.5."),
    (r"=\s*(?:True|TRUE|Yes|yes)\b", "Yes is written in small letters.", "Write true."),
    (r"=\s*(?:False|FALSE|No|no)\b", "No is written in small letters.", "Write false."),
    (r"=\s*\d{1,2}[./]\d{1,2}[./]\d{2,4}", "This is no date in TOML.", "Write year-month-day: 2026-09-12."),
    (
        r"=\s*[\d.]+\s*[A-Za-z%µ]+\s*(?:#.*)?$",
        "A number stands alone, without its unit.",
        "Write the number only; the key names the unit.",
    ),
    (r"=\s*[A-Za-z]", "Text needs quotation marks.", 'Put it in straight quotation marks: key = "text".'),
    (r"=\s*(?:#.*)?$", "The value is missing.", "Write a value after the equals sign, or delete the line."),
    (r"^\s*[A-Za-z0-9_-]+\s*:", "A colon is not TOML.", "Write key = value."),
)

# What the parser says, in words for people who do not write parsers.
_SENTENCES = (
    ("Cannot overwrite a value", "This key has been given before.", "Keep one of the two."),
    ("Cannot declare", "This table has been opened before.", "Put all of its keys under one header."),
    ("Duplicate inline table key", "This key has been given before.", "Keep one of the two."),
    ("Cannot mutate immutable", "This table is already complete.", "Put all of its keys in one place."),
    ("Expected '='", "A key needs an equals sign and a value.", "Write key = value."),
    ("Expected newline", "Something stands after the end of the value.", "Write one key = value a line."),
    ("Expected ']", "The brackets of this table header are not closed.", "Write [table], or [[table]] in a list."),
    ("Unclosed array", "This list is not closed.", "End it with a square bracket: ]."),
    ("Unclosed inline table", "This table is not closed.", "End it with a brace: }."),
    ("Unterminated string", "The quotation mark at the end is missing.", "Close the text with the same mark."),
    ("Unescaped '\\'", "A backslash begins a code that TOML does not know.", "Write \\\\ for a backslash."),
    ("Illegal character '\\n'", "The quotation mark at the end is missing.", "Close the text with the same mark."),
    ("Illegal character", "A character stands here that TOML does not allow.", "Delete it, or close the text before."),
    ("Invalid date", "There is no such date.", "Write year-month-day: 2026-09-12."),
)


def not_toml(text: str, error: tomllib.TOMLDecodeError) -> Finding:
    """Say in plain words why the TOML parser refused a text, and on which line."""
    lines = text.split("\n")
    message = str(error)
    place = _PLACE.search(message)
    number = int(place[1]) if place and place[1] else len(lines)
    line = lines[min(number, len(lines)) - 1].strip()
    problem, remedy = _explain(line, message)
    shown = printable(line[:_LONGEST_LINE]) + ("…" if len(line) > _LONGEST_LINE else "")
    return Finding((), f"{problem} The line reads: {shown}" if line else problem, remedy, line=number)


def _explain(line: str, message: str) -> tuple[str, str]:
    if message.startswith(("Invalid value", "Expected newline", "Expected '='")):
        for pattern, problem, remedy in _MISTAKES:
            if re.search(pattern, line):
                return problem, remedy
    for start, problem, remedy in _SENTENCES:
        if message.startswith(start):
            return problem, remedy
    return "This is not TOML.", "Write a table header [table], or key = value, or a comment that begins with #."


def too_deep() -> Finding:
    """Report lists, tables or dotted keys that are nested until the parser gives up."""
    return Finding(
        (), "Lists, tables or keys are nested too deeply.", "Nothing in an entry is nested more than three deep."
    )


def too_many_digits(text: str) -> Finding:
    """Report a number that is longer than Python reads."""
    number = _ENDLESS_NUMBER.search(text)
    line = text.count("\n", 0, number.start()) + 1 if number else 1
    return Finding((), "A number has thousands of digits.", "Write the number that was measured.", line=line)


def parse(text: str) -> dict[str, object] | Finding:
    """Read TOML, or say why that is impossible."""
    if len(text) > _QUICK_LENGTH and _DEEP_KEY.search(text):
        return too_deep()
    try:
        return tomllib.loads(text)
    except RecursionError:
        return too_deep()
    except tomllib.TOMLDecodeError as error:
        return not_toml(text, error)
    except ValueError:  # Python's limit on the digits of a number
        return too_many_digits(text)
