"""Looks at a picture: its kind by its first bytes, what stands beside it, and whether all of it can be shown."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache

from builder.records.images.chunks import BrokenPictureError, Parts
from builder.records.images.jpeg_segments import START as JPEG
from builder.records.images.jpeg_segments import jpeg_parts
from builder.records.images.png_chunks import START as PNG
from builder.records.images.png_chunks import png_parts
from builder.records.images.webp_chunks import is_webp, webp_parts

MAX_SIDE = 2_400
"""Pixels: enough for a page on any screen, and decoded no more than 23 MB."""

_OTHERS: tuple[tuple[bytes, int, str], ...] = (
    (b"GIF8", 0, "a GIF"),
    (b"BM", 0, "a BMP"),
    (b"II*\0", 0, "a TIFF"),
    (b"MM\0*", 0, "a TIFF"),
    (b"ftypavif", 4, "an AVIF"),
    (b"ftyphe", 4, "a HEIC"),
    (b"ftypmif1", 4, "a HEIC"),
)


@dataclass(frozen=True)
class Looked:
    """A whole picture: its kind, its size in pixels, and its parts."""

    kind: str
    width: int
    height: int
    parts: Parts


def kind_by_content(content: bytes) -> str | None:
    """Give "jpg", "png" or "webp", whatever the file is called; None for anything else."""
    if content.startswith(JPEG):
        return "jpg"
    if content.startswith(PNG):
        return "png"
    return "webp" if is_webp(content) else None


def other_kind(content: bytes) -> str:
    """Name what else it is, as far as its first bytes tell."""
    if any(mark in content[:1000].lower() for mark in (b"<svg", b"<!doctype svg")):
        return "an SVG, which can hold scripts"
    for mark, at, name in _OTHERS:
        if content[at:].startswith(mark):
            return name
    return "no picture" if content else "empty"


# While a site is served, the same pictures are looked at with every save.
@lru_cache(maxsize=512)
def look(content: bytes) -> Looked:
    """Look at a JPEG, PNG or WebP. Raises BrokenPictureError for one that is not whole, or larger than a page needs."""
    kind = kind_by_content(content)
    if kind is None:
        raise BrokenPictureError("it is no picture")
    parts = {"jpg": jpeg_parts, "png": png_parts, "webp": webp_parts}[kind](content)
    width, height = _size_of_whole(parts.picture, {"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}[kind])
    return Looked(kind, width, height, parts)


def _size_of_whole(picture: bytes, form: str) -> tuple[int, int]:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(picture), formats=[form]) as opened:
            width, height = opened.size
            # Before a pixel of it is unpacked: a few bytes can promise a picture that fills the memory.
            if max(width, height) <= MAX_SIDE:
                opened.load()
    except Exception as error:  # Pillow raises what it meets
        raise BrokenPictureError("its bytes are damaged") from error
    if max(width, height) > MAX_SIDE:
        raise BrokenPictureError(f"it is {width} × {height} pixels large")
    return width, height
