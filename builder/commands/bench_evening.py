"""What `sealbook bench` says after a take, and when it is asked how the evening stands."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import click
import pandas as pd

from builder.commands.bench_take import At, last_worn
from builder.commands.text_columns import in_columns
from builder.findings.dataset import Dataset, EntriesInvalidError, planning_dataset, rows_of
from builder.findings.table import SLOT_COLUMNS
from builder.fit.compare.factorial import MainEffect
from builder.fit.plan.evening import Evening, JudgedChange, evening
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

JUDGED = ("ratio", "low90", "high90", "low99", "high99", "bound", "verdict", "direction")


@dataclass(frozen=True)
class Standing:
    """How an evening stands: the database, the wearer's own takes in their order, and what they tell, if anything."""

    data: Dataset
    own: pd.DataFrame
    found: Evening | None


def standing(entries: Path, at: At, memory: Memory, reads: KnownReads | None = None) -> Standing | None:
    """Work out how an evening stands; None where something else than a test is wrong, which is said.

    `reads` are what is known of files from the take before, where that was told by the same run.
    """
    try:
        data, _ = planning_dataset(entries, memory, reads)
    except EntriesInvalidError as error:
        click.echo(as_text(error.problems), err=True)
        return None
    table = data.table
    own = table[(table["wearer"] == at.wearer) & (table["mask"] == at.mask) & (table["facial_hair"] == at.facial_hair)]
    own = own.assign(number=own["test"].str.extract(r"(\d+)$", expand=False).astype(int))
    own = own.sort_values(["date", "order", "number"], ignore_index=True)
    found = evening(own, data.scatter, data.method_effects, SLOT_COLUMNS) if own["counted"].any() else None
    return Standing(data, own, found)


def evening_text(entries: Path, at: At, stands: Standing | None) -> str:
    """Say how an evening stands: the take, every donning so far, the verdicts, and what comes next."""
    if stands is None:
        return "The verdict waits until that is put right; the take is kept."
    data, own = stands.data, stands.own
    lines = []
    if len(taken := own[own["test"] == at.test]):
        row = taken.iloc[0]
        lines.append(take_sentence(data, at.number, str(row["configuration"]), row))
    if len(own):
        lines += ["", *in_columns(donning_rows(data, own)), ""]
    if stands.found:
        lines += evening_sentences(data, stands.found)
    return "\n".join([*lines, *_next(data, entries, at)]).strip("\n")


def evening_json(entries: Path, at: At, stands: Standing | None) -> str:
    """Write the same as one line of JSON; null where nothing is known."""
    if stands is None:
        return json.dumps(None)
    found = stands.found
    columns = ["test", "configuration", "fit_factor", "at_least", "set_aside"]
    told = {
        "wearer": at.wearer,
        "mask": at.mask,
        "take": at.test or None,
        "donnings": rows_of(stands.own[columns]),
        "changes": [_change(change) for change in found.changes] if found else [],
        "parts": [_part(effect) for effect in found.parts.effects] if found and found.parts else [],
        "next": next(iter(_next(stands.data, entries, at)), None),
    }
    return json.dumps(told, ensure_ascii=False, allow_nan=False)


def _change(change: JudgedChange) -> dict[str, object]:
    comparison, worth = change.rung.comparison, change.worth
    judged = {name: getattr(comparison, name) for name in JUDGED}
    one_more = worth and {
        "fewer": worth.fewer,
        **{side: getattr(worth, side).chance for side in ("a", "b", "each")},
        "donnings_for_seen": worth.for_seen,
    }
    return {"configuration": change.rung.configuration, **judged, "one_more": one_more}


def _part(effect: MainEffect) -> dict[str, object]:
    told = effect.effect
    ratio = {"ratio": told.ratio, "low95": told.low95, "high95": told.high95} if told else {"ratio": None}
    return {"slot": effect.slot, "part": effect.part, "against": effect.against, **ratio}


def _next(data: Dataset, entries: Path, at: At) -> list[str]:
    known, kept = KnownEntries(entries), KeptBench.of(entries)
    waiting = planned_tests(known.tests_of([at.wearer]), at.day, at.mask)
    if kept.worn is not None:
        try:
            return [say("evening.next_worn", worn=_label(data, at.mask, worn(known, kept.worn)))]
        except UnclearError as error:
            return [str(error)]
    if not waiting:
        before = last_worn(kept, known, at.mask, at.wearer)
        return [] if before is None else [say("evening.next_same", worn=_label(data, at.mask, before))]
    label = _label(data, at.mask, waiting[0].test.configuration)
    left = count("planned", len(waiting))
    if (place := place_on_sheet(entries / waiting[0].path)) is None:
        return [say("evening.next", worn=label, left=left)]
    number, of, specimen = place
    return [say("evening.next_of_sheet", worn=label, left=left, number=number, of=of, specimen=specimen)]


def _label(data: Dataset, mask: str, configuration: Slots) -> str:
    return change_label(data, configuration_id(mask, configuration).partition("+")[2])
