"""`sealbook demo`: invented entries of any size, to try things out on."""

from __future__ import annotations

from pathlib import Path

import click

from builder import demo
from builder.commands.saving import check_free, save


@click.command("demo", epilog="Example: sealbook demo /tmp/bench --tests 5000 --wearers 100 --masks 40 --seed 3")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--tests", type=click.IntRange(min=0), default=demo.TESTS, show_default=True, help="How many tests.")
@click.option("--wearers", type=click.IntRange(min=1), default=demo.WEARERS, show_default=True, help="How many faces.")
@click.option("--masks", type=click.IntRange(min=1), default=demo.MASKS, show_default=True, help="How many masks.")
@click.option("--configurations", type=click.IntRange(min=1), help="How many masks with and without changed parts.")
@click.option("--seed", type=click.IntRange(min=0), default=demo.SEED, show_default=True, help="Same seed, same files.")
def command(*, folder: Path, tests: int, wearers: int, masks: int, configurations: int | None, seed: int) -> None:
    """Write invented entries into DIR, which must be new or empty.

    Every file says `invented = true`. The same numbers and seed give the same files.
    """
    from builder.demo.scenario import generate
    from builder.records.toml_text import to_toml

    check_free(folder)
    try:
        entries = generate(tests, wearers, masks, seed, configurations)
    except ValueError as error:
        raise click.UsageError(f"{str(error)[:1].upper()}{str(error)[1:]}.") from error
    texts = {path: to_toml(record) for path, record in entries}
    save(folder, texts)
    parts = len(texts) - masks - tests
    click.echo(f"{len(texts)} invented entries in {folder} (masks {masks}, parts {parts}, tests {tests}).")
