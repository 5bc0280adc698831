"""What the verbs share that make entries: options for every field, and the last step of checking and writing."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

import click

from builder.commands.saving import not_written, save
from builder.records.checking import check_new
from builder.records.entry_keys import EntryKey, ValueKind, fields_of
from builder.records.from_texts import FieldFault
from builder.records.kept_bench import KeptBenchError, bench, write_with
from builder.records.models import Mask, Part, Test
from builder.records.problems import as_text, printable
from builder.records.toml_text import to_toml

Command = TypeVar("Command", bound=Callable[..., Any])

METAVARS: Mapping[ValueKind, str] = {"text": "TEXT", "whole number": "NUMBER", "number": "NUMBER", "date": "DATE"}


def field_options(model: type[Mask | Part | Test], without: Collection[str] = ()) -> Callable[[Command], Command]:
    """Give a command an option for each field of a kind of entry; the command gets them as keywords."""

    def decorate(command: Command) -> Command:
        for field in reversed(fields_of(model)):
            if field.name not in without:
                command = _option(field)(command)
        return command

    return decorate


def texts_of(model: type[Mask | Part | Test], values: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Turn the keywords of `field_options` back into texts by field; those not given are left out."""
    texts = []
    for field in fields_of(model):
        value = values.get(field.name.replace("-", "_"))
        if isinstance(value, bool):
            value = "yes" if value else "no"
        texts += [(field.name, text) for text in (value if isinstance(value, tuple) else (value,)) if text is not None]
    return texts


def refuse(faults: Sequence[FieldFault], model: type[Mask | Part | Test]) -> click.UsageError:
    """Say what is wrong with options, all at once."""
    options = {field.name: field.option for field in fields_of(model)}
    lines = "".join(f"\n  {options.get(f.name, f.name)}: {f.problem} {f.remedy}" for f in faults)
    return click.UsageError(f"Some options are missing or cannot be used.{lines}")


def enter(
    entries: Path,
    records: Mapping[str, Mask | Part | Test],
    *,
    err: bool = False,
    answers: Mapping[str, str] | None = None,
    instead_of: Mapping[str, str] | None = None,
) -> None:
    """Check new entries, by path below the folder, beside those that are there; write them all, or say why not.

    The `answers` that they were made from are offered the next time, and beside them `instead_of` is as for
    `write_files`. Ends with 1 where a problem is an error.
    """
    texts = {path: to_toml(record) for path, record in records.items()}
    if problems := check_new(entries, texts):
        click.echo(as_text(problems), err=True)
    if any(problem.severity == "error" for problem in problems):
        click.echo("Nothing was written.", err=True)
        raise click.exceptions.Exit(1)
    if answers:
        _save_with_answers(entries, texts, answers, instead_of or {})
        _name(entries, texts, err=err)
    else:
        save_entries(entries, texts, err=err)


def _save_with_answers(
    entries: Path, texts: Mapping[str, str], answers: Mapping[str, str], instead_of: Mapping[str, str]
) -> None:
    try:
        with bench(entries) as kept:
            write_with(entries, replace(kept, answers={**kept.answers, **answers}), texts, instead_of)
    except KeptBenchError as error:
        raise click.ClickException(str(error)) from None
    except OSError as error:
        raise not_written(error) from error


def save_entries(entries: Path, texts: Mapping[str, str], *, err: bool = False) -> None:
    """Write checked entries and name each one; with `err` where messages go, not where data is printed."""
    save(entries, texts)
    _name(entries, texts, err=err)


def _name(entries: Path, texts: Mapping[str, str], *, err: bool) -> None:
    for path in texts:
        click.echo(f"wrote {printable((entries / path).as_posix())}", err=err)


def _option(field: EntryKey) -> Callable[[Command], Command]:
    keyword = field.name.replace("-", "_")
    if field.kind == "yes or no":
        flag = field.option if field.default is False else f"{field.option}/--no-{field.option.removeprefix('--')}"
        return click.option(flag, keyword, is_flag=True, default=None, help=field.meaning)
    return click.option(
        field.option,
        keyword,
        multiple=field.many,
        metavar="WORD" if field.words else METAVARS[field.kind],
        help=f"{field.meaning} One of: {', '.join(field.words)}." if field.words else field.meaning,
    )
