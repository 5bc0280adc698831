"""A wearer has the same face in every file: millimetres, panel cell and nose bridge agree.

The face decides who can learn from a test, so a slip in one file moves it to other faces. Measure once, write
the same numbers everywhere. If the face was measured anew, correct all files; if it is another face, it needs
another pseudonym. A file with only the cell, beside others with millimetres, is fine if the millimetres lie in
that cell; a file may leave out what another says.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass

from builder.records.entries import Entries, TestRecord
from builder.records.models import Face
from builder.records.problems import Finding, Key
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared


@dataclass(frozen=True)
class _Common:
    """What most files of a wearer say, and the first file that says so."""

    value: Hashable
    record: TestRecord


def check(entries: Entries, context: Context) -> Iterator[Finding]:
    """Compare the faces of each wearer with what most of the files say."""
    by_wearer: dict[str, list[TestRecord]] = defaultdict(list)
    for record in entries.tests:
        by_wearer[record.test.face.wearer].append(record)
    for records in by_wearer.values():
        yield from _differing(records, _millimetres, ("face", "length_mm"), context)
        yield from _differing(records, _bridge, ("face", "nose_bridge"), context)
        yield from _cells(records, context)


def _differing(
    records: list[TestRecord], value_of: Callable[[Face], Hashable], key: Key, context: Context
) -> Iterator[Finding]:
    common = _common(records, value_of)
    for record in records:
        value = value_of(record.test.face)
        if common and value is not None and value != common.value:
            place = context.place(common.record.path, key)
            yield Finding(
                key,
                shared(
                    "other_face",
                    wearer=record.test.face.wearer,
                    here=_shown(value),
                    there=_shown(common.value),
                    place=place,
                ),
                shared("other_face_remedy"),
                path=record.path,
                other=common.record.path,
            )


def _cells(records: list[TestRecord], context: Context) -> Iterator[Finding]:
    """Compare cells with the cell of the millimetres, or where no file has any with each other."""
    measured = _common(records, _millimetres)
    if measured is None:
        yield from _differing(records, _cell, ("face", "cell"), context)
        return
    with_cell = [record for record in records if record.test.face.cell is not None]
    if not with_cell:
        return
    from builder.fit.panel import OUTSIDE, cell_of  # brings NumPy along, which a check seldom needs

    face = measured.record.test.face
    cell = cell_of(face.length_mm or 0.0, face.width_mm or 0.0)
    for record in with_cell:
        if str(record.test.face.cell) != cell:
            place = context.place(measured.record.path, ("face", "length_mm"))
            lie = "outside the panel" if cell == OUTSIDE else f"in cell {cell}"
            yield Finding(
                ("face", "cell"),
                f"{face.wearer} has {_shown(record.test.face.cell)} here, but {_shown(measured.value)} "
                f"in {place} lie {lie}.",
                shared("other_face_remedy"),
                path=record.path,
                other=measured.record.path,
            )


def _common(records: list[TestRecord], value_of: Callable[[Face], Hashable]) -> _Common | None:
    values = Counter(value for record in records if (value := value_of(record.test.face)) is not None)
    if not values:
        return None
    common, _ = values.most_common(1)[0]  # of equally many the one that comes first
    return _Common(common, next(record for record in records if value_of(record.test.face) == common))


def _millimetres(face: Face) -> Hashable:
    return None if face.length_mm is None else (face.length_mm, face.width_mm)


def _bridge(face: Face) -> Hashable:
    return face.nose_bridge


def _cell(face: Face) -> Hashable:
    return face.cell


def _shown(value: Hashable) -> str:
    if isinstance(value, tuple):
        return shared("face_size", length=f"{value[0]:g}", width=f"{value[1]:g}")
    return shared("face_cell", cell=value) if isinstance(value, int) else shared("face_bridge", bridge=value)


RULE = RecordRule("same-face", "A wearer has one face", __doc__, entries=check)
