"""Making a take: from a figure or a log to the file of its entry, with what stays the same from take to take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import click

from builder.commands.asking import ask_worn, asked_for, at_terminal, face_asked
from builder.commands.counted_log import CountedLog
from builder.commands.entering import refuse
from builder.commands.saving import not_written
from builder.records.bench_takes import (
    ANSWERS,
    AS_SOLD,
    answers_of,
    filled,
    first_planned,
    order_of,
    planned_tests,
    take_note,
    worn,
)
from builder.records.checking import check_new
from builder.records.entries import EntryFile, TestRecord
from builder.records.entry_keys import fields_of
from builder.records.file_names import name_parts
from builder.records.from_texts import build
from builder.records.kept_bench import KeptBench, KeptBenchError, bench, write_with
from builder.records.known_entries import KnownEntries, with_known_faces
from builder.records.models import Slots, Test
from builder.records.problems import as_text
from builder.records.reading import read_file
from builder.records.toml_text import to_toml
from builder.records.typed_answers import UnclearError

NEEDED = ("contributor", "wearer", "facial_hair", "mask", "protocol")


@dataclass(frozen=True)
class Bench:
    """What a call of the verb was given: texts by field, a field of many values several times; how to print."""

    entries: Path
    day: date
    changes: tuple[str, ...]
    texts: tuple[tuple[str, str], ...]
    form: str = "text"

    def said(self, name: str) -> str:
        """What was given for a field, "" for nothing."""
        return dict(self.texts).get(name, "")


@dataclass(frozen=True)
class Log:
    """A log of a watched folder: the folder as it is remembered by, the log's fingerprint and its name."""

    folder: str
    fingerprint: str
    name: str


@dataclass(frozen=True)
class Taken:
    """A take that was written, which of the day it is, and what of the bench is remembered after it."""

    path: str
    order: int
    test: Test


@dataclass(frozen=True)
class At:
    """Whose evening with which mask; `test` is the id of the take that was just made, "" for none."""

    wearer: str
    facial_hair: str
    mask: str
    day: date
    test: str = ""
    number: int = 0


def make_take(
    asked: Bench, measured: Mapping[str, object], counted: CountedLog | None = None, log: Log | None = None
) -> Taken:
    """Write the entry of a take, and remember it. What cannot be taken ends the verb, with nothing written."""
    try:
        with bench(asked.entries) as kept:
            return _made(asked, kept, measured, counted, log)
    except KeptBenchError as error:
        raise click.ClickException(str(error)) from None
    except UnclearError as error:
        raise click.UsageError(str(error)) from None
    except OSError as error:
        raise not_written(error) from error


def _made(
    asked: Bench, kept: KeptBench, measured: Mapping[str, object], counted: CountedLog | None, log: Log | None
) -> Taken:
    known = KnownEntries(asked.entries)
    answers = remembered(asked, kept, known)
    tests = known.tests_of([answers["wearer"]]) if "wearer" in answers else []
    waiting = planned_tests(tests, asked.day, answers.get("mask", ""))
    configuration = _worn(asked, kept, known, waiting, answers)
    planned = next((r for r in waiting if r.test.configuration == configuration), None)
    planned_protocol = planned.test.result.protocol.value if planned else None
    protocol = asked.said("protocol") or (counted.protocol if counted else None) or planned_protocol
    answers |= {"protocol": protocol} if protocol else {}
    answers |= missing(asked, answers, known, kept)
    tests = known.tests_of([answers["wearer"]])
    texts = [(name, text) for name, text in answers.items() if text]
    texts += [(name, text) for name, text in asked.texts if name not in ANSWERS]
    texts += face_asked(texts, known)
    order = order_of(tests, answers["mask"], asked.day)
    texts += [("date", asked.day.isoformat()), ("order", str(order))]
    slots = configuration.model_dump(by_alias=True, exclude_none=True, mode="json")
    texts = counted.texts(texts) if counted else texts
    test = build(Test, texts, {"result": dict(measured), "configuration": slots})
    if isinstance(test, list):
        raise refuse(test, Test)
    [test] = with_known_faces([test], tests)
    if planned:
        test = filled(planned.test, test)
    stays = planned is not None and planned.test.date == asked.day
    path = planned.path if planned and stays else known.places([test])[0]
    check_take(asked.entries, path, test, planned.path if planned else "")
    after = replace(kept, answers=answers_of(test), worn=None).with_take(take_note(path, planned, asked.entries))
    if log:
        after = after.with_log(log.folder, log.fingerprint, f"take {path}\n{log.name}")
    write_with(asked.entries, after, {path: to_toml(test)}, {path: planned.path} if planned else {})
    return Taken(path, order, test)


def keep(
    entries: Path, kept: KeptBench, files: Mapping[str, str] = {}, instead_of: Mapping[str, str] | None = None
) -> None:
    """Write as `write_with` does. What cannot be written ends the verb."""
    try:
        write_with(entries, kept, files, instead_of)
    except OSError as error:
        raise not_written(error) from error


def check_take(entries: Path, path: str, test: Test, gone: str = "") -> None:
    """Say what the checker finds in an entry to be written, `gone` being the one that it takes the place of.

    Ends the verb where that is an error.
    """
    problems = check_new(entries, {path: to_toml(test)}, gone=[gone] if gone else [])
    if problems:
        click.echo(as_text(problems), err=True)
    if any(problem.severity == "error" for problem in problems):
        raise click.ClickException("Nothing was written.")


def remembered(asked: Bench, kept: KeptBench, known: KnownEntries) -> dict[str, str]:
    """Give the answers to go by: those given, the last ones, and what entries say of the run and of the wearer."""
    given = {name: text for name, text in asked.texts if name in ANSWERS}
    last = dict(kept.answers)
    if given.get("wearer", last.get("wearer")) != last.get("wearer"):
        last.pop("facial_hair", None)
    answers = {**last, **given}
    if not {"mask", "wearer"} <= answers.keys() and (first := first_planned(known, asked.day)):
        answers = {**answers_of(first.test), **answers}
    if "wearer" in answers and (tests := known.tests_of([answers["wearer"]])):
        newest = max(tests, key=lambda record: record.test.date).test
        answers.setdefault("facial_hair", newest.face.facial_hair.value)
        answers.setdefault("contributor", newest.contributor)
    return answers


def missing(asked: Bench, answers: Mapping[str, str], known: KnownEntries, kept: KeptBench) -> dict[str, str]:
    """Ask for what no take can do without and nobody has said; where nobody can be asked it is wrong usage."""
    needed = [field for field in fields_of(Test) if field.name in NEEDED]
    given = {name for name, text in answers.items() if text}
    return dict(asked_for(Test, needed, given, ids={"mask": known.ids("mask")}, last=kept.answers))


def _worn(
    asked: Bench, kept: KeptBench, known: KnownEntries, waiting: Sequence[TestRecord], answers: Mapping[str, str]
) -> Slots:
    """What is worn: as given, else as was said to be worn next, else the sheet's next, else what the last take wore."""
    if asked.changes:
        return worn(known, asked.changes)
    if kept.worn is not None:
        return worn(known, kept.worn)
    if waiting:
        return waiting[0].test.configuration
    before = last_worn(kept, known, answers.get("mask", ""), answers.get("wearer", ""))
    if before is not None:
        return before
    if not at_terminal():
        raise click.UsageError(
            f"Nothing says what was worn: --change {AS_SOLD}, or --change PART for each part that differs."
        )
    return ask_worn(known)


def last_worn(kept: KeptBench, known: KnownEntries, mask: str, wearer: str) -> Slots | None:
    """What the last take of a wearer with a mask wore; None for no take that is still there."""
    for take in reversed(kept.takes):
        name = name_parts(Path(take.path).stem)
        if name is None or name.wearer != wearer or not take.path.startswith(f"tests/{mask}/"):
            continue
        record = read_file(known.root, EntryFile("test", take.path)).record
        return record.test.configuration if isinstance(record, TestRecord) else None
    return None
