"""`sealbook add`: a table of tests, a row a donning, becomes entries: all of them or none."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.options import entries_option

if TYPE_CHECKING:
    from builder.records.csv_tables import TableProblems
    from builder.records.csv_tests import DonningRow
    from builder.records.problems import Problem


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
@entries_option
def command(*, file: Path, entries: Path) -> None:
    """Add a test for each row of a table, all of them or none.

    The columns are the keys of a test; --header prints them. Needed are mask, date, contributor, wearer, facial_hair,
    protocol and fit_factor; other columns and values may be missing. Yes and no are written so, places that leak are
    joined by +. The face of a wearer is filled in from earlier tests or from another row. A row that is there
    already, with the same wearer, configuration, day and result, is not added again.
    """
    from builder.commands.entering import save_entries
    from builder.records.checking import check_new
    from builder.records.csv_tables import TableProblems
    from builder.records.csv_tests import DonningRow, only_new, read_tests
    from builder.records.known_entries import KnownEntries, with_known_faces
    from builder.records.toml_text import to_toml

    rows, problems = read_tests(file)
    known = KnownEntries(entries)
    there = known.tests_of({row.test.face.wearer for row in rows})
    tests = with_known_faces([row.test for row in rows], there)
    new = only_new([DonningRow(row.number, test) for row, test in zip(rows, tests, strict=True)], there)
    paths = dict(zip(known.places([row.test for row in new]), new, strict=True))
    texts = {path: to_toml(row.test) for path, row in paths.items()}
    warnings = TableProblems()
    for problem in check_new(entries, texts) if texts else ():
        _note(problem, {(entries / path).as_posix(): row for path, row in paths.items()}, problems, warnings)
    if warnings.total:
        click.echo(f"Warnings:\n{warnings.as_text(file)}", err=True)
    if problems.total:
        click.echo(f"{problems.as_text(file)}\nNothing was written.", err=True)
        raise click.exceptions.Exit(1)
    save_entries(entries, texts)
    click.echo(f"{len(new)} added, {len(rows) - len(new)} already there")


def _note(problem: Problem, rows: Mapping[str, DonningRow], problems: TableProblems, warnings: TableProblems) -> None:
    """Note what the checker found in a new entry at its row and column, in an old one with its path."""
    from builder.records.entry_keys import name_of
    from builder.records.models import Test

    noted = problems if problem.severity == "error" else warnings
    if row := rows.get(problem.path):
        noted.add(row.number, name_of(Test, problem.key), problem.problem, problem.remedy)
    else:
        noted.add(0, "", f"{problem.path}:{problem.line} {problem.problem}", problem.remedy)
