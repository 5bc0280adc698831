"""`sealbook counts`: from the log of a particle counter to fit factors, a chart, an entry."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.commands.entering import enter, field_options, refuse, texts_of
from builder.commands.options import format_option, put_in_order
from builder.commands.text_columns import in_columns
from builder.fit.levels import SHOWN_LEVEL
from builder.records.models import Test

if TYPE_CHECKING:
    from builder.commands.counted_log import CountedLog
    from builder.fit.counts.counting import CountedFitFactor
    from builder.fit.counts.run_log import RunLog
    from builder.fit.counts.run_result import RunResult

COMPUTED = ("fit_factor", "at_least")
"""Fields of a test that come from the counts."""

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
semicolons or tabs, decimal point or comma, lines above the header, further columns, in UTF-8, UTF-16 or Latin-1. The
contribute page of the site lists all ways that are read. What is passed over, such as totals below the readings, or
left out, such as a cell with n/a, is said.

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
@format_option()
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
    from builder.commands.counted_log import read_run
    from builder.records.csv_tables import TableProblems
    from builder.records.logs.log_text import STANDARD_INPUT

    _check_usage(file, chart, texts_of(Test, values), entries, force=force, wanted=wanted)
    name = "standard input" if str(file) == STANDARD_INPUT else file.name
    found = read_run(
        file, values.get("instrument"), schedule, column=column, purge_ambient=purge_ambient, purge_mask=purge_mask
    )
    if isinstance(found, TableProblems):
        click.echo(
            found.as_json() if form == "json" else found.as_text(file if name == file.name else Path(name)),
            err=form == "text",
        )
        raise click.exceptions.Exit(1)
    click.echo(_as_json(found.log, found.result) if form == "json" else _as_text(found.log, found.result))
    if chart:
        from builder.commands.counts_chart import chart_page

        _write_chart(chart, chart_page(found.log, found.result, name))
    if wanted:
        _enter(entries, found, values, err=form == "json")


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


def _enter(entries: Path, found: CountedLog, values: dict[str, Any], *, err: bool) -> None:
    from builder.commands.asking import at_terminal, completed, meant
    from builder.records.bench_takes import answers_of, placed
    from builder.records.entry_keys import fields_of
    from builder.records.from_texts import build
    from builder.records.known_entries import KnownEntries, with_known_faces

    known, texts = KnownEntries(entries), found.texts(meant(Test, texts_of(Test, values)))
    if at_terminal():
        texts = completed(texts, {field.name for field in fields_of(Test) if field.needed}, known)
    test = build(Test, texts, {"result": found.measured})
    if isinstance(test, list):
        raise refuse(test, Test)
    earlier = known.tests_of([test.face.wearer])
    [test] = with_known_faces([test], earlier)
    path, test, instead_of = placed(known, test, earlier)
    enter(entries, {path: test}, err=err, answers=answers_of(test), instead_of=instead_of)
