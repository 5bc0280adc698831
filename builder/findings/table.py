"""The tidy table: one row a test. The one thing that passes from reading to statistics, and its data dictionary."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.fit.panel import cells_of
from builder.records.circumstances import Conditions
from builder.records.entries import Entries, MaskRecord, TestRecord
from builder.records.inside_donning import read_by
from builder.records.known_reads import KnownRows
from builder.records.lowest_exercise import lowest_exercise
from builder.records.models import ExerciseResult, Mask, Test, configuration_id, part_token
from builder.records.overall import Reading, is_planned, overall
from builder.records.vocabulary import HAIR_AT_SEAL, Check, Protocol, Slot, Word

SLOT_COLUMNS = tuple(slot.column for slot in Slot)
"""Columns that name the part changed in each slot, "" as sold: what the science takes as its slots."""
HAIR_REASON = "hair at the seal"


@dataclass(frozen=True)
class Take:
    """A test with what its row is made of: its mask, its overall reading, and the part in each changed slot."""

    id: str
    path: str
    test: Test
    mask: Mask
    reading: Reading
    changed: dict[Slot, str]
    lowest: ExerciseResult | None


@dataclass(frozen=True)
class Column:
    """One column of a table: its dtype, its unit ("" for none), what it holds and, in the tidy table, how it is read.

    A column of the tidy table without `of` follows from others.
    """

    dtype: str
    unit: str
    meaning: str
    of: Callable[[Take], object] | None = None


def _text(meaning: str, of: Callable[[Take], object]) -> Column:
    return Column("str", "", meaning, of)


def _word(word: Word | None) -> str:
    return word.value if word else ""


def _number(value: float | None) -> float:
    return np.nan if value is None else float(value)


def _yes_no(value: bool | None) -> str:
    return "" if value is None else "yes" if value else "no"


def _check(what: str, of: Callable[[Conditions], Check | None]) -> Column:
    return _text(f"{what}: passed, failed, not-done or empty.", lambda take: _word(of(take.test.conditions)))


def _method(take: Take) -> str:
    """How the test was measured, in words."""
    told = (take.test.result.protocol, take.test.conditions.instrument, take.test.conditions.size_selection)
    return " · ".join(word.label if word else "not told" for word in told)


def _read_by(protocol: Protocol, meaning: str) -> Column:
    meaning = f"What {meaning} alone would have read in this donning, from its exercises; empty where not known."
    return Column("float64", "1", meaning, lambda take: _number(read_by(protocol, take.test.result)))


def _set_aside(take: Take) -> str:
    return take.test.result.set_aside or (HAIR_REASON if take.test.face.facial_hair in HAIR_AT_SEAL else "")


def _slot(slot: Slot) -> Column:
    return _text(f"Part changed in the slot “{slot.label}”, empty as sold.", lambda take: take.changed.get(slot, ""))


COLUMNS: dict[str, Column] = {
    "test": _text("Id of the test: mask, date, wearer and running number.", lambda take: take.id),
    "path": _text("Source file, below the entries folder.", lambda take: take.path),
    "date": _text("Day of the test, ISO 8601.", lambda take: take.test.date.isoformat()),
    "contributor": _text("Pseudonym of who measured.", lambda take: take.test.contributor),
    "mask": _text("Id of the mask.", lambda take: take.test.mask),
    "model": _text("Name of the model.", lambda take: take.mask.model),
    "size": _text("Size as printed, empty where the model has one size.", lambda take: take.mask.size or ""),
    "style": _text("Shape of the mask.", lambda take: take.mask.style.value),
    "mask_class": _text("Filter class printed on the mask.", lambda take: take.mask.mask_class.value),
    "class_name": _text("What is printed where the class is other.", lambda take: take.mask.class_name or ""),
    "configuration": _text(
        "Mask as sold, or mask+part+part with the parts in slot order.",
        lambda take: configuration_id(take.test.mask, take.test.configuration),
    ),
    "parts": _text(
        "The changed parts joined by +, empty as sold; no-<slot> where a part was taken out.",
        lambda take: "+".join(take.changed.values()),
    ),
    **{slot.column: _slot(slot) for slot in Slot},
    "wearer": _text("Pseudonym of the face.", lambda take: take.test.face.wearer),
    "face_length_mm": Column(
        "float64",
        "mm",
        "Chin to the deepest point of the nasal root (menton–sellion).",
        lambda take: _number(take.test.face.length_mm),
    ),
    "face_width_mm": Column(
        "float64", "mm", "Widest across the cheekbones (bizygomatic).", lambda take: _number(take.test.face.width_mm)
    ),
    "cell": _text(
        "Panel cell 1–10, outside or unknown.",
        lambda take: "" if take.test.face.cell is None else str(take.test.face.cell),
    ),
    "nose_bridge": _text("low, medium, high or unknown.", lambda take: _word(take.test.face.nose_bridge) or "unknown"),
    "facial_hair": _text("Hair where the mask seals.", lambda take: take.test.face.facial_hair.value),
    "protocol": _text("Which exercises were done.", lambda take: take.test.result.protocol.value),
    "fit_factor": Column(
        "float64",
        "1",
        "Overall fit factor; the lower limit itself where at_least is true.",
        lambda take: take.reading.fit_factor,
    ),
    "at_least": Column(
        "bool",
        "",
        "Whether the true value is at least the one given (right-censored).",
        lambda take: take.reading.at_least,
    ),
    "counting_sd": Column(
        "float64",
        "ln",
        "Standard deviation of ln fit factor from counting alone; 0 without counts.",
        lambda take: take.reading.counting_sd,
    ),
    "set_aside": _text("Why the take does not count, empty where it does.", _set_aside),
    "counted": Column("bool", "", "Whether the test counts in the figures."),
    "instrument": _text("How particles were counted.", lambda take: _word(take.test.conditions.instrument)),
    "size_selection": _text("Which particles were counted.", lambda take: _word(take.test.conditions.size_selection)),
    "method": _text("How it was measured: protocol, instrument and size selection in words.", _method),
    "lowest_exercise": _text(
        "The exercise that leaked most, empty for tests that do not give two or more.",
        lambda take: take.lowest.name.value if take.lowest else "",
    ),
    "lowest_exercise_fit_factor": Column(
        "float64",
        "1",
        "Its fit factor.",
        lambda take: _number(take.lowest.fit_factor if take.lowest else None),
    ),
    "one_exercise_fit_factor": _read_by(Protocol.ONE_EXERCISE, "normal breathing"),
    "four_exercise_fit_factor": _read_by(Protocol.SHORT_FOUR_EXERCISE, "the short protocol's four exercises"),
    "ambient_per_cm3": Column(
        "float64", "1/cm3", "Particles in room air.", lambda take: _number(take.test.conditions.ambient_per_cm3)
    ),
    "aerosol": _text("Where the particles came from.", lambda take: _word(take.test.conditions.aerosol)),
    "probe": _text("How the hose reaches into the mask.", lambda take: _word(take.test.conditions.probe)),
    "purge_seconds": Column(
        "float64",
        "s",
        "Left out after each change between room and mask.",
        lambda take: _number(take.test.conditions.purge_seconds),
    ),
    "zero_check": _check("Instrument behind a filter that stops all particles", lambda said: said.zero_check),
    "probe_check": _check("Probe and hose looked at for leaks", lambda said: said.probe_check),
    "seal_check": _check("Seal checked by the wearer", lambda said: said.seal_check),
    "helped": _text(
        "Whether somebody helped with the donning: yes, no or empty.", lambda take: _yes_no(take.test.conditions.helped)
    ),
    "glasses": _text("Whether glasses were on: yes, no or empty.", lambda take: _yes_no(take.test.conditions.glasses)),
    "order": Column(
        "float64",
        "1",
        "Which donning of the run, counted over all its configurations.",
        lambda take: _number(take.test.conditions.order),
    ),
    "temperature_c": Column(
        "float64", "°C", "Room temperature.", lambda take: _number(take.test.conditions.temperature_c)
    ),
    "humidity_percent": Column(
        "float64", "%", "Relative humidity of room air.", lambda take: _number(take.test.conditions.humidity_percent)
    ),
    "specimen_label": _text(
        "The tester's name for the very mask worn, the same for one wearer and mask each time.",
        lambda take: take.test.specimen.label or "",
    ),
    "specimen_lot": _text("Lot as printed.", lambda take: take.test.specimen.lot or ""),
    "specimen_donnings_before": Column(
        "float64", "1", "How often it had been donned before.", lambda take: _number(take.test.specimen.donnings_before)
    ),
    "specimen_hours_before": Column(
        "float64", "h", "How long it had been worn before.", lambda take: _number(take.test.specimen.hours_before)
    ),
    "specimen_straps_mm": Column(
        "float64",
        "mm",
        "By how much each strap or loop was made shorter than it can be.",
        lambda take: _number(take.test.specimen.straps_mm),
    ),
    "specimen_straps_notch": Column(
        "float64",
        "1",
        "Notch that straps or loops were set to, 1 the loosest.",
        lambda take: _number(take.test.specimen.straps_notch),
    ),
    "leaks": _text(
        "Where it leaked, places joined by +.",
        lambda take: "+".join(leak.value for leak in take.test.observations.leaks),
    ),
    "comfort": Column(
        "float64",
        "1",
        "1 could not bear it … 5 forgot it was on.",
        lambda take: _number(take.test.observations.comfort),
    ),
    "breathing_effort": Column(
        "float64",
        "1",
        "1 as without a mask … 5 had to take it off.",
        lambda take: _number(take.test.observations.breathing_effort),
    ),
    "touches_eyes": _text("yes, no or empty.", lambda take: _yes_no(take.test.observations.touches_eyes)),
    "fogging": _text("yes, no or empty.", lambda take: _yes_no(take.test.observations.fogging)),
    "notes": _text("Remarks of the contributor.", lambda take: take.test.observations.notes or ""),
    "link": _text("Address of the discussion, log or publication.", lambda take: take.test.source.link or ""),
    "invented": Column("bool", "", "Whether the test is demo data.", lambda take: take.test.source.invented),
}


def tidy_table(entries: Entries, known: KnownRows | None = None) -> pd.DataFrame:
    """Lay the entries out as one row a test, in the columns of `COLUMNS`, sorted by test id.

    The entries must be free of errors: every test's mask is known, every result has an overall value but for planned
    tests, which are left out. Rows that are
    `known` of the very same records are taken from there, the others added.
    """
    known = {} if known is None else known
    rows = []
    for record in entries.tests:
        if is_planned(record.test.result):
            continue
        mask = entries.masks[record.test.mask]
        before = known.get(record.path)
        if not before or before[0] is not record or before[1] is not mask:
            before = known[record.path] = record, mask, _row(record, mask)
        rows.append(before[2])
    columns = zip(*rows, strict=True) if rows else ([] for _ in _READ)
    table = pd.DataFrame({name: list(values) for name, values in zip(_READ, columns, strict=True)})
    measured = cells_of(table["face_length_mm"].to_numpy(float), table["face_width_mm"].to_numpy(float))
    table["cell"] = np.where(table["cell"].to_numpy(str) == "", measured, table["cell"].to_numpy(str))
    table["counted"] = table["set_aside"] == ""
    types = {name: "object" if column.dtype == "str" else column.dtype for name, column in COLUMNS.items()}
    return table[list(COLUMNS)].astype(types).sort_values("test", ignore_index=True)


_READ = {name: column.of for name, column in COLUMNS.items() if column.of}


def _row(record: TestRecord, mask: MaskRecord) -> tuple[object, ...]:
    test = record.test
    changed = {slot: part_token(slot, part) for slot, part in test.configuration.filled()}
    take = Take(record.id, record.path, test, mask.mask, overall(test.result), changed, lowest_exercise(test.result))
    return tuple([read(take) for read in _READ.values()])
