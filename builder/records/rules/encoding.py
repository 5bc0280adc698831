"""Entries are text in UTF-8, without a byte order mark.

Other encodings turn an ö or a µ into something else on the next computer. Every editor can save as UTF-8; some
write a byte order mark in front, which TOML does not allow and which `sealbook check --fix` takes away.
"""

from builder.records.problems import Finding
from builder.records.rules.base import Rule

RULE = Rule("encoding", "Text in UTF-8", __doc__)

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
