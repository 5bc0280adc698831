"""Pictures made by Pillow, as cameras and programs write them; the place in them is invented."""

from __future__ import annotations

import io
from typing import Any

from PIL import Image, ImageDraw, PngImagePlugin

PLACE = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><exif:GPSLatitude>12,34N</exif:GPSLatitude></x:xmpmeta>"
FORMS = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}
KINDS = tuple(FORMS)


def drawn(width: int = 64, height: int = 48) -> Image.Image:
    """A picture with something in each corner, so that turning it shows."""
    image = Image.new("RGB", (width, height), "#d8e8e8")
    pen = ImageDraw.Draw(image)
    pen.rectangle((2, 2, 12, 8), fill="#0e5a63")
    pen.line((0, height - 1, width - 1, 0), fill="#9a4516", width=3)
    return image


def exif(orientation: int = 1) -> bytes:
    """EXIF with a camera, a place and an orientation."""
    notes = Image.Exif()
    notes[0x010F], notes[0x0110] = "Example Works", "Pocket 3"
    notes[0x0112] = orientation
    notes.get_ifd(0x8825)[1] = "N"
    return notes.tobytes()


def written(kind: str, image: Image.Image | None = None, **more: Any) -> bytes:
    """The bytes of a picture of a kind; without `more` it has no notes at all."""
    file = io.BytesIO()
    (image or drawn()).save(file, FORMS[kind], **more)
    return file.getvalue()


def noted(kind: str, orientation: int = 1) -> bytes:
    """The same with everything that programs write beside a picture."""
    more: dict[str, Any] = {"exif": exif(orientation), "dpi": (72, 72)}
    if kind == "png":
        texts = PngImagePlugin.PngInfo()
        texts.add_text("Author", "somebody")
        texts.add_itxt("XML:com.adobe.xmp", PLACE.decode())
        more["pnginfo"] = texts
    else:
        more["xmp"] = PLACE
    if kind == "jpg":
        more["comment"] = "at home"
    return written(kind, **more)


def pixels(content: bytes) -> bytes:
    """Every pixel of a picture, as it is shown before any note turns it."""
    with Image.open(io.BytesIO(content)) as image:
        return image.convert("RGB").tobytes()
