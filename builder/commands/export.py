"""`sealbook export`: the open data as files, with what programs and people need to use them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from builder.commands.options import dataset, entries_option
from builder.commands.saving import check_free, save


@click.command("export", epilog="Example: sealbook export /tmp/open-data")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@entries_option
def command(*, folder: Path, entries: Path) -> None:
    """Write the open data into DIR, which must be new or empty.

    Tests, configurations, what these were like to wear, contrasts and predictions as CSV and JSON (and Parquet where
    pyarrow is installed), with a Data Package that describes them, licence and citation. Either all of it is written or
    nothing.
    """
    from builder.findings.dataset import UNNAMED
    from builder.findings.open_tables import open_tables
    from builder.home.own_name import name_beside
    from builder.words.opendata.about import About
    from builder.words.opendata.files import open_files
    from builder.words.opendata.formats import can_write_parquet
    from builder.words.predictions import no_model_sentence

    _check_free(folder, entries)
    data = replace(dataset(entries), name=name_beside(entries) or UNNAMED)
    files = list(open_files(About.of(data), open_tables(data), parquet=can_write_parquet()))
    save(folder, dict(files))
    click.echo(f"{len(files)} files in {folder}: {', '.join(path for path, _ in files)}.")
    if data.no_model is not None:
        click.echo(f"No predictions: {no_model_sentence(data.no_model)}")


def _check_free(folder: Path, entries: Path) -> None:
    check_free(folder)
    if folder.resolve().is_relative_to(entries.resolve()):
        raise click.UsageError(f"{folder} lies in the entries folder, where nothing but entries may be.")
