"""JPEG, segment by segment. Source: ITU-T T.81 (1992), annex B; JFIF 1.02; what is kept decides how it looks."""

from __future__ import annotations

from builder.records.images.chunks import (
    AFTER,
    EXIF,
    OTHERS,
    TEXT,
    UPRIGHT,
    XMP,
    BrokenPictureError,
    Parts,
    named,
    orientation_of,
)

START = b"\xff\xd8"
_END, _SCAN, _COMMENT = 0xD9, 0xDA, 0xFE
_APPLICATION = range(0xE0, 0xF0)
_WITHOUT_LENGTH = {0x01, *range(0xD0, 0xD8)}
_RESTARTS = {0x00, *range(0xD0, 0xD8)}
_KEPT = {0xE0: b"JFIF\0", 0xE2: b"ICC_PROFILE\0", 0xEE: b"Adobe"}
"""Pixel density, colours, and how colours were turned into brightness: a picture would look otherwise without."""
_JFIF_WITHOUT_THUMBNAIL = 16


def jpeg_parts(content: bytes) -> Parts:
    """Tell a JPEG's bytes apart. Raises BrokenPictureError."""
    kept, beside, orientation, at = [START], [], UPRIGHT, len(START)
    while True:
        marker, start = _marker(content, at)
        if marker == _END:
            kept.append(content[at:start])
            break
        end = start if marker in _WITHOUT_LENGTH else start + _length(content, start)
        body = content[start + 2 : end]
        if marker == _SCAN:
            end = _end_of_scan(content, end)
        if why := _beside(marker, body, end - start):
            beside.append(why)
            if why == EXIF:
                orientation = orientation_of(body)
        else:
            kept.append(content[at:end])
        at = end
    if start < len(content):
        beside.append(AFTER)
    return Parts(b"".join(kept), named(beside), orientation)


def _marker(content: bytes, at: int) -> tuple[int, int]:
    """Give the marker at a place and where it ends. Before one there may be any number of bytes 0xFF."""
    if content[at : at + 1] != b"\xff":
        raise BrokenPictureError(_cut(content, at))
    while content[at : at + 1] == b"\xff":
        at += 1
    if at >= len(content):
        raise BrokenPictureError(_cut(content, at))
    return content[at], at + 1


def _length(content: bytes, at: int) -> int:
    length = int.from_bytes(content[at : at + 2], "big")
    if length < 2 or at + length > len(content):
        raise BrokenPictureError(_cut(content, at + max(length, 2)))
    return length


def _end_of_scan(content: bytes, at: int) -> int:
    """Find the first marker that ends a scan: within one, 0xFF is followed by 0 or by a restart."""
    while (at := content.find(b"\xff", at)) >= 0 and at + 1 < len(content):
        if content[at + 1] not in _RESTARTS and content[at + 1] != 0xFF:
            return at
        at += 1 if content[at + 1] == 0xFF else 2
    raise BrokenPictureError(_cut(content, len(content)))


def _cut(content: bytes, at: int) -> str:
    return "it ends in the middle" if at >= len(content) else "its bytes are damaged"


def _beside(marker: int, body: bytes, length: int) -> str:
    """Say what a segment is, if it is no part of the picture."""
    if marker == _COMMENT:
        return TEXT
    if marker not in _APPLICATION:
        return ""
    if marker in _KEPT and body.startswith(_KEPT[marker]):
        return OTHERS if marker == 0xE0 and length != _JFIF_WITHOUT_THUMBNAIL else ""
    if marker == 0xE1:
        return EXIF if body.startswith(b"Exif\0") else XMP
    return OTHERS
