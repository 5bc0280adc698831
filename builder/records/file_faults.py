"""What can be wrong with a file before its text is read: where it lies, what it is, how large, in which encoding."""

from builder.records.picture_faults import MAX_PICTURE_BYTES
from builder.records.problems import Finding, Rule

ENTRIES_FOLDER = Rule(
    "entries-folder",
    "The entries folder is there",
    """The entries stand in one folder with the folders `masks`, `parts` and `tests` in it.

Without that folder there is nothing to check, which is more often a mistyped `--entries` than an empty database.
""",
)


def no_folder() -> Finding:
    """Report an entries folder that is not there or no folder."""
    return Finding((), "There is no such folder.", "Name the folder that holds masks, parts and tests with --entries.")


UNEXPECTED_FILE = Rule(
    "unexpected-file",
    "Nothing else stands in the entries folder",
    """The entries folder holds entries and nothing else, so that no result is overlooked.

A mask is `masks/<mask>.toml`, a part is `parts/<part>.toml`, a test is `tests/<mask>/<date>-<wearer>-<n>.toml`, and
`removed.toml` lists what was taken out. Pictures of a mask or a part stand beside its file.
A file `README.md` may stand anywhere, and so may files whose name begins with a dot, unless they are git's own. A test
that lies in `tests/` itself, or one saved as `.toml.txt`, would not be counted, and that is why it is reported instead
of ignored.
""",
)

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


NO_LINKS = Rule(
    "no-links",
    "No symbolic links",
    """Symbolic links are refused. An entry is an ordinary file in its place.

A link could lead out of the folder, to a file of the machine that builds the site, and it means another thing on each
computer. Copy the file instead; where two names should hold one result, only one of them is right.
""",
)


def link() -> Finding:
    """Report a symbolic link."""
    return Finding((), "This is a symbolic link.", "Put the file itself here, or delete the link.")


READABLE = Rule(
    "readable",
    "Every file can be opened",
    """Every entry can be opened. A file without permission to read it is reported rather than skipped.""",
)


def unreadable(error: OSError) -> Finding:
    """Report a file or folder that the system does not hand over."""
    reason = (error.strerror or type(error).__name__).lower()
    return Finding((), f"It cannot be read: {reason}.", "Give read permission, or save it anew.")


FILE_SIZE = Rule(
    "file-size",
    "An entry is a small file",
    """An entry is at most 64 kB long; most are under 2 kB.

A longer file is a log or a picture that got the wrong name. Raw second-by-second counts belong where `source.link`
leads; the entry keeps one number for each stretch of the run. `removed.toml`, which is a list, may have 4 MB, and a
picture 500 kB.
""",
)

MAX_BYTES = 64_000
"""Ample for 20 exercises and 200 stretches of counts, small enough to read any number of files without harm."""

MAX_LIST_BYTES = 4_000_000
"""Room for the 20,000 lines that the list of what was taken out may hold."""


def too_large(limit: int = MAX_BYTES) -> Finding:
    """Report a file above the limit, in bytes."""
    if limit == MAX_LIST_BYTES:
        return Finding((), "The list is larger than 4 MB.", "Take lines out whose masks nobody links to any more.")
    if limit == MAX_PICTURE_BYTES:
        return Finding((), "The picture is larger than 500 kB.", "Save it smaller: 1,600 pixels a side are plenty.")
    return Finding((), "The file is larger than 64 kB.", "Keep the entry and link to the rest from source.link.")


ENCODING = Rule(
    "encoding",
    "Text in UTF-8",
    """Entries are text in UTF-8, without a byte order mark.

Other encodings turn an ö or a µ into something else on the next computer. Every editor can save as UTF-8; some
write a byte order mark in front, which TOML does not allow and which `sealbook check --fix` takes away.
""",
)

BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


def byte_order_mark() -> Finding:
    """Report the mark; the rest of the file can be read all the same."""
    return Finding(
        (),
        "The file begins with a byte order mark.",
        "Save it as UTF-8 without one, or run `sealbook check --fix`.",
    )


def not_utf8(raw: bytes, error: UnicodeDecodeError) -> Finding:
    """Report the first byte that is no UTF-8."""
    problem = (
        "The file is written in UTF-16."
        if raw.startswith(_UTF_16)
        else f"The file is not UTF-8 text: byte 0x{raw[error.start]:02x} cannot stand here."
    )
    return Finding((), problem, "Save it as UTF-8.", line=raw.count(b"\n", 0, error.start) + 1)


RULES = (ENTRIES_FOLDER, UNEXPECTED_FILE, NO_LINKS, READABLE, FILE_SIZE, ENCODING)
