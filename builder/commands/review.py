"""`sealbook review`: what a pull request changes, in the entries and in the published figures."""

from __future__ import annotations

from pathlib import Path

import click

from builder.commands.options import entries_option, format_option


@click.command("review", epilog="Example: sealbook review origin/main >> summary.md")
@click.argument("base")
@click.option("--head", metavar="REV", help="Review this revision instead of the work tree.")
@entries_option
@format_option("Markdown for the page of a pull request, or for programs.")
def command(*, base: str, head: str | None, entries: Path, form: str) -> None:
    """Say what changes from BASE on: entries, published figures, and what looks odd.

    BASE and REV are revisions that git knows. What BASE gained since the two parted is left out. Nothing that a
    revision holds is run: fetch a stranger's branch and name it by --head, rather than check it out. Ends with 0
    where the entries can be published, with 1 where an error keeps them from it.
    """
    from builder.review import report
    from builder.review.markdown import as_markdown

    try:
        found = report.review(entries, base, head)
    except report.RevisionError as error:
        raise click.UsageError(str(error)) from None
    click.echo(report.as_json(found) if form == "json" else as_markdown(found), nl=form == "json")
    if found.has_errors:
        raise click.exceptions.Exit(1)
