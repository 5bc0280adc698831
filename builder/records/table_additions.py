"""What a table adds to the entries: new tests with their places, and those that it corrects."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from builder.records.bench_takes import filled, planned_for
from builder.records.corrections import Correction, Differing, sort_rows
from builder.records.csv_tables import TableProblems
from builder.records.csv_tests import DonningRow
from builder.records.entries import TestRecord
from builder.records.known_entries import KnownEntries, with_known_faces
from builder.records.models import Test
from builder.records.overall import is_planned
from builder.records.text_edits import UneditableError, rewritten
from builder.records.toml_text import to_toml


@dataclass(frozen=True)
class TableAdditions:
    """The texts to write, by path, with the row of each; and of those that correct a test, what they correct.

    `planned` are the paths of planned tests that are filled, `same` is the number of rows that are there already.
    """

    texts: Mapping[str, str]
    rows: Mapping[str, DonningRow]
    corrections: Mapping[str, Correction]
    planned: frozenset[str]
    same: int

    @property
    def instead_of(self) -> dict[str, str]:
        """The files whose place the corrected and filled ones take."""
        corrected = {path: correction.record.path for path, correction in self.corrections.items()}
        return corrected | {path: path for path in self.planned}


def additions(
    known: KnownEntries, rows: Sequence[DonningRow], problems: TableProblems, differing: Differing | None
) -> TableAdditions:
    """Work out what rows add beside the known entries; what stands in the way is noted."""
    there = known.tests_of({row.test.face.wearer for row in rows}, {row.corrects for row in rows})
    found = sort_rows(rows, there, problems, differing)
    corrected = [replace(correction.record, test=correction.test) for correction in found.corrections]
    # A face may be told in another row, whatever becomes of that one.
    said = [TestRecord("", "", row.test) for row in rows]
    tests = with_known_faces([row.test for row in found.new], [*corrected, *there, *said])
    moving = [c for c in found.corrections if _place(c.test) != _place(c.record.test)]
    waiting = [record for record in there if is_planned(record.test.result)]
    planned: dict[int, str] = {}
    for number, test in enumerate(tests):
        if record := planned_for(test, waiting):
            waiting.remove(record)
            planned[number] = record.path
            tests[number] = filled(record.test, test)
    unplanned = [test for number, test in enumerate(tests) if number not in planned]
    new_places = known.places([*unplanned, *(c.test for c in moving)])
    of_new = iter(new_places)
    places = [planned[n] if n in planned else next(of_new) for n in range(len(tests))] + list(of_new)
    texts = dict(zip(places, map(to_toml, tests), strict=False))
    of_rows = dict(zip(places, found.new, strict=False))
    elsewhere = dict(zip(map(id, moving), places[len(tests) :], strict=True))
    corrections = {elsewhere.get(id(c), c.record.path): c for c in found.corrections}
    for path, correction in corrections.items():
        of_rows[path] = correction.row
        text = (known.root / correction.record.path).read_bytes().decode("utf-8-sig")
        try:
            texts[path] = rewritten(text, correction.record.test, correction.test)
        except UneditableError:
            problem = f"This corrects {correction.record.id}, but its file holds remarks that would be lost."
            problems.add(correction.row.number, "", problem, "Correct the file by hand.")
    return TableAdditions(texts, of_rows, corrections, frozenset(planned.values()), found.same)


def _place(test: Test) -> tuple[object, ...]:
    return test.mask, test.date, test.face.wearer
