"""`sealbook new`: a new test, mask or part file, asking only for what is needed."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import click

from builder.commands.asking import asked_for, completed, meant
from builder.commands.entering import enter, field_options, refuse, texts_of
from builder.commands.exercise_options import exercise_option, exercises_of
from builder.commands.options import entries_option
from builder.records.bench_takes import answers_of, placed
from builder.records.entry_keys import fields_of
from builder.records.file_names import bad_name, id_from
from builder.records.from_texts import EntryT, build
from builder.records.known_entries import KnownEntries, with_known_faces
from builder.records.models import Mask, Part, Test, configuration_id


@click.group("new", epilog="Example: sealbook new test --mask brodipim --wearer blue-heron --nose-wire broad-strip")
def command() -> None:
    """Make the file of a new test, mask or part, asking only for what is needed."""


@command.command(
    "test",
    epilog="Example: sealbook new test --mask brodipim --date 2024-05-18 --contributor grey-bench --wearer blue-heron "
    "--facial-hair none --protocol short-four-exercise --exercise bending-over=80 --exercise talking=64 "
    "--exercise head-side-to-side=120 --exercise head-up-and-down=200+",
)
@field_options(Test)
@exercise_option
@entries_option
def new_test(*, entries: Path, exercises: tuple[str, ...], **values: Any) -> None:
    """Write a new test. The face of a wearer who was tested before is filled in."""
    known, given = KnownEntries(entries), meant(Test, texts_of(Test, values))
    needed = {field.name for field in fields_of(Test) if field.needed} | (set() if exercises else {"fit_factor"})
    texts = completed(given, needed, known)
    test = build(Test, texts, {"result": {"exercise": exercises_of(exercises)}} if exercises else None)
    if isinstance(test, list):
        raise refuse(test, Test)
    earlier = known.tests_of([test.face.wearer])
    [test] = with_known_faces([test], earlier)
    path, test, instead_of = placed(known, test, earlier)
    enter(entries, {path: test}, answers=answers_of(test), instead_of=instead_of)
    click.echo(f"{configuration_id(test.mask, test.configuration)} on {test.face.wearer}")


ID_HELP = "Its id, which is the name of its file; made from its name where it is left out."


@command.command(
    "mask", epilog="Example: sealbook new mask --model Drum --maker 'Example Works' --style cup --class ffp2"
)
@click.option("--id", "own_id", metavar="ID", help=ID_HELP)
@field_options(Mask)
@entries_option
def new_mask(*, entries: Path, own_id: str | None, **values: Any) -> None:
    """Write a new mask. A model sold in several sizes has one a size."""
    mask, texts = _built(Mask, entries, values)
    _enter_at("masks", own_id or id_from(f"{texts['model']} {texts.get('size', '')}"), mask, entries)


@command.command(
    "part",
    epilog="Example: sealbook new part --name 'Thin foam' --slot nose-foam --material polyurethane "
    "--fitting 'Glued inside the upper edge.' --can-be-undone",
)
@click.option("--id", "own_id", metavar="ID", help=ID_HELP)
@field_options(Part)
@entries_option
def new_part(*, entries: Path, own_id: str | None, **values: Any) -> None:
    """Write a new part, which fills a slot of a mask."""
    part, texts = _built(Part, entries, values)
    _enter_at("parts", own_id or id_from(texts["name"]), part, entries)


def _built(model: type[EntryT], entries: Path, values: dict[str, Any]) -> tuple[EntryT, dict[str, str]]:
    texts = meant(model, texts_of(model, values))
    needed = [field for field in fields_of(model) if field.needed]
    texts += asked_for(model, needed, {name for name, _ in texts}, ids={}, last={})
    entry = build(model, texts)
    if isinstance(entry, list):
        raise refuse(entry, model)
    return entry, dict(texts)


def _enter_at(folder: str, own_id: str, entry: Mask | Part, entries: Path) -> None:
    if wrong := bad_name(folder.removesuffix("s"), own_id):
        raise click.BadParameter(f"{wrong.problem} {wrong.remedy}", param_hint="--id")
    path = f"{folder}/{own_id}.toml"
    if os.path.lexists(entries / path):
        raise click.UsageError(f"{entries / path} is there already; nothing was written.")
    enter(entries, {path: entry})
