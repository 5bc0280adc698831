"""What reading a picture's bytes gives, whatever its kind; and the orientation that a camera notes in EXIF."""

from __future__ import annotations

from dataclasses import dataclass

UPRIGHT = 1
_ORIENTATION = 0x0112
_EXIF = b"Exif\0\0"


class BrokenPictureError(Exception):
    """The bytes are no whole picture; says in a plain sentence why."""


@dataclass(frozen=True)
class Parts:
    """A picture's bytes, told apart.

    `picture` is the picture without anything beside it, `beside` what else was there, in words, `orientation` how it
    has to be turned to be seen (EXIF: 1 is upright), `moving` whether it is an animation.
    """

    picture: bytes
    beside: tuple[str, ...]
    orientation: int = UPRIGHT
    moving: bool = False


EXIF = "EXIF (camera, day, often the place)"
XMP = "XMP (programs and people)"
OTHERS = "notes of programs"
AFTER = "bytes after its end"
TEXT = "texts"


def named(found: list[str]) -> tuple[str, ...]:
    """Name each kind once, in the order found."""
    return tuple(dict.fromkeys(found))


def orientation_of(exif: bytes) -> int:
    """Read the orientation from EXIF: its first directory, a TIFF one. 1 where none is noted that means anything.

    Source: TIFF 6.0, section 2; Exif 2.32 (CIPA DC-008), 4.6.4 A, tag 0x0112.
    """
    tiff = exif.removeprefix(_EXIF)
    order = {b"II": "little", b"MM": "big"}.get(tiff[:2])
    if order is None:
        return UPRIGHT
    endian = "little" if order == "little" else "big"

    def number(at: int, size: int) -> int:
        return int.from_bytes(tiff[at : at + size], endian)  # type: ignore[arg-type]

    start = number(4, 4)
    for entry in range(min(number(start, 2), 200)):
        at = start + 2 + 12 * entry
        if number(at, 2) == _ORIENTATION:
            value = number(at + 8, 2)
            return value if 1 <= value <= 8 else UPRIGHT
    return UPRIGHT
