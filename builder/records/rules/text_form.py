"""Ids, links and texts have a form that works as file name, web address and page text.

An id is small letters and digits with single hyphens between: `wide-foam-strip`, not `Wide_Foam_Strip`. A link
begins with `http://` or `https://`. Text holds no control characters, and no marks that turn the reading
direction around, since those can make a page show something else than the file says.
"""

from builder.records.models import ID_PATTERN, TEST_ID_PATTERN, TEXT_PATTERN, URL_PATTERN
from builder.records.problems import Finding, Key, quoted
from builder.records.rules.base import Rule
from builder.records.rules.unknown_word import plain

RULE = Rule("text-form", "Ids, links and texts are well formed", __doc__)


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
    words = "".join(c if c.isascii() and c.isalnum() else " " for c in str(value))
    suggestion = plain(words)
    return f'Write "{suggestion}".' if len(suggestion) > 1 else 'Write an id such as "blue-heron".'
