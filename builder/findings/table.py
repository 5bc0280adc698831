"""The tidy table: one row a test. The one thing that passes from reading to statistics, and its data dictionary."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.fit.panel import cells_of
from builder.records.entries import Entries
from builder.records.models import Test, configuration_id, part_token
from builder.records.overall import overall
from builder.records.vocabulary import HAIR_AT_SEAL, Slot

SLOT_COLUMNS = tuple(slot.column for slot in Slot)
"""Columns that name the part changed in each slot, "" as sold: what the science takes as its slots."""
HAIR_REASON = "hair at the seal"


@dataclass(frozen=True)
class Column:
    """One column of the table: its dtype, its unit ("" for none) and what it holds."""

    dtype: str
    unit: str
    meaning: str


COLUMNS: dict[str, Column] = {
    "test": Column("str", "", "Id of the test: mask, date, wearer and running number."),
    "path": Column("str", "", "Source file, below the entries folder."),
    "date": Column("str", "", "Day of the test, ISO 8601."),
    "contributor": Column("str", "", "Pseudonym of who measured."),
    "mask": Column("str", "", "Id of the mask."),
    "model": Column("str", "", "Name of the model."),
    "size": Column("str", "", "Size as printed, empty where the model has one size."),
    "style": Column("str", "", "Shape of the mask."),
    "mask_class": Column("str", "", "Filter class printed on the mask."),
    "configuration": Column("str", "", "Mask as sold, or mask+part+part with the parts in slot order."),
    "parts": Column("str", "", "The changed parts joined by +, empty as sold; no-<slot> where a part was taken out."),
    **{slot.column: Column("str", "", f"Part changed in the slot “{slot.label}”, empty as sold.") for slot in Slot},
    "wearer": Column("str", "", "Pseudonym of the face."),
    "face_length_mm": Column("float64", "mm", "Chin to the deepest point of the nasal root (menton–sellion)."),
    "face_width_mm": Column("float64", "mm", "Widest across the cheekbones (bizygomatic)."),
    "cell": Column("str", "", "Panel cell 1–10, outside or unknown."),
    "nose_bridge": Column("str", "", "low, medium, high or unknown."),
    "facial_hair": Column("str", "", "Hair where the mask seals."),
    "protocol": Column("str", "", "Which exercises were done."),
    "fit_factor": Column("float64", "1", "Overall fit factor; the lower limit itself where at_least is true."),
    "at_least": Column("bool", "", "Whether the true value is at least the one given (right-censored)."),
    "counting_sd": Column(
        "float64", "ln", "Standard deviation of ln fit factor from counting alone; 0 without counts."
    ),
    "set_aside": Column("str", "", "Why the take does not count, empty where it does."),
    "counted": Column("bool", "", "Whether the test counts in the figures."),
    "instrument": Column("str", "", "How particles were counted."),
    "size_selection": Column("str", "", "Which particles were counted."),
    "ambient_per_cm3": Column("float64", "1/cm3", "Particles in room air."),
    "aerosol": Column("str", "", "Where the particles came from."),
    "probe": Column("str", "", "How the hose reaches into the mask."),
    "leaks": Column("str", "", "Where it leaked, places joined by +."),
    "comfort": Column("float64", "1", "1 could not bear it … 5 forgot it was on."),
    "touches_eyes": Column("str", "", "yes, no or empty."),
    "fogging": Column("str", "", "yes, no or empty."),
    "notes": Column("str", "", "Remarks of the contributor."),
    "link": Column("str", "", "Address of the discussion, log or publication."),
    "invented": Column("bool", "", "Whether the test is demo data."),
}


def tidy_table(entries: Entries) -> pd.DataFrame:
    """Lay the entries out as one row a test, in the columns of `COLUMNS`, sorted by test id.

    The entries must be free of errors: every test's mask is known, every result has an overall value.
    """
    table = pd.DataFrame([_row(record.id, record.path, record.test) for record in entries.tests], columns=list(_ROW))
    masks = {record.id: record.mask for record in entries.masks.values()}
    table["model"] = table["mask"].map({i: mask.model for i, mask in masks.items()})
    table["size"] = table["mask"].map({i: mask.size or "" for i, mask in masks.items()})
    table["style"] = table["mask"].map({i: mask.style.value for i, mask in masks.items()})
    table["mask_class"] = table["mask"].map({i: mask.mask_class.value for i, mask in masks.items()})
    measured = cells_of(table["face_length_mm"].to_numpy(float), table["face_width_mm"].to_numpy(float))
    table["cell"] = np.where(table["cell"].to_numpy(str) == "", measured, table["cell"].to_numpy(str))
    table["counted"] = table["set_aside"] == ""
    types = {name: "object" if column.dtype == "str" else column.dtype for name, column in COLUMNS.items()}
    return table[list(COLUMNS)].astype(types).sort_values("test", ignore_index=True)


_ROW = [name for name in COLUMNS if name not in {"model", "size", "style", "mask_class", "counted"}]


def _row(test_id: str, path: str, test: Test) -> tuple[object, ...]:
    face, conditions, seen = test.face, test.conditions, test.observations
    reading = overall(test.result)
    changed = dict(test.configuration.filled())
    tokens = {slot: part_token(slot, part) for slot, part in changed.items()}
    set_aside = test.result.set_aside or (HAIR_REASON if face.facial_hair in HAIR_AT_SEAL else "")
    return (
        test_id,
        path,
        test.date.isoformat(),
        test.contributor,
        test.mask,
        configuration_id(test.mask, test.configuration),
        "+".join(tokens.values()),
        *(tokens.get(slot, "") for slot in Slot),
        face.wearer,
        np.nan if face.length_mm is None else face.length_mm,
        np.nan if face.width_mm is None else face.width_mm,
        "" if face.cell is None else str(face.cell),
        face.nose_bridge.value if face.nose_bridge else "unknown",
        face.facial_hair.value,
        test.result.protocol.value,
        reading.fit_factor,
        reading.at_least,
        reading.counting_sd,
        set_aside,
        conditions.instrument.value if conditions.instrument else "",
        conditions.size_selection.value if conditions.size_selection else "",
        np.nan if conditions.ambient_per_cm3 is None else conditions.ambient_per_cm3,
        conditions.aerosol.value if conditions.aerosol else "",
        conditions.probe.value if conditions.probe else "",
        "+".join(leak.value for leak in seen.leaks),
        np.nan if seen.comfort is None else float(seen.comfort),
        _yes_no(seen.touches_eyes),
        _yes_no(seen.fogging),
        seen.notes or "",
        test.source.link or "",
        test.source.invented,
    )


def _yes_no(value: bool | None) -> str:
    return "" if value is None else "yes" if value else "no"
