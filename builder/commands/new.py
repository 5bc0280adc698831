"""`sealbook new`: a new test, mask or part file, asking only for what is needed."""

from __future__ import annotations

import os
import sys
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Any

import click

from builder.commands.entering import enter, field_options, refuse, texts_of
from builder.commands.options import entries_option
from builder.records.entry_keys import EntryKey, fields_of
from builder.records.file_names import bad_name, id_from
from builder.records.from_texts import EntryT, build
from builder.records.known_entries import KnownEntries, with_known_faces
from builder.records.models import Mask, Part, Test, configuration_id
from builder.records.nearest_words import nearest, plain

FACE = ("length_mm", "width_mm", "nose_bridge")
"""What is asked of a wearer who is in no test yet, and may be left out."""


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
@click.option(
    "--exercise",
    "exercises",
    multiple=True,
    metavar="NAME=FIT_FACTOR",
    help="The fit factor of one exercise, instead of the overall one; a + behind it means at least. Once for each.",
)
@entries_option
def new_test(*, entries: Path, exercises: tuple[str, ...], **values: Any) -> None:
    """Write a new test. The face of a wearer who was tested before is filled in."""
    known, texts = KnownEntries(entries), texts_of(Test, values)
    needed = [field for field in fields_of(Test) if field.needed]
    if not exercises:
        needed += _named(Test, ("fit_factor",))
    texts += _asked_for(Test, needed, texts, known)
    given = dict(texts)
    if _at_terminal() and given["wearer"] not in known.wearers and not given.keys() & {*FACE, "cell"}:
        texts += [(field.name, _ask(Test, field, optional=True)) for field in _named(Test, FACE)]
    test = build(Test, texts, {"result": {"exercise": [_exercise(text) for text in exercises]}} if exercises else None)
    if isinstance(test, list):
        raise refuse(test, Test)
    [test] = with_known_faces([test], known.tests_of([test.face.wearer]))
    enter(entries, {known.places([test])[0]: test})
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
    texts = texts_of(model, values)
    texts += _asked_for(model, [field for field in fields_of(model) if field.needed], texts, KnownEntries(entries))
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


def _named(model: type[Mask | Part | Test], names: Collection[str]) -> list[EntryKey]:
    return [field for field in fields_of(model) if field.name in names]


def _exercise(text: str) -> dict[str, object]:
    """Read `talking=120`, `talking=500+` (at least) or `grimace`. Raises click.BadParameter."""
    name, _, value = text.partition("=")
    exercise: dict[str, object] = {"name": plain(name)}
    if value:
        try:
            exercise["fit_factor"] = float(value.removesuffix("+"))
        except ValueError:
            message = f"{text} is no exercise with its fit factor. Write talking=120, or talking=120+ for at least."
            raise click.BadParameter(message, param_hint="--exercise") from None
        exercise["at_least"] = value.endswith("+")
    return exercise


def _asked_for(
    model: type[EntryT], needed: Sequence[EntryKey], texts: Sequence[tuple[str, str]], known: KnownEntries
) -> list[tuple[str, str]]:
    """Ask for what is needed and not given. Where nobody can be asked, all of it is wrong usage."""
    given = {name for name, _ in texts}
    missing = [field for field in needed if field.name not in given]
    if missing and not _at_terminal():
        options = "".join(f"\n  {field.option}: {_description(field)}" for field in missing)
        raise click.UsageError(f"These options are missing.{options}")
    ids = {"mask": known.ids("mask")}
    return [(field.name, _ask(model, field, ids.get(field.name, ()))) for field in missing]


def _description(field: EntryKey) -> str:
    return ", ".join(field.words) if field.words else field.meaning.removesuffix(".")


def _ask(model: type[EntryT], field: EntryKey, ids: Sequence[str] = (), *, optional: bool = False) -> str:
    """Ask for a field until the answer can be used. `ids` are the only answers, if there are any."""

    def checked(text: str) -> str:
        if ids and text not in ids:
            near = nearest(text, ids, most=3) or ids
            raise click.BadParameter(f"There is no {field.name} {text}. Known: {', '.join(near)}.")
        found = build(model, [(field.name, text)])
        for fault in found if isinstance(found, list) else ():
            if fault.name == field.name:
                raise click.BadParameter(f"{fault.problem} {fault.remedy}")
        return text

    label = f"{field.name} ({_description(field)}{'; Enter to leave it out' if optional else ''})"
    answer: str = click.prompt(label, value_proc=checked, default="" if optional else None, show_default=False)
    return answer


def _at_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()
