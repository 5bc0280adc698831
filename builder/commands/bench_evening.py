"""What `sealbook bench` says after a take, and when it is asked how the evening stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import click

from builder.commands.text_columns import in_columns
from builder.findings.dataset import Dataset, EntriesInvalidError, planning_dataset
from builder.findings.table import SLOT_COLUMNS
from builder.fit.plan.evening import evening
from builder.records.bench_takes import planned_tests, worn
from builder.records.kept_bench import KeptBench
from builder.records.known_entries import KnownEntries
from builder.records.known_reads import KnownReads
from builder.records.memory import Memory
from builder.records.models import Slots, configuration_id
from builder.records.planned_tests import place_on_sheet
from builder.records.problems import as_text
from builder.records.typed_answers import UnclearError
from builder.words.catalogue import count, say
from builder.words.evening_words import donning_rows, evening_sentences, take_sentence
from builder.words.labels import change_label


@dataclass(frozen=True)
class At:
    """Whose evening with which mask; `test` is the id of the take that was just made, "" for none."""

    wearer: str
    facial_hair: str
    mask: str
    day: date
    test: str = ""
    number: int = 0


def evening_text(entries: Path, at: At, memory: Memory, reads: KnownReads | None = None) -> str:
    """Say how an evening stands: the take, every donning so far, the verdicts, and what comes next.

    `reads` are what is known of files from the take before, where that was told by the same run.
    """
    try:
        data, _ = planning_dataset(entries, memory, reads)
    except EntriesInvalidError as error:
        click.echo(as_text(error.problems), err=True)
        return "The verdict waits until that is put right; the take is kept."
    table = data.table
    own = table[(table["wearer"] == at.wearer) & (table["mask"] == at.mask) & (table["facial_hair"] == at.facial_hair)]
    own = own.assign(number=own["test"].str.extract(r"(\d+)$", expand=False).astype(int)).sort_values(
        ["date", "order", "number"]
    )
    lines = []
    if len(taken := own[own["test"] == at.test]):
        row = taken.iloc[0]
        lines.append(take_sentence(data, at.number, str(row["configuration"]), row))
    if len(own):
        lines += ["", *in_columns(donning_rows(data, own)), ""]
    if own["counted"].any():
        found = evening(own, data.scatter, data.method_effects, SLOT_COLUMNS)
        lines += evening_sentences(data, found)
    return "\n".join([*lines, *_next(data, entries, at)]).strip("\n")


def _next(data: Dataset, entries: Path, at: At) -> list[str]:
    known, kept = KnownEntries(entries), KeptBench.of(entries)
    waiting = [r for r in planned_tests(known.tests_of([at.wearer]), at.day) if r.test.mask == at.mask]
    if kept.worn is not None:
        try:
            return [say("evening.next_worn", worn=_label(data, at.mask, worn(known, kept.worn)))]
        except UnclearError as error:
            return [str(error)]
    if not waiting:
        return []
    label = _label(data, at.mask, waiting[0].test.configuration)
    left = count("planned", len(waiting))
    if (place := place_on_sheet(entries / waiting[0].path)) is None:
        return [say("evening.next", worn=label, left=left)]
    number, of, specimen = place
    return [say("evening.next_of_sheet", worn=label, left=left, number=number, of=of, specimen=specimen)]


def _label(data: Dataset, mask: str, configuration: Slots) -> str:
    return change_label(data, configuration_id(mask, configuration).partition("+")[2])
