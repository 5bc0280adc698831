"""Pictures beside the entries: which files they are, and what a look at them finds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.records import picture_faults as faults
from builder.records.images.chunks import UPRIGHT, BrokenPictureError
from builder.records.images.looking import kind_by_content, look, other_kind
from builder.records.problems import Finding, Found

_FOLDERS = ("masks", "parts")
_SUFFIXES = frozenset(
    f".{suffix}"
    for suffix in ("jpg", "jpeg", "png", "webp", "svg", "gif", "heic", "heif", "avif", "tif", "tiff", "bmp")
)
"""What pictures are called. Those that cannot be shown are reported as pictures, with what to do."""


@dataclass(frozen=True)
class PictureFile:
    """A picture that can be shown. `path` is relative to the entries folder; sizes in pixels."""

    path: str
    width: int
    height: int
    content: bytes


def is_picture(path: str) -> bool:
    """Whether the file at a path should be a picture: it stands beside masks or parts and is called like one."""
    folder, _, name = path.rpartition("/")
    stem, dot, suffix = name.rpartition(".")
    return folder in _FOLDERS and bool(stem) and f"{dot}{suffix}".lower() in _SUFFIXES


def shown_pictures(contents: Mapping[str, bytes | Found]) -> dict[str, PictureFile]:
    """Give the pictures that can be shown, by path, of those that could be read."""
    shown = {}
    for path, content in contents.items():
        if isinstance(content, bytes) and not list(_findings(path, content)):
            looked = look(content)
            shown[path] = PictureFile(path, looked.width, looked.height, content)
    return shown


def picture_findings(path: str, content: bytes) -> list[Found]:
    """Say what is wrong with a picture, all at once."""
    return [
        Found(faults.PICTURE_METADATA if notes else faults.PICTURE_FILE, path, finding)
        for notes, finding in _findings(path, content)
    ]


def without_notes(path: str, content: bytes) -> bytes | None:
    """Give a picture without anything beside it; None where there is nothing, or taking it out would do harm."""
    try:
        looked = look(content)
    except BrokenPictureError:
        return None
    if not looked.parts.beside or looked.parts.orientation != UPRIGHT or looked.parts.moving:
        return None
    return looked.parts.picture


def _findings(path: str, content: bytes) -> Iterator[tuple[bool, Finding]]:
    """Give each finding, and whether it is about notes in the picture."""
    kind, suffix = kind_by_content(content), path[path.rindex(".") :]
    if kind is None:
        yield False, faults.not_a_picture(other_kind(content))
        return
    if suffix != f".{kind}":
        yield False, faults.wrong_name(suffix, kind)
    try:
        looked = look(content)
    except BrokenPictureError as error:
        yield False, faults.broken(str(error))
        return
    if looked.parts.moving:
        yield False, faults.moving()
    if looked.parts.orientation != UPRIGHT:
        yield False, faults.turned()
    elif looked.parts.beside:
        yield True, faults.notes(looked.parts.beside)
