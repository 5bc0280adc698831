"""Entries for the donnings of a run, in its order, complete but for what will be measured."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from builder.records.entries import Entries
from builder.records.file_names import name_parts
from builder.records.models import REMOVED, Face, Result, Slots, Test
from builder.records.vocabulary import Protocol
from builder.records.writing import to_toml, write_new
from builder.words.run_sheet import RunSheet


class UnfinishedError(ValueError):
    """The folder holds a planned test of that wearer, mask and day that still waits for its result."""


def stubs(sheet: RunSheet, entries: Entries, folder: Path, day: date) -> dict[str, str]:
    """Give the text of each entry by its path below `folder`, numbered on from the wearer's tests of that day.

    A wearer who is known keeps face and contributor of the newest test; a new one is taken for the contributor, and
    the face waits to be filled in. Raises UnfinishedError.
    """
    known = [record.test for record in entries.tests if record.test.face.wearer == sheet.wearer]
    newest = max(known, key=lambda test: test.date, default=None)
    # Without facial hair the face is unfinished, as it should be: nobody knows it yet.
    face = newest.face if newest else Face.model_construct(wearer=sheet.wearer)
    done = _last_number(folder / "tests" / sheet.mask, sheet.wearer, day)
    texts = {}
    for line in sheet.lines:
        test = Test(
            mask=sheet.mask,
            date=day,
            contributor=newest.contributor if newest else sheet.wearer,
            configuration=_slots(entries, line.configuration),
            face=face,
            result=Result(protocol=Protocol(sheet.protocol)),
        )
        schema, _, rest = to_toml(test).partition("\n")
        remark = (
            f"# Donning {line.number} of {len(sheet.lines)}, specimen {line.specimen}. "
            "Fill in the result, then the conditions and what was observed."
        )
        path = f"tests/{sheet.mask}/{day}-{sheet.wearer}-{done + line.number}.toml"
        texts[path] = f"{schema}\n{remark}\n{rest}"
    return texts


def write_stubs(folder: Path, texts: Mapping[str, str]) -> None:
    """Write all of the entries or none. Raises FileExistsError where one is there already, OSError otherwise."""
    written: list[Path] = []
    try:
        for path, text in texts.items():
            write_new(folder / path, text)
            written.append(folder / path)
    except OSError:
        for file in written:
            file.unlink()
        raise


def _slots(entries: Entries, configuration: str) -> Slots:
    _, *tokens = configuration.split("+")
    changed = {}
    for token in tokens:
        part = entries.parts.get(token)
        changed[part.part.slot.value if part else token.removeprefix("no-")] = token if part else REMOVED
    return Slots.model_validate(changed)


def _last_number(folder: Path, wearer: str, day: date) -> int:
    """Highest number among the wearer's tests of the mask on that day, all of which must have a result."""
    last = 0
    for path in sorted(folder.glob(f"{day}-{wearer}-*.toml")):
        name = name_parts(path.stem)
        if name and name.wearer == wearer:
            if not _has_result(path):
                raise UnfinishedError(
                    f"{path} still waits for its result: fill it in or delete it, or plan another day."
                )
            last = max(last, name.number)
    return last


def _has_result(path: Path) -> bool:
    try:
        result = tomllib.loads(path.read_text("utf-8")).get("result", {})
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return True  # somebody else's mistake, which `check` names
    return isinstance(result, dict) and not result.keys().isdisjoint({"fit_factor", "exercise", "counts"})
