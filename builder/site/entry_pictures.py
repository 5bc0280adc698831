"""Pictures of masks, parts and changes: the files beside the entries, and where there is none a drawing."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.pictures.mask_drawing import mask_drawing
from builder.pictures.shapes import Drawing
from builder.pictures.svg import inked
from builder.records.entries import MaskRecord, PartRecord
from builder.records.models import Picture
from builder.records.vocabulary import Slot, Style
from builder.site.published import PublishedFile
from builder.words import vocabulary_words
from builder.words.picture_words import drawing_title, drawn_words, picture_words

_Shown = tuple[MaskRecord | PartRecord, Picture]

MOST_PICTURES = 6
"""Of one mask or part on its page."""


@dataclass(frozen=True)
class ShownPicture:
    """A picture on a page: its address below the site's root, and its size in pixels, so that nothing moves."""

    address: str
    alt: str
    width: int
    height: int
    said: str


@dataclass(frozen=True)
class Illustration:
    """What a page shows: pictures, or a drawing with what is said of it."""

    pictures: tuple[ShownPicture, ...] = ()
    drawing: Markup | None = None
    said: str = ""


def picture_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give every picture that an entry names."""
    named = {picture.path for picture in data.entries.pictures.values()}
    records: list[MaskRecord | PartRecord] = [*data.entries.masks.values(), *data.entries.parts.values()]
    for record in records:
        for picture in _named_by(record):
            if (path := _path(record, picture)) in named:
                yield PublishedFile(_address(path), data.entries.pictures[path].content)


def of_mask(data: Dataset, mask: str) -> Illustration:
    """Illustrate a mask: by its pictures and those of parts on it, or by its style with every change marked."""
    record = data.entries.masks[mask]
    shown: list[_Shown] = [(record, picture) for picture in record.mask.picture]
    for part in data.entries.parts.values():
        shown += [(part, picture) for picture in part.part.picture if mask in picture.shows]
    tokens = {token for row in data.summary_by_mask.get(mask, ()) for token in row["parts"].split("+") if token}
    return _illustrated(data, shown, record.mask.style, _slots(data, tokens), f"drawn.{mask}")


def of_part(data: Dataset, token: str, masks: Iterable[str]) -> Illustration:
    """Illustrate a part, or what was taken out: by pictures of it, or by its place on the first of some masks."""
    shown: list[_Shown] = []
    if part := data.entries.parts.get(token):
        shown += [(part, picture) for picture in part.part.picture]
    for record in data.entries.masks.values():
        shown += [(record, picture) for picture in record.mask.picture if token in picture.shows]
    style = next((data.entries.masks[mask].mask.style for mask in masks), Style.OTHER)
    return _illustrated(data, shown, style, _slots(data, [token]), f"drawn.{token}")


def of_configuration(data: Dataset, mask: str, parts: str) -> Illustration:
    """Illustrate a configuration: by pictures of the mask with just its parts, or by its style with them marked."""
    record, tokens = data.entries.masks[mask], frozenset(filter(None, parts.split("+")))
    shown: list[_Shown] = [(record, picture) for picture in record.mask.picture if frozenset(picture.shows) == tokens]
    return _illustrated(data, shown, record.mask.style, _slots(data, tokens), f"drawn.{parts or 'as-sold'}")


def _illustrated(
    data: Dataset,
    shown: Iterable[_Shown],
    style: Style,
    slots: Collection[Slot],
    key: str,
) -> Illustration:
    pictures = []
    for record, picture in shown:
        path = _path(record, picture)
        if file := data.entries.pictures.get(path):
            said = picture_words(data, picture, of_part=isinstance(record, PartRecord))
            pictures.append(ShownPicture(_address(path), picture.alt, file.width, file.height, said))
    if pictures:
        return Illustration(tuple(pictures[:MOST_PICTURES]))
    marked = {slot.value: vocabulary_words.label(slot) for slot in Slot if slot in slots}
    said = drawn_words(style, slots)
    drawing = _drawing(style.value, tuple(marked.items()), drawing_title(style, slots), said)
    return Illustration((), Markup(inked(drawing, key)), said)


# Many configurations have the same places changed.
@lru_cache(maxsize=1024)
def _drawing(style: str, marked: tuple[tuple[str, str], ...], title: str, said: str) -> Drawing:
    return mask_drawing(style, dict(marked), title, said)


def _slots(data: Dataset, tokens: Iterable[str]) -> frozenset[Slot]:
    return frozenset(part.slot if (part := data.part(token)) else Slot(token.removeprefix("no-")) for token in tokens)


def _named_by(record: MaskRecord | PartRecord) -> tuple[Picture, ...]:
    return record.mask.picture if isinstance(record, MaskRecord) else record.part.picture


def _path(record: MaskRecord | PartRecord, picture: Picture) -> str:
    return f"{record.path.rpartition('/')[0]}/{picture.file}"


def _address(path: str) -> str:
    return f"pictures/{path}"
