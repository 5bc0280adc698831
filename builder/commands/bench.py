"""`sealbook bench`: one evening at the counter, from a figure or a log to the verdict in one short call."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.commands.asking import understood
from builder.commands.bench_take import (
    At,
    Bench,
    Taken,
    keep,
    make_take,
    missing,
    remembered,
)
from builder.commands.entering import field_options, texts_of
from builder.commands.exercise_options import exercise_option, exercises_of
from builder.commands.last_take import noted, taken_back
from builder.commands.options import day_option, entries_option, format_option, memory
from builder.commands.saving import not_written
from builder.records.bench_takes import ANSWERS, AS_SOLD, planned_tests, worn
from builder.records.entry_keys import fields_of
from builder.records.file_names import test_of
from builder.records.kept_bench import KeptBench, KeptBenchError, bench
from builder.records.known_entries import KnownEntries
from builder.records.models import Test
from builder.records.problems import printable
from builder.records.typed_answers import UnclearError, fit_factor_typed
from builder.records.vocabulary import Slot

if TYPE_CHECKING:
    from builder.commands.counted_log import CountedLog
    from builder.records.known_reads import KnownReads

COMPUTED = ("fit_factor", "at_least", "date", "order", *(slot.value for slot in Slot))
"""Fields of a test that come from the take itself, from --date and from --change."""

EPILOG = f"""\b
sealbook bench 64 --change broad-strip     a take with a part changed; its name may be cut short
sealbook bench 31,5 --change {AS_SOLD}
sealbook bench run.csv                     a take from the counter's log
sealbook bench '200+'                      at least 200
sealbook bench --leaks nose --comfort 4    noted of the last take
sealbook bench --set-aside 'hose came off' the last take does not count
sealbook bench --undo                      the last take is taken back
sealbook bench                             how the evening stands, and what comes next
sealbook bench --watch ~/counter           every log saved there becomes the next take

\b
Contributor, wearer, mask, protocol and instrument stay as they were until they are given anew. Without --change
it is the next donning of the run sheet (`sealbook plan --write`), else what was worn last.

Example: sealbook bench 64 --change broad-strip
"""


@click.command("bench", epilog=EPILOG)
@click.argument("take", required=False, metavar="[FIT_FACTOR|LOG]")
@click.option(
    "--change",
    "changes",
    multiple=True,
    metavar="PART",
    help=f"A part that differs from the mask as sold, or SLOT=PART; SLOT=none for one taken out; {AS_SOLD} for "
    "nothing changed. Once for each. Without a take it is what will be worn next.",
)
@exercise_option
@click.option("--schedule", metavar="ID|LIST", help="When what was sampled, for a log without phases.")
@click.option("--column", default="", metavar="NAME", help="The column of a log to read.")
@click.option("--undo", is_flag=True, help="Take the last take back.")
@click.option(
    "--watch",
    "watched",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    metavar="FOLDER",
    help="Make every log that is saved in FOLDER the next take, until Ctrl-C.",
)
@day_option("Day of the evening.  [default: today]")
@field_options(Test, without=COMPUTED)
@entries_option
@format_option("How to print; JSON is a line a take.")
def command(
    *,
    take: str | None,
    changes: tuple[str, ...],
    exercises: tuple[str, ...],
    schedule: str | None,
    column: str,
    undo: bool,
    watched: Path | None,
    day: date,
    entries: Path,
    form: str,
    **values: Any,
) -> None:
    """Keep one evening at the counter: each take becomes an entry at once, and the verdict comes with it.

    FIT_FACTOR is a number, LOG a file from the counter. Nothing is lost when the evening is broken off.
    """
    if sum((undo, watched is not None, take is not None or bool(exercises))) > 1:
        raise click.UsageError("One thing at a time: a take, --undo or --watch.")
    asked = Bench(entries, day, changes, _texts(entries, values), form)
    try:
        if undo:
            gone, aside = taken_back(asked)
            click.echo(f"took back {gone}, which is kept as {aside}", err=True)
            _show(replace(asked, changes=(), texts=()))
        elif watched is not None:
            _watch(asked, watched, schedule, column)
        elif take is not None or exercises:
            _take(asked, take, exercises, schedule, column)
        elif any(name not in ANSWERS for name, _ in asked.texts):
            _say(asked, noted(asked))
        else:
            _show(asked)
    except (KeptBenchError, UnclearError) as error:
        raise click.UsageError(str(error)) from None
    except OSError as error:
        if error.filename is None:  # not of a file: what it says cannot be printed, and the take is written
            raise
        raise not_written(error) from error


def _texts(entries: Path, values: dict[str, Any]) -> tuple[tuple[str, str], ...]:
    """Read the options as they were meant."""
    fields = {field.name: field for field in fields_of(Test)}
    ids = {"mask": KnownEntries(entries).ids("mask")}
    try:
        return tuple((name, understood(fields[name], t, ids.get(name, ()))) for name, t in texts_of(Test, values))
    except UnclearError as error:
        raise click.UsageError(str(error)) from None


def _take(asked: Bench, take: str | None, exercises: tuple[str, ...], schedule: str | None, column: str) -> None:
    if exercises and take is not None:
        raise click.UsageError("A take has either a fit factor or log, or --exercise.")
    if exercises:
        taken = make_take(asked, {"exercise": exercises_of(exercises)})
    elif Path(str(take)).is_file():
        found = _counted(asked, Path(str(take)), schedule, column)
        taken = make_take(asked, found.measured, found)
    else:
        try:
            value, at_least = fit_factor_typed(str(take))
        except UnclearError as error:
            raise click.UsageError(f"{printable(str(take))} is neither a file nor a fit factor. {error}") from None
        taken = make_take(asked, {"fit_factor": float(value), **({"at_least": True} if at_least else {})})
    _say(asked, taken)


def _counted(asked: Bench, file: Path, schedule: str | None, column: str) -> CountedLog:
    from builder.commands.counted_log import read_run
    from builder.records.csv_tables import TableProblems

    kept = KeptBench.of(asked.entries)
    instrument = asked.said("instrument") or kept.answers.get("instrument")
    found = read_run(file, instrument, schedule, column=column)
    if isinstance(found, TableProblems):
        click.echo(found.as_text(file), err=True)
        raise click.exceptions.Exit(1)
    return found


def _say(asked: Bench, taken: Taken, reads: KnownReads | None = None) -> None:
    face = taken.test.face
    test = test_of(taken.path)
    click.echo(f"wrote {printable((asked.entries / taken.path).as_posix())}", err=True)
    _tell(asked, At(face.wearer, face.facial_hair.value, taken.test.mask, asked.day, test, taken.order), reads)


def _tell(asked: Bench, at: At, reads: KnownReads | None = None) -> None:
    """Say how the evening stands."""
    from builder.commands.bench_evening import evening_json, evening_text, standing

    stands = standing(asked.entries, at, memory(), reads)
    if asked.form == "json":
        click.echo(evening_json(asked.entries, at, stands))
    else:
        click.echo(evening_text(asked.entries, at, stands) or f"{at.mask} on {at.wearer}: no take yet.")


def _show(asked: Bench) -> None:
    """Say how the evening stands; what was given is remembered for the next take."""
    known = KnownEntries(asked.entries)
    if asked.changes or asked.texts:
        with bench(asked.entries) as kept:
            answers = remembered(asked, kept, known)
            if asked.changes:
                worn(known, asked.changes)
            keep(asked.entries, replace(kept, answers=answers, worn=asked.changes or kept.worn))
    else:
        answers = remembered(asked, KeptBench.of(asked.entries), known)
    if not {"wearer", "mask"} <= answers.keys():
        click.echo("Nothing is known of this evening yet. Begin with a take: sealbook bench 64 --change " + AS_SOLD)
        return
    hair = answers.get("facial_hair", "none")
    _tell(asked, At(answers["wearer"], hair, answers["mask"], asked.day))


def _watch(asked: Bench, folder: Path, schedule: str | None, column: str) -> None:
    from builder.commands.watching import Watch, watch
    from builder.records.known_reads import KnownReads
    from builder.records.watched_folder import WatchedFolder

    with bench(asked.entries) as kept:
        known = KnownEntries(asked.entries)
        answers = remembered(asked, kept, known)
        if asked.changes:
            worn(known, asked.changes)
        tests = known.tests_of([answers["wearer"]]) if "wearer" in answers else []
        waiting = planned_tests(tests, asked.day, answers.get("mask", ""))
        if waiting:
            answers.setdefault("protocol", waiting[0].test.result.protocol.value)
        answers |= missing(asked, answers, known, kept)
        if not asked.changes and kept.worn is None and not kept.takes and not waiting:
            raise click.UsageError(f"Nothing says what is worn: --change {AS_SOLD}, or --change PART for each part.")
        keep(asked.entries, replace(kept, answers=answers, worn=asked.changes or kept.worn))
    rest = tuple((name, text) for name, text in asked.texts if name not in ANSWERS or name == "protocol")
    later, reads = replace(asked, changes=(), texts=rest), KnownReads()
    watch(Watch(later, WatchedFolder(folder), schedule, column, lambda taken: _say(later, taken, reads)))
