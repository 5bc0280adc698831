"""What the entries hold already: ids, the faces and the tests of wearers, and the next free place for a test."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from builder.records.entries import EntryFile, RemovedRecord, TestRecord
from builder.records.file_names import name_parts
from builder.records.models import Face, Test
from builder.records.reading import list_files, read_file


@dataclass(frozen=True)
class KnownEntries:
    """An entries folder, of which only file names are read until more is asked."""

    root: Path

    @cached_property
    def files(self) -> tuple[EntryFile, ...]:
        """Every entry file, in a fixed order."""
        return list_files(self.root).files

    def ids(self, kind: str) -> tuple[str, ...]:
        """The ids of all entries of a kind: "mask", "part" or "test"."""
        return tuple(file.id for file in self.files if file.kind == kind)

    @property
    def wearers(self) -> tuple[str, ...]:
        """Everybody who wore a mask in a test."""
        return tuple(sorted({name.wearer for file in self.files if (name := name_parts(file.stem))}))

    def tests_of(self, wearers: Iterable[str], ids: Iterable[str] = ()) -> list[TestRecord]:
        """Read the tests of some wearers, and some by id. The checker tells of what cannot be read and is left out."""
        chosen, by_id = set(wearers), set(ids)
        tests = (file for file in self.files if file.kind == "test")
        named = (f for f in tests if f.id in by_id or ((name := name_parts(f.stem)) and name.wearer in chosen))
        records = (read_file(self.root, file).record for file in named)
        return [record for record in records if isinstance(record, TestRecord)]

    def places(self, tests: Sequence[Test]) -> list[str]:
        """Give each new test its path below the entries folder, with the next number of its wearer, mask and day.

        The number of a test that was taken out is not given again: its address stays.
        """
        last: Counter[str] = Counter()
        for test_id in (*self.ids("test"), *self._taken_out()):
            if name := name_parts(test_id.rpartition("/")[2]):
                start = test_id.removesuffix(str(name.number))
                last[start] = max(last[start], name.number)
        paths = []
        for test in tests:
            start = f"{test.mask}/{test.date}-{test.face.wearer}-"
            last[start] += 1
            paths.append(f"tests/{start}{last[start]}.toml")
        return paths

    def _taken_out(self) -> list[str]:
        lists = (read_file(self.root, file).record for file in self.files if file.kind == "removed")
        return [
            removal.test
            for record in lists
            if isinstance(record, RemovedRecord)
            for removal in record.removed.removed
            if removal.test
        ]


def with_known_faces(tests: Sequence[Test], earlier: Iterable[TestRecord]) -> list[Test]:
    """Fill in the faces that tests leave out: from earlier tests of the wearer, else from the others given here.

    What a test says of its face stays, right or wrong: the checker names contradictions.
    """
    faces: dict[str, list[Face]] = {}
    for face in (*(record.test.face for record in earlier), *(test.face for test in tests)):
        faces.setdefault(face.wearer, []).append(face)
    return [test.model_copy(update={"face": _filled_in(test.face, faces[test.face.wearer])}) for test in tests]


def _filled_in(face: Face, others: Sequence[Face]) -> Face:
    update: dict[str, object] = {}
    if face.length_mm is None and face.cell is None:
        measured = next((other for other in others if other.length_mm is not None), None)
        measured = measured or next((other for other in others if other.cell is not None), face)
        update |= {name: getattr(measured, name) for name in ("length_mm", "width_mm", "cell")}
    if face.nose_bridge is None:
        update["nose_bridge"] = next((other.nose_bridge for other in others if other.nose_bridge), None)
    return face.model_copy(update=update)
