"""A run that was read from a log, and what an entry takes from it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import click

from builder.fit.counts.counting import GRIMACE, SampledPhase
from builder.fit.counts.doubts import MOST_SAMPLED_CM3
from builder.fit.counts.run_log import NO_PURGE, Purge, RunLog
from builder.fit.counts.run_result import RunResult, run_result
from builder.fit.counts.schedule import RunSchedule
from builder.records.count_logs import read_counts
from builder.records.csv_tables import TableProblems
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_said import EXERCISES
from builder.records.logs.log_text import log_file
from builder.records.logs.schedules import is_protocol, schedule_of
from builder.records.nearest_words import plain
from builder.records.rules.ambient_level import SAMPLED_CM3
from builder.records.vocabulary import PROTOCOL_TIMES, PURGE_AMBIENT_S, PURGE_MASK_S

MOST_NOTES = 2000
"""Characters that notes may have."""


@dataclass(frozen=True)
class CountedLog:
    """A log as it was read with what came out of it, and the schedule that cut it, if one did."""

    log: RunLog
    result: RunResult
    schedule: str | None

    @property
    def measured(self) -> dict[str, object]:
        """What was counted; the fit factor alone where that was no number of particles, or showed none of them."""
        overall = self.result.fit.overall
        if self.log.by_weight or (overall.at_least and not self.log.counted):
            return {"fit_factor": overall.fit_factor, "at_least": overall.at_least}
        return {"counts": [_count(phase) for phase in self.result.phases]}

    @property
    def protocol(self) -> str | None:
        """The protocol of the schedule, else the one whose exercises these are; the grimace may be missing."""
        if self.schedule and is_protocol(self.schedule):
            return plain(self.schedule)
        done = Counter(found.exercise for found in self.result.fit.exercises if found.exercise != GRIMACE)
        for protocol, timing in PROTOCOL_TIMES.items():
            if done == Counter(step.exercise.value for step in timing.steps if step.exercise != GRIMACE):
                return protocol.value
        return None

    def texts(self, given: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
        """Add to the texts of an entry the protocol, where none is given, and to its notes what was warned of."""
        texts = list(given)
        if "protocol" not in dict(texts) and (protocol := self.protocol):
            texts.append(("protocol", protocol))
        if warned := " ".join(filter(None, (dict(texts).get("notes", "").strip(), *self.result.warnings)))[:MOST_NOTES]:
            texts = [(name, text) for name, text in texts if name != "notes"] + [("notes", warned)]
        return texts


def read_run(
    file: Path,
    instrument: str | None,
    schedule: str | None,
    *,
    column: str = "",
    purge_ambient: float | None = None,
    purge_mask: float | None = None,
) -> CountedLog | TableProblems:
    """Read a log, `-` for standard input, and work out its fit factors; or give all that is wrong with it.

    Raises a usage error for a schedule that cannot be read.
    """
    planned, purge = schedule_and_purge(schedule, purge_ambient, purge_mask)
    with log_file(file) as kept:
        log = read_counts(kept, purge, column, planned)
    if isinstance(log, TableProblems):
        return log
    try:
        return CountedLog(log, run_result(log, EXERCISES, sampled_cm3_of(instrument)), schedule)
    except ValueError as error:
        return TableProblems.of(
            str(error), log_message("no_scheduled_fit_factor_remedy" if planned else "no_fit_factor_remedy")
        )


def sampled_cm3_of(instrument: str | None) -> float:
    """Give the air that the instrument samples in half a minute, the most that any does where it is not told."""
    known = {kind.value: sampled for kind, sampled in SAMPLED_CM3.items()}
    return known.get(instrument or "", MOST_SAMPLED_CM3)


def schedule_and_purge(
    schedule: str | None, purge_ambient: float | None, purge_mask: float | None
) -> tuple[RunSchedule | None, Purge]:
    """Give the schedule and what is dropped beside it: a protocol's schedule has its own purge, or the one given."""
    dropped = Purge(purge_ambient or 0.0, purge_mask or 0.0)
    if schedule is None:
        return None, dropped
    usual = Purge(
        PURGE_AMBIENT_S if purge_ambient is None else purge_ambient, PURGE_MASK_S if purge_mask is None else purge_mask
    )
    try:
        return schedule_of(schedule, usual), NO_PURGE if is_protocol(schedule) else dropped
    except ValueError as error:
        raise click.UsageError(f"--schedule: {error}") from None


def _count(phase: SampledPhase) -> dict[str, object]:
    """Write a phase as a stretch of `[[result.counts]]`."""
    measure: dict[str, object] = (
        {"concentration": phase.concentration} if phase.particles is None else {"particles": int(phase.particles)}
    )
    exercise = {"exercise": phase.exercise} if phase.exercise else {}
    return {"phase": phase.kind, **exercise, "seconds": phase.seconds, **measure}
