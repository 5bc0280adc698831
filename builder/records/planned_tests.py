"""Entries for the donnings of a run, in its order, complete but for what will be measured."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from builder.fit.plan.fractions import AS_SOLD, Combination, Factor
from builder.fit.plan.planned_run import Plan
from builder.records.entries import TestRecord
from builder.records.file_names import name_parts
from builder.records.models import REMOVED, Face, Result, Slots, Test, part_token
from builder.records.toml_text import to_toml
from builder.records.vocabulary import Protocol, Slot


def stubs(
    plan: Plan, known: Sequence[TestRecord], folder: Path, *, mask: str, face: Face, protocol: Protocol, day: date
) -> dict[str, str]:
    """Give the text of each entry by its path below `folder`, numbered on from the wearer's tests of that day.

    A wearer whose tests are `known` keeps face and contributor of the newest; a new one has the `face` given, and is
    taken for the contributor.
    """
    newest = max((record.test for record in known), key=lambda test: test.date, default=None)
    wearer = face.wearer
    done = _last_number(folder / "tests" / mask, wearer, day)
    texts = {}
    for number, donning in enumerate(plan.run, 1):
        test = Test(
            mask=mask,
            date=day,
            contributor=newest.contributor if newest else wearer,
            configuration=_slots(plan.factors, donning.configuration),
            face=newest.face if newest else face,
            result=Result(protocol=protocol),
        )
        schema, _, rest = to_toml(test).partition("\n")
        remark = (
            f"# Donning {number} of {len(plan.run)}, specimen {donning.specimen}. "
            "Fill in the result, then the conditions and what was observed."
        )
        path = f"tests/{mask}/{day}-{wearer}-{done + number}.toml"
        texts[path] = f"{schema}\n{remark}\n{rest}"
    return texts


def _slots(factors: Sequence[Factor], configuration: Combination) -> Slots:
    changed = {factor.slot: part for factor, part in zip(factors, configuration, strict=True) if part != AS_SOLD}
    out = {slot: REMOVED for slot, part in changed.items() if part == part_token(Slot(slot), REMOVED)}
    return Slots.model_validate(changed | out)


_PLACE = re.compile(r"^# Donning (\d{1,4}) of (\d{1,4}), specimen (\d{1,4})\.", re.MULTILINE)


def place_on_sheet(path: Path) -> tuple[str, str, str] | None:
    """Give which donning of how many a planned entry is, on which specimen; None where its remark is gone."""
    try:
        found = _PLACE.search(path.read_text("utf-8"))
    except (OSError, UnicodeDecodeError):
        return None
    return (found[1], found[2], found[3]) if found else None


def waiting(folder: Path, mask: str, wearer: str, day: date) -> int:
    """Count the planned tests of a wearer, mask and day below a folder that still wait for their result."""
    return sum(not _has_result(path) for _, path in _numbered(folder / "tests" / mask, wearer, day))


def _last_number(folder: Path, wearer: str, day: date) -> int:
    """Highest number among the wearer's tests of the mask on that day."""
    return max((number for number, _ in _numbered(folder, wearer, day)), default=0)


def _numbered(folder: Path, wearer: str, day: date) -> list[tuple[int, Path]]:
    """The wearer's tests of a mask on a day, by number."""
    named = ((name_parts(path.stem), path) for path in folder.glob(f"{day}-{wearer}-*.toml"))
    return sorted((name.number, path) for name, path in named if name and name.wearer == wearer)


def _has_result(path: Path) -> bool:
    try:
        result = tomllib.loads(path.read_text("utf-8")).get("result", {})
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return True  # somebody else's mistake, which `check` names
    return isinstance(result, dict) and not result.keys().isdisjoint({"fit_factor", "exercise", "counts"})
