"""A picture is told by its content, whole or refused, and what stands beside it is found and taken out."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from builder.records.images.chunks import AFTER, EXIF, OTHERS, TEXT, XMP, BrokenPictureError, orientation_of
from builder.records.images.looking import MAX_SIDE, kind_by_content, look, other_kind
from tests.records.pictures_made import KINDS, PLACE, drawn, exif, noted, pixels, written

BESIDE = {"jpg": {EXIF, XMP, TEXT}, "png": {EXIF, TEXT}, "webp": {EXIF, XMP}}
WHOLE = {kind: written(kind) for kind in KINDS}


def png_chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


@pytest.mark.parametrize("kind", KINDS)
def test_a_plain_picture_has_nothing_beside_it_and_stays_as_it_is(kind: str) -> None:
    looked = look(WHOLE[kind])
    assert (looked.kind, looked.width, looked.height) == (kind, 64, 48)
    assert looked.parts.beside == ()
    assert looked.parts.picture == WHOLE[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_notes_are_found_and_taken_out_without_touching_a_pixel(kind: str) -> None:
    content = noted(kind)
    assert b"Pocket 3" in content
    assert PLACE in content
    parts = look(content).parts
    assert set(parts.beside) == BESIDE[kind]
    for trace in (b"Pocket", b"GPS", b"Exif", b"EXIF", b"eXIf", b"somebody", b"at home", b"XMP", b"adobe"):
        assert trace not in parts.picture
    assert pixels(parts.picture) == pixels(content)
    assert look(parts.picture).parts.beside == ()
    with Image.open(io.BytesIO(parts.picture)) as opened:
        assert not opened.getexif()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_orientation_that_a_camera_noted_is_read(kind: str, orientation: int) -> None:
    assert look(noted(kind, orientation)).parts.orientation == orientation


def test_an_orientation_that_makes_no_sense_is_upright() -> None:
    """Exif 2.32, tag 0x0112: 1 to 8, others are reserved."""
    for broken in (
        b"",
        b"II",
        b"Exif\0\0II*\0",
        b"MM\0*\xff\xff\xff\xff",
        exif().replace(b"\x12\x01\x03\0", b"\x12\x01\x03\1"),
    ):
        assert orientation_of(broken) == 1


@pytest.mark.parametrize("kind", KINDS)
def test_bytes_behind_the_end_are_taken_out(kind: str) -> None:
    """Phones put a film or a second picture there."""
    parts = look(WHOLE[kind] + noted("jpg")).parts
    assert parts.beside == (AFTER,)
    assert parts.picture == WHOLE[kind]


def test_colours_and_density_of_a_jpeg_stay_and_a_thumbnail_goes() -> None:
    profile = written("jpg", icc_profile=b"\0" * 200, dpi=(300, 300))
    assert look(profile).parts.beside == ()
    head = WHOLE["jpg"]
    thumbnail = b"JFIF\0\1\2\0\0\1\0\1\1\1" + b"\xff\0\0"
    with_thumbnail = head[:2] + b"\xff\xe0" + struct.pack(">H", len(thumbnail) + 2) + thumbnail + head[2:]
    assert look(with_thumbnail).parts.beside == (OTHERS,)
    assert look(with_thumbnail).parts.picture == head


def test_a_progressive_jpeg_and_one_with_restarts_are_whole() -> None:
    for more in ({"progressive": True}, {"restart_marker_blocks": 1}):
        content = written("jpg", drawn(300, 200), **more)
        assert look(content).parts.picture == content


def test_transparency_and_palettes_stay() -> None:
    for image in (drawn().convert("P"), drawn().convert("RGBA"), drawn().convert("L")):
        for kind in ("png", "webp"):
            content = written(kind, image)
            assert pixels(look(content).parts.picture) == pixels(content)


@pytest.mark.parametrize("kind", ["png", "webp"])
def test_an_animation_is_told(kind: str) -> None:
    more = {"save_all": True, "append_images": [drawn().rotate(180)]}
    assert look(written(kind, drawn(), **more)).parts.moving


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_cut_anywhere_is_refused(kind: str) -> None:
    content = WHOLE[kind]
    for end in range(12, len(content) - 1, max(1, len(content) // 60)):
        with pytest.raises(BrokenPictureError):
            look(content[:end])


def test_a_picture_that_promises_more_than_a_memory_holds_is_refused_before_it_is_unpacked() -> None:
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0))
    bomb = b"\x89PNG\r\n\x1a\n" + head + png_chunk(b"IDAT", zlib.compress(bytes(100_000))) + png_chunk(b"IEND", b"")
    with pytest.raises(BrokenPictureError, match=r"60000 × 60000 pixels large|damaged"):
        look(bomb)
    with pytest.raises(BrokenPictureError, match=f"^it is {MAX_SIDE + 1} × 2 pixels large$"):
        look(written("png", drawn(MAX_SIDE + 1, 2)))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (
            b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script/></svg>',
            "an SVG, which can hold scripts",
        ),
        (b"GIF89a", "a GIF"),
        (b"\0\0\0\x18ftypheic", "a HEIC"),
        (b"\0\0\0\x18ftypavif", "an AVIF"),
        (b"II*\0", "a TIFF"),
        (b"BM....", "a BMP"),
        (b"<!doctype html><script>", "no picture"),
        (b"", "empty"),
    ],
)
def test_what_is_no_picture_for_a_page_is_named(content: bytes, said: str) -> None:
    assert kind_by_content(content) is None
    assert other_kind(content) == said


@given(st.sampled_from(KINDS), st.data())
def test_damage_anywhere_gives_a_picture_or_a_sentence(kind: str, data: st.DataObject) -> None:
    content = bytearray(noted(kind))
    for at in data.draw(st.lists(st.integers(0, len(content) - 1), min_size=1, max_size=8)):
        content[at] = data.draw(st.integers(0, 255))
    if kind_by_content(bytes(content)) is None:
        return
    try:
        looked = look(bytes(content))
    except BrokenPictureError:
        return
    assert look(looked.parts.picture).parts.beside == ()
