"""WebP, chunk by chunk. Source: WebP Image Format, RFC 9649 (2024), section 2."""

from __future__ import annotations

from builder.records.images.chunks import (
    AFTER,
    EXIF,
    OTHERS,
    UPRIGHT,
    XMP,
    BrokenPictureError,
    Parts,
    named,
    orientation_of,
)

_PICTURE = (b"VP8 ", b"VP8L", b"ALPH", b"ICCP")
_BESIDE = {b"EXIF": EXIF, b"XMP ": XMP}
_MOVES = (b"ANIM", b"ANMF")
_SAYS_EXIF_AND_XMP = 0x08 | 0x04


def is_webp(content: bytes) -> bool:
    """Whether bytes begin as WebP does."""
    return content[:4] == b"RIFF" and content[8:12] == b"WEBP"


def webp_parts(content: bytes) -> Parts:
    """Tell a WebP's bytes apart. Raises BrokenPictureError."""
    end = 8 + int.from_bytes(content[4:8], "little")
    if end > len(content):
        raise BrokenPictureError("it ends in the middle")
    kept, beside, orientation, moving, at = [], [], UPRIGHT, False, 12
    while at < end:
        kind, length = content[at : at + 4], int.from_bytes(content[at + 4 : at + 8], "little")
        after = at + 8 + length + length % 2
        if after > end:
            raise BrokenPictureError("its bytes are damaged")
        body = content[at + 8 : at + 8 + length]
        if kind == b"VP8X":
            # Ten bytes, the first of them flags: it must not promise what is taken out.
            kept.append(content[at : at + 8] + bytes([body[0] & ~_SAYS_EXIF_AND_XMP]) + content[at + 9 : after])
        elif kind in _PICTURE or kind in _MOVES:
            kept.append(content[at:after])
        else:
            beside.append(_BESIDE.get(kind, OTHERS))
            orientation = orientation_of(body) if kind == b"EXIF" else orientation
        moving = moving or kind in _MOVES
        at = after
    if end < len(content):
        beside.append(AFTER)
    chunks = b"".join(kept)
    return Parts(
        b"RIFF" + (len(chunks) + 4).to_bytes(4, "little") + b"WEBP" + chunks, named(beside), orientation, moving
    )
