"""`sealbook check`: every problem of every file at once."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.options import entries_option, memory
from builder.commands.saving import not_written

if TYPE_CHECKING:
    from builder.records.problems import Problem


@click.command("check", epilog="Example: sealbook check entries/tests/drum-cup --format github")
@click.argument("paths", nargs=-1, metavar="[PATH]...", type=click.Path(exists=True, path_type=Path))
@entries_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "github"]),
    default="text",
    show_default=True,
    help="For people, for programs, or as remarks in a pull request, with the text for people in its log.",
)
@click.option("--fix", is_flag=True, help="First correct what can be corrected safely, and say what was done.")
def command(*, paths: tuple[Path, ...], entries: Path, form: str, fix: bool) -> None:
    """Check every entry, or only the files at or below each PATH.

    Ends with 0 where nothing is wrong (warnings and planned tests are not), with 1 where something is.
    """
    from builder.home.editor_schemas import keep_current
    from builder.records import problems as printing
    from builder.records.checking import concerning
    from builder.records.fixing import fix_entries
    from builder.records.remembered import Examination

    inside = [_inside(entries, path) for path in paths]
    keep_current(entries)
    if fix:
        try:
            fixes = fix_entries(entries, inside)
        except OSError as error:
            raise not_written(error) from error
        for done in fixes:
            click.echo(f"{printing.printable(str(entries / done.path))}: {done.what}", err=form == "json")
        places = {done.path: done.now for done in fixes}
        inside = [places.get(path, path) for path in inside]
    examined = Examination.of(entries, memory())
    problems, files = concerning(examined.problems, inside), examined.files(inside)
    match form:
        case "json":
            click.echo(printing.as_json(problems))
        case "github":
            _echo_lines(printing.as_github(problems), printing.as_log(problems), _total(problems, files))
        case _:
            _echo_lines(printing.as_text(problems), _total(problems, files))
    if any(problem.severity == "error" for problem in problems):
        raise click.exceptions.Exit(1)


def _inside(entries: Path, path: Path) -> str:
    """Give a path relative to the entries folder. Links are not followed: they are problems, not places."""
    try:
        relative = Path(os.path.abspath(path)).relative_to(os.path.abspath(entries))  # noqa: PTH100
    except ValueError:
        raise click.UsageError(f"{path} does not lie in the entries folder {entries}.") from None
    return "" if relative == Path() else relative.as_posix()


def _total(problems: list[Problem], files: int) -> str:
    from builder.words.catalogue import count

    wrong = [problem for problem in problems if problem.severity != "note"]
    notes = len(problems) - len(wrong)
    planned = f", {count('planned', notes)}" if notes else ""
    if not wrong:
        return f"{count('file', files)}, no problems{planned}"
    total = f"{count('problem', len(wrong))} in {count('file', len({p.path for p in wrong}))}"
    warnings = sum(problem.severity == "warning" for problem in wrong)
    return f"{total} ({count('warning', warnings)}){planned}" if warnings else f"{total}{planned}"


def _echo_lines(*texts: str) -> None:
    for text in filter(None, texts):
        click.echo(text)
