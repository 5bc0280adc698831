"""`sealbook counts`: from the log of a particle counter to fit factors, a chart, an entry."""

from __future__ import annotations

import json
import math
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.commands.entering import enter, field_options, refuse, texts_of
from builder.commands.options import put_in_order
from builder.commands.text_columns import in_columns
from builder.fit.levels import SHOWN_LEVEL
from builder.records.models import Test

if TYPE_CHECKING:
    from builder.fit.counts.counting import CountedFitFactor, SampledPhase
    from builder.fit.counts.run_log import Purge, RunLog
    from builder.fit.counts.run_result import RunResult
    from builder.fit.counts.schedule import RunSchedule

COMPUTED = ("fit_factor", "at_least")
"""Fields of a test that come from the counts."""

MOST_NOTES = 2000
"""Characters that notes may have."""

SECONDS = click.FloatRange(min=0, max=3600)

EPILOG = """\b
The columns, named above the first row, in any order:
  seconds        time at the end of the row's interval: in seconds or minutes,
                 as clock time, or as date and time
  phase          ambient (room air), mask, or purge (while the hose is flushed)
  exercise       for mask rows, such as talking; may be empty
  particles      particles counted in the interval, a whole number
  concentration  or, instead of particles, particles per cm³
  flow_cm3_s     beside concentration, if known: air sampled, cm³ a second

\b
seconds,phase,exercise,particles
1,ambient,,2010
2,ambient,,1987
3,purge,,310
4,mask,talking,24

Usual other names and units are understood too, such as Time (s), Conc. (#/cc), room, inside, bend: with commas,
semicolons or tabs, decimal point or comma, lines above the header, further columns, in UTF-8, UTF-16 or Latin-1.

A new phase or exercise begins a new stretch. Each stretch in the mask is set against the room air before and after it.

A log without phases is cut by --schedule, which is shifted to the step in the level where the log did not start with
it. A protocol's id stands for its published times, with 11 s of purge before the mask and 4 s before room air; look at
the chart whether the cut is right.

\b
Examples: sealbook counts run.csv --chart run.html
          sealbook counts run.csv --schedule short-four-exercise --chart run.html
"""


@click.command("counts", epilog=EPILOG)
@click.argument(
    "file", metavar="FILE.csv", type=click.Path(exists=True, dir_okay=False, allow_dash=True, path_type=Path)
)
@click.option(
    "--schedule",
    metavar="ID|LIST",
    help="When what was sampled, for a log without phases: a protocol's id, or a list such as "
    "'ambient 20, purge 11, mask talking 30, ambient 9'.",
)
@click.option("--column", default="", metavar="NAME", help="The column to read, where several could be the counts.")
@click.option("--purge-ambient", type=SECONDS, metavar="S", help="Drop the first S seconds of room air.")
@click.option("--purge-mask", type=SECONDS, metavar="S", help="Drop the first S seconds in the mask.")
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How to print."
)
@click.option("--chart", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE.html", help="Draw the run.")
@click.option("--force", is_flag=True, help="Let --chart write over a file.")
@click.option("--write", "wanted", is_flag=True, help="Make the entry, from the options below.")
@field_options(Test, without=COMPUTED)
@click.option(
    "--entries",
    type=click.Path(file_okay=False, path_type=Path),
    default="entries",
    show_default=True,
    metavar="DIR",
    callback=put_in_order,
    help="The folder that --write adds to.",
)
def command(
    *,
    file: Path,
    schedule: str | None,
    column: str,
    purge_ambient: float | None,
    purge_mask: float | None,
    form: str,
    chart: Path | None,
    force: bool,
    wanted: bool,
    entries: Path,
    **values: Any,
) -> None:
    """Work out the fit factors of a run from its particle counts.

    FILE.csv may be - for standard input. The overall fit factor is the harmonic mean of the exercises without the
    grimace. Intervals are those of counting alone: breathing, talking and re-donning scatter are not in them. No
    particle in the mask gives a lower limit.
    """
    from builder.fit.counts.run_result import run_result
    from builder.records.count_logs import read_counts
    from builder.records.csv_tables import TableProblems
    from builder.records.logs.log_messages import log_message
    from builder.records.logs.log_reading import EXERCISES
    from builder.records.logs.log_text import STANDARD_INPUT, log_file

    _check_usage(file, chart, texts_of(Test, values), entries, force=force, wanted=wanted)
    planned, purge = schedule_and_purge(schedule, purge_ambient, purge_mask)
    with log_file(file) as kept:
        log = read_counts(kept, purge, column, planned)
    name = "standard input" if str(file) == STANDARD_INPUT else file.name
    if not isinstance(log, TableProblems):
        try:
            result = run_result(log, EXERCISES, sampled_cm3_of(values.get("instrument")))
        except ValueError as error:
            log = TableProblems.of(
                str(error), log_message("no_scheduled_fit_factor_remedy" if planned else "no_fit_factor_remedy")
            )
    if isinstance(log, TableProblems):
        click.echo(
            log.as_json() if form == "json" else log.as_text(file if name == file.name else Path(name)),
            err=form == "text",
        )
        raise click.exceptions.Exit(1)
    click.echo(_as_json(log, result) if form == "json" else _as_text(log, result))
    if chart:
        from builder.commands.counts_chart import chart_page

        _write_chart(chart, chart_page(log, result, name))
    if wanted:
        _enter(entries, log, result, values, schedule, err=form == "json")


def _check_usage(
    file: Path, chart: Path | None, texts: list[tuple[str, str]], entries: Path, *, force: bool, wanted: bool
) -> None:
    """Refuse what cannot be done before a long log is read."""
    if wanted and not entries.is_dir():
        raise click.UsageError(f"There is no folder {entries} to add to.")
    if texts and not wanted:
        raise click.UsageError(f"Without --write there is no entry that could say {texts[0][0]}.")
    if chart and chart.exists() and (not force or (file.exists() and chart.samefile(file))):
        raise click.UsageError(f"{chart} is there already{'; --force writes over it' if not force else ''}.")


def sampled_cm3_of(instrument: str | None) -> float:
    """Give the air that the instrument samples in half a minute, the most that any does where it is not told."""
    from builder.fit.counts.doubts import MOST_SAMPLED_CM3
    from builder.records.rules.ambient_level import SAMPLED_CM3

    known = {kind.value: sampled for kind, sampled in SAMPLED_CM3.items()}
    return known.get(instrument or "", MOST_SAMPLED_CM3)


def schedule_and_purge(
    schedule: str | None, purge_ambient: float | None, purge_mask: float | None
) -> tuple[RunSchedule | None, Purge]:
    """Give the schedule and what is dropped beside it: a protocol's schedule has its own purge, or the one given."""
    from builder.fit.counts.run_log import NO_PURGE, Purge
    from builder.records.logs.schedules import is_protocol, schedule_of
    from builder.records.vocabulary import PURGE_AMBIENT_S, PURGE_MASK_S

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


def _as_json(log: RunLog, result: RunResult) -> str:
    masks = [phase for phase in result.phases if phase.kind == "mask"]
    exercises = [
        {
            "name": found.exercise,
            **_limits(found.result),
            "seconds": phase.seconds,
            "particles": None if phase.particles is None else int(phase.particles),
            "counted": found.counted,
        }
        for phase, found in zip(masks, result.fit.exercises, strict=True)
    ]
    printed = {**_limits(result.fit.overall), "exercises": exercises, "warnings": result.warnings}
    if log.cut:
        from builder.words.counted_run import cut_data

        printed["cut"] = cut_data(log)
    return json.dumps(printed, indent=1, ensure_ascii=False, allow_nan=False)


def _limits(found: CountedFitFactor) -> dict[str, object]:
    """Give a fit factor with its interval; a limit that is unknown or infinite is null."""
    low, high = (limit if math.isfinite(limit) else None for limit in (found.low95, found.high95))
    return {"fit_factor": found.fit_factor, "low95": low, "high95": high, "at_least": found.at_least}


def _as_text(log: RunLog, result: RunResult) -> str:
    from builder.words.bench_cautions import bench_cautions
    from builder.words.counted_run import cut_rows, cut_sentence, figures
    from builder.words.numbers import level

    rows = [("exercise", "fit factor", f"{level(SHOWN_LEVEL)} interval", "seconds", "particles"), *figures(result)]
    lines = in_columns(rows, right=True)
    lines += ["", "The interval is that of counting alone."]
    if log.cut:
        lines += ["", cut_sentence(log.cut), *in_columns(cut_rows(log), right=True)]
    lines += [f"Warning: {warning}" for warning in result.warnings]
    lines += ["", *bench_cautions()]
    return "\n".join(lines)


def _write_chart(path: Path, page: str) -> None:
    try:
        path.write_text(page, encoding="utf-8")
    except OSError as error:
        raise click.ClickException(f"{path} was not written: {error.strerror}.") from error
    click.echo(f"wrote {path}", err=True)


def _enter(
    entries: Path, log: RunLog, result: RunResult, values: dict[str, Any], schedule: str | None, *, err: bool
) -> None:
    from builder.records.from_texts import build
    from builder.records.known_entries import KnownEntries, with_known_faces

    texts = texts_of(Test, values)
    if "protocol" not in dict(texts) and (protocol := _protocol(result, schedule)):
        texts.append(("protocol", protocol))
    if warned := _notes(result, dict(texts).get("notes", "")):
        texts = [(name, text) for name, text in texts if name != "notes"] + [("notes", warned)]
    test = build(Test, texts, {"result": _measured(log, result)})
    if isinstance(test, list):
        raise refuse(test, Test)
    known = KnownEntries(entries)
    [test] = with_known_faces([test], known.tests_of([test.face.wearer]))
    enter(entries, {known.places([test])[0]: test}, err=err)


def _notes(result: RunResult, notes: str) -> str:
    """Add what was warned of to the notes, so that it stands beside the figure."""
    return " ".join(filter(None, (notes.strip(), *result.warnings)))[:MOST_NOTES]


def _protocol(result: RunResult, schedule: str | None) -> str | None:
    """Give the protocol of a schedule, else find the protocol whose exercises these are; the grimace may be missing."""
    from builder.fit.counts.counting import GRIMACE
    from builder.records.logs.schedules import is_protocol
    from builder.records.nearest_words import plain
    from builder.records.vocabulary import PROTOCOL_TIMES

    if schedule and is_protocol(schedule):
        return plain(schedule)
    done = Counter(found.exercise for found in result.fit.exercises if found.exercise != GRIMACE)
    for protocol, timing in PROTOCOL_TIMES.items():
        if done == Counter(step.exercise.value for step in timing.steps if step.exercise != GRIMACE):
            return protocol.value
    return None


def _measured(log: RunLog, result: RunResult) -> dict[str, object]:
    """Write what was counted; the fit factor alone where that was no number of particles, or showed none of them."""
    overall = result.fit.overall
    if log.by_weight or (overall.at_least and not log.counted):
        return {"fit_factor": overall.fit_factor, "at_least": overall.at_least}
    return {"counts": [_count(phase) for phase in result.phases]}


def _count(phase: SampledPhase) -> dict[str, object]:
    """Write a phase as a stretch of `[[result.counts]]`."""
    measure: dict[str, object] = (
        {"concentration": phase.concentration} if phase.particles is None else {"particles": int(phase.particles)}
    )
    exercise = {"exercise": phase.exercise} if phase.exercise else {}
    return {"phase": phase.kind, **exercise, "seconds": phase.seconds, **measure}
