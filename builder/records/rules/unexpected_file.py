"""The entries folder holds entries and nothing else, so that no result is overlooked.

A mask is `masks/<mask>.toml`, a part is `parts/<part>.toml`, a test is `tests/<mask>/<date>-<wearer>-<n>.toml`, and
`removed.toml` lists what was taken out.
A file `README.md` may stand anywhere, and so may files whose name begins with a dot, unless they are git's own. A test
that lies in `tests/` itself, or one saved as `.toml.txt`, would not be counted, and that is why it is reported instead
of ignored.
"""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("unexpected-file", "Nothing else stands in the entries folder", __doc__)

_EXPECTED = {
    "": "the folders masks, parts and tests, and removed.toml",
    "masks": "masks/<mask>.toml",
    "parts": "parts/<part>.toml",
    "tests": "tests/<mask>/<date>-<wearer>-<n>.toml",
}


def unexpected(folder: str, kind: str) -> Finding:
    """Report what is no entry, by the folder it stands in and what it is: a file, a folder, a special file."""
    return Finding(
        (),
        f"This {kind} is no entry, so nothing reads it.",
        f"Expected here: {_EXPECTED[folder.partition('/')[0]]}. Rename, move or delete it.",
    )
