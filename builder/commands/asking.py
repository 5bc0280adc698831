"""Asking at a terminal for the values of an entry, until each answer can be used."""

from __future__ import annotations

import sys
from collections.abc import Collection, Mapping, Sequence
from datetime import date

import click

from builder.records.bench_takes import AS_SOLD, worn
from builder.records.entry_keys import EntryKey, fields_of
from builder.records.from_texts import EntryT, build
from builder.records.kept_bench import KeptBench, KeptBenchError
from builder.records.known_entries import KnownEntries
from builder.records.models import Slots, Test
from builder.records.typed_answers import UnclearError, day_typed, number_typed, word_typed
from builder.records.vocabulary import Slot

FIRST = ("mask", "date", "contributor", "wearer")
"""What is asked first: the answers to the rest hang on it."""

FACE = ("length_mm", "width_mm", "nose_bridge")
"""What is asked of a wearer who is in no test yet, and may be left out."""


def at_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin is not None and sys.stdin.isatty()


def asked_for(
    model: type[EntryT],
    needed: Sequence[EntryKey],
    given: Collection[str],
    *,
    ids: Mapping[str, Sequence[str]],
    last: Mapping[str, str],
) -> list[tuple[str, str]]:
    """Ask for what is needed and not given. Where nobody can be asked, all of it is wrong usage.

    `ids` are the only answers to some fields; `last` answers are offered.
    """
    missing = [field for field in needed if field.name not in given]
    if missing and not at_terminal():
        options = "".join(f"\n  {field.option}: {described(field)}" for field in missing)
        raise click.UsageError(f"These options are missing.{options}")
    return [(f.name, ask(model, f, ids.get(f.name, ()), offered=last.get(f.name, ""))) for f in missing]


def completed(texts: Sequence[tuple[str, str]], needed: Collection[str], known: KnownEntries) -> list[tuple[str, str]]:
    """Add to the texts of a test what is missing: asked for, with today and the last answers on offer.

    Somebody at a terminal who is asked at all is asked what was worn, too; and for the face of a wearer who is in no
    test yet.
    """
    try:
        last = {**KeptBench.of(known.root).answers, "date": date.today().isoformat()}
    except KeptBenchError as error:
        raise click.ClickException(str(error)) from None
    out = list(texts)
    ids = {"mask": known.ids("mask")}
    fields = [field for field in fields_of(Test) if field.name in needed]
    if not at_terminal():
        return out + asked_for(Test, fields, dict(out), ids=ids, last=last)
    out += asked_for(Test, [field for field in fields if field.name in FIRST], dict(out), ids=ids, last=last)
    if (wearer := dict(out).get("wearer")) != last.get("wearer"):
        last.pop("facial_hair", None)  # another face has its own hair
    if tests := known.tests_of([wearer] if wearer else []):
        last["facial_hair"] = max(tests, key=lambda record: record.test.date).test.face.facial_hair.value
    # Whoever has said everything else has said that nothing was changed.
    if {field.name for field in fields} - dict(texts).keys() and not dict(out).keys() & {slot.value for slot in Slot}:
        out += [(slot.value, part) for slot, part in ask_worn(known).filled()]
    out += asked_for(Test, fields, dict(out), ids=ids, last=last)
    return out + face_asked(out, known)


def ask_worn(known: KnownEntries) -> Slots:
    """Ask what was changed, until the answer can be used."""

    def checked(text: str) -> Slots:
        try:
            return worn(known, text.split())
        except UnclearError as error:
            raise click.BadParameter(str(error)) from None

    label = f"what was changed ({AS_SOLD}, or the parts with spaces between)"
    answer: Slots = click.prompt(label, value_proc=checked, default=AS_SOLD)
    return answer


def face_asked(texts: Sequence[tuple[str, str]], known: KnownEntries) -> list[tuple[str, str]]:
    """Ask for the face of a wearer who is in no test yet, where somebody can be asked."""
    given = dict(texts)
    if not at_terminal() or given["wearer"] in known.wearers or given.keys() & {*FACE, "cell"}:
        return []
    return [(field.name, ask(Test, field, optional=True)) for field in fields_of(Test) if field.name in FACE]


def described(field: EntryKey) -> str:
    """Say in a few words what a field holds."""
    return ", ".join(field.words) if field.words else field.meaning.removesuffix(".")


def meant(model: type[EntryT], texts: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Write the texts of options as they were meant; what cannot be understood stays, for `build` to say so."""
    fields = {field.name: field for field in fields_of(model)}
    out = []
    for name, text in texts:
        try:
            out.append((name, understood(fields[name], text)))
        except UnclearError:
            out.append((name, text))
    return out


def understood(field: EntryKey, text: str, ids: Sequence[str] = ()) -> str:
    """Write a typed answer as the field takes it. `ids` are the only answers, if there are any. Raises UnclearError."""
    if not text.strip():
        return ""
    if ids:
        return word_typed(text, ids, field.name)
    if field.words and not field.many:
        return word_typed(text, field.words, field.name.replace("_", " "))
    if field.kind in ("number", "whole number"):
        return number_typed(text)
    return day_typed(text, date.today()) if field.kind == "date" else text.strip()


def ask(
    model: type[EntryT],
    field: EntryKey,
    ids: Sequence[str] = (),
    *,
    offered: str = "",
    optional: bool = False,
) -> str:
    """Ask for a field. What is `offered` is the answer of whoever only presses Enter; "" where it is left out."""

    def checked(text: str) -> str:
        try:
            meant = understood(field, text, ids)
        except UnclearError as error:
            raise click.BadParameter(str(error)) from None
        found = build(model, [(field.name, meant)])
        for fault in found if isinstance(found, list) else ():
            if fault.name == field.name:
                raise click.BadParameter(f"{fault.problem} {fault.remedy}")
        return meant

    label = f"{field.name} ({described(field)}{'; Enter to leave it out' if optional else ''})"
    default = offered or ("" if optional else None)
    answer: str = click.prompt(label, value_proc=checked, default=default, show_default=bool(offered))
    return answer
