"""One evening's takes among the entries: which planned donning comes next, what a take fills, what is taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from builder.records.entries import EntryFile, PartRecord, TestRecord
from builder.records.entry_keys import fields_of
from builder.records.file_names import name_parts
from builder.records.kept_bench import FOLDER, KeptBench, KeptTake
from builder.records.known_entries import KnownEntries
from builder.records.models import REMOVED, Slots, Test
from builder.records.overall import is_planned
from builder.records.reading import read_file
from builder.records.typed_answers import UnclearError, word_typed
from builder.records.vocabulary import Slot

AS_SOLD = "as-sold"
ANSWERS = (
    *("contributor", "wearer", "facial_hair", "mask", "protocol"),
    *("instrument", "size_selection", "aerosol", "probe", "purge_seconds"),
)
"""Fields that stay the same from take to take, and are remembered."""

_KEPT_BY_HAND = ("specimen", "conditions", "observations", "source")
"""Tables of a planned entry in which something may have been noted before its take."""


def answers_of(test: Test) -> dict[str, str]:
    """Give what stays the same after a take."""
    fields = {field.name: field for field in fields_of(Test) if field.name in ANSWERS}
    dumped = test.model_dump(by_alias=True, exclude_none=True, mode="json")
    found: dict[str, str] = {}
    for name in ANSWERS:
        value: Any = dumped
        for key in fields[name].path:
            value = value.get(key) if isinstance(value, dict) else None
        if value is not None:
            found[name] = f"{value:g}" if isinstance(value, float) else str(value)
    return found


def planned_tests(tests: Iterable[TestRecord], day: date, mask: str | None = None) -> list[TestRecord]:
    """Give the planned tests, of one mask or of all, in the order to do them: those of a day, then others by day."""
    waiting = [r for r in tests if is_planned(r.test.result) and mask in (None, r.test.mask)]
    return sorted(waiting, key=lambda record: (record.test.date != day, record.test.date, _number(record)))


def first_planned(known: KnownEntries, day: date) -> TestRecord | None:
    """Find the donning of a run sheet of a day to begin with; None where none is planned."""
    files = [file for file in known.files if file.kind == "test" and file.stem.startswith(day.isoformat())]
    records = (read_file(known.root, file).record for file in files)
    return next(iter(planned_tests((r for r in records if isinstance(r, TestRecord)), day)), None)


def order_of(tests: Iterable[TestRecord], mask: str, day: date) -> int:
    """Which donning of a mask on a day the next take of a wearer is."""
    done = [r.test for r in tests if r.test.mask == mask and r.test.date == day and not is_planned(r.test.result)]
    return 1 + max([len(done), *(test.conditions.order or 0 for test in done)])


def worn(known: KnownEntries, changes: Sequence[str]) -> Slots:
    """Read what is changed from as sold: `as-sold` alone, else PART or SLOT=PART each. Raises UnclearError.

    Parts and slots may be named by their unique beginnings; SLOT=none is a part taken out.
    """
    if len(changes) == 1 and len(changes[0]) > 1 and AS_SOLD.startswith(changes[0].lower()):
        return Slots()
    slots: dict[str, str] = {}
    for change in changes:
        slot, equals, part = change.partition("=")
        if not equals:
            part = word_typed(change, known.ids("part"), "part")
            slot = _slot_of(known, part)
        else:
            slot = word_typed(slot, [one.value for one in Slot], "slot")
            part = part if part == REMOVED else word_typed(part, known.ids("part"), "part")
        if slot in slots:
            raise UnclearError(f"{slot} is changed twice: to {slots[slot]} and to {part}.")
        slots[slot] = part
    return Slots.model_validate(slots)


def _slot_of(known: KnownEntries, part: str) -> str:
    record = read_file(known.root, EntryFile("part", f"parts/{part}.toml")).record
    if not isinstance(record, PartRecord):
        raise UnclearError(f"parts/{part}.toml cannot be read: write SLOT={part}, and see what `sealbook check` says.")
    return record.part.slot.value


def planned_for(test: Test, tests: Iterable[TestRecord]) -> TestRecord | None:
    """Find the planned test that a measured one is: of the same wearer, mask, day and configuration, the first left."""
    return next((record for record in planned_tests(tests, test.date) if _same_donning(record.test, test)), None)


def _same_donning(planned: Test, test: Test) -> bool:
    return (planned.mask, planned.date, planned.face.wearer, planned.configuration) == (
        *(test.mask, test.date, test.face.wearer),
        test.configuration,
    )


def placed(known: KnownEntries, test: Test, tests: Iterable[TestRecord]) -> tuple[str, Test, dict[str, str]]:
    """Give a measured test its place: that of the planned one that it fills among its wearer's tests, or a new one.

    With the test as it is then, and what its file takes the place of.
    """
    if planned := planned_for(test, tests):
        return planned.path, filled(planned.test, test), {planned.path: planned.path}
    return known.places([test])[0], test, {}


def filled(planned: Test, take: Test) -> Test:
    """Give a take what was noted beforehand in the planned entry that it fills."""
    tables = {name: _both(getattr(planned, name), getattr(take, name)) for name in _KEPT_BY_HAND}
    return take.model_copy(update=tables)


def _both(before: BaseModel, now: BaseModel) -> BaseModel:
    said = {name: getattr(now, name) for name in now.model_fields_set}
    return before.model_copy(update=said)


@dataclass(frozen=True)
class TakenBack:
    """Files to write with what is to be remembered beside them, and which of them take the place of which.

    `aside` is where the take is kept.
    """

    kept: KeptBench
    aside: str
    files: Mapping[str, str]
    instead_of: Mapping[str, str]


def take_back(root: Path, kept: KeptBench) -> TakenBack:
    """Undo the last take: its file goes into the bench's folder, and what was planned is planned again.

    Raises OSError where the file is gone, LookupError where there is no take.
    """
    if not kept.takes:
        raise LookupError
    *rest, last = kept.takes
    text = (root / last.path).read_text("utf-8")
    number = 1 + len(list((root / FOLDER).glob("undone-*.toml")))
    aside = f"{FOLDER}/undone-{number}.toml"
    without = replace(kept, takes=tuple(rest))
    if last.planned_path:
        files = {last.planned_path: last.planned_text, aside: text}
        return TakenBack(without, aside, files, {last.planned_path: last.path})
    return TakenBack(without, aside, {aside: text}, {aside: last.path})


def take_note(path: str, planned: TestRecord | None, root: Path) -> KeptTake:
    """Remember a take, and the planned entry that it fills, so that it can be taken back. Raises OSError."""
    if planned is None:
        return KeptTake(path)
    return KeptTake(path, planned.path, (root / planned.path).read_text("utf-8"))


def _number(record: TestRecord) -> int:
    name = name_parts(record.id.rpartition("/")[2])
    return name.number if name else 0
