"""`sealbook add`: a table of tests, a row a donning, becomes entries: all of them or none."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.options import entries_option

if TYPE_CHECKING:
    from builder.records.corrections import Correction, Differing
    from builder.records.csv_tables import TableProblems
    from builder.records.csv_tests import DonningRow
    from builder.records.problems import Problem
    from builder.records.written_dates import DayOrder


def _show_header(ctx: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not ctx.resilient_parsing:
        from builder.records.csv_tests import COLUMNS

        click.echo(",".join(COLUMNS))
        ctx.exit()


@click.command(
    "add", epilog="Example: sealbook add --header > tests.csv, fill in a row a donning, sealbook add tests.csv"
)
@click.argument("file", metavar="FILE.csv", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--header",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_show_header,
    help="Print the first row of such a table, and do nothing else.",
)
@click.option(
    "--dates",
    type=click.Choice(["day-first", "month-first"]),
    help="How to read dates such as 12/9/2026, where no other date of the table tells.",
)
@click.option(
    "--decimal",
    type=click.Choice(["point", "comma"]),
    help="The decimal mark of numbers such as 1,234, where no other number of the table tells.",
)
@click.option(
    "--differing",
    type=click.Choice(["correct", "add"]),
    help="What a row is that differs from a test of its wearer, mask and day: its correction, or one more donning.",
)
@entries_option
def command(
    *, file: Path, dates: DayOrder | None, decimal: str | None, differing: Differing | None, entries: Path
) -> None:
    """Add a test for each row of a table, all of them or none.

    The columns are the keys of a test, in any order; --header prints them. Needed are mask, date, contributor, wearer,
    facial_hair, protocol and fit_factor, or a column for each exercise; other columns and values may be missing. Yes
    and no are written so, places that leak are joined by +, a reading that is a lower limit as >500. Columns may be
    parted by semicolons or tabs, numbers have decimal commas, dates be written as 12.9.2026 or 12 Sep 2026.

    The face of a wearer is filled in from earlier tests or from another row. A row that is there already, with the same
    wearer, configuration, day and result, is not added again. A table handed in again with a row put right corrects
    that test and says which keys; a column test names it by its id where that is not clear.
    """
    from builder.commands.saving import save
    from builder.records.checking import check_new
    from builder.records.csv_tables import TableProblems
    from builder.records.csv_tests import TableHabits, read_tests
    from builder.records.known_entries import KnownEntries
    from builder.records.problems import printable
    from builder.records.table_additions import additions

    rows, problems = read_tests(file, TableHabits(dates, decimal))
    added = additions(KnownEntries(entries), rows, problems, differing)
    warnings = TableProblems()
    by_path = {(entries / path).as_posix(): row for path, row in added.rows.items()}
    for problem in check_new(entries, added.texts, gone=added.instead_of.values()) if added.texts else ():
        _note(problem, by_path, problems, warnings)
    if warnings.total:
        click.echo(f"Warnings:\n{warnings.as_text(file)}", err=True)
    if problems.total:
        click.echo(f"{problems.as_text(file)}\nNothing was written.", err=True)
        raise click.exceptions.Exit(1)
    save(entries, added.texts, added.instead_of)
    for path in added.texts:
        place = printable((entries / path).as_posix())
        if correction := added.corrections.get(path):
            click.echo(f"corrected {place}: {_changed(correction)}")
        else:
            click.echo(f"wrote {place}")
    corrected = f"{len(added.corrections)} corrected, " if added.corrections else ""
    click.echo(f"{len(added.texts) - len(added.corrections)} added, {corrected}{added.same} already there")


def _changed(correction: Correction) -> str:
    """Say which keys of a test change, and how."""
    from builder.records.key_changes import key_changes

    changes = key_changes(correction.record.test, correction.test)
    return ", ".join(f"{key.key} {key.before or 'not there'} → {key.after or 'not there'}" for key in changes)


def _note(problem: Problem, rows: Mapping[str, DonningRow], problems: TableProblems, warnings: TableProblems) -> None:
    """Note what the checker found in a new entry at its row and column, in an old one with its path."""
    noted = problems if problem.severity == "error" else warnings
    if row := rows.get(problem.path):
        noted.add(row.number, row.column_of(problem.key), problem.problem, problem.remedy)
    else:
        noted.add(0, "", f"{problem.path}:{problem.line} {problem.problem}", problem.remedy)
