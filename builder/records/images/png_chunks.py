"""PNG, chunk by chunk. Source: Portable Network Graphics (PNG) Specification, third edition, W3C, 2025, chapter 11."""

from __future__ import annotations

import zlib

from builder.records.images.chunks import (
    AFTER,
    EXIF,
    OTHERS,
    TEXT,
    UPRIGHT,
    BrokenPictureError,
    Parts,
    named,
    orientation_of,
)

START = b"\x89PNG\r\n\x1a\n"
_PICTURE = (b"IHDR", b"PLTE", b"IDAT", b"IEND")
_LOOKS = (b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"cICP", b"sBIT", b"bKGD", b"pHYs")
"""What decides how it looks."""
_TEXTS = (b"tEXt", b"zTXt", b"iTXt", b"tIME")
_MOVES = b"acTL"


def png_parts(content: bytes) -> Parts:
    """Tell a PNG's bytes apart. Raises BrokenPictureError."""
    kept, beside, orientation, moving, at = [START], [], UPRIGHT, False, len(START)
    kind = b""
    while kind != b"IEND":
        length, kind = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8]
        end = at + 12 + length
        if end > len(content):
            raise BrokenPictureError("it ends in the middle")
        body = content[at + 8 : end - 4]
        if zlib.crc32(kind + body) != int.from_bytes(content[end - 4 : end], "big"):
            raise BrokenPictureError("its bytes are damaged")
        if kind in _PICTURE or kind in _LOOKS:
            kept.append(content[at:end])
        elif kind == b"eXIf":
            beside.append(EXIF)
            orientation = orientation_of(body)
        else:
            beside.append(TEXT if kind in _TEXTS else OTHERS)
        moving = moving or kind == _MOVES
        at = end
    if at < len(content):
        beside.append(AFTER)
    return Parts(b"".join(kept), named(beside), orientation, moving)
