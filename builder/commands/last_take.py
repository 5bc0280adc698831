"""What is done to the last take of the bench: noting something of it, setting it aside, taking it back."""

from __future__ import annotations

from dataclasses import replace

import click

from builder.commands.bench_take import Bench, Taken, check_take, keep
from builder.commands.entering import refuse
from builder.records.bench_takes import answers_of, filled, take_back
from builder.records.entries import EntryFile, TestRecord
from builder.records.from_texts import build
from builder.records.kept_bench import bench
from builder.records.models import Test
from builder.records.problems import printable
from builder.records.reading import read_file
from builder.records.toml_text import to_toml


def noted(asked: Bench) -> Taken:
    """Note something of the last take."""
    with bench(asked.entries) as kept:
        if not kept.takes:
            raise click.UsageError("There is no take yet that this could be noted of.")
        path = kept.takes[-1].path
        record = read_file(asked.entries, EntryFile("test", path)).record
        if not isinstance(record, TestRecord):
            raise click.UsageError(f"{asked.entries / path} cannot be read: see what `sealbook check` says.")
        test = _noted(record.test, asked)
        check_take(asked.entries, path, test)
        after = replace(kept, answers={**kept.answers, **answers_of(test)}, worn=asked.changes or kept.worn)
        keep(asked.entries, after, {path: to_toml(test)}, {path: path})
    return Taken(path, test.conditions.order or len(kept.takes), test)


def _noted(test: Test, asked: Bench) -> Test:
    """Give a take what was noted of it; the rest stays."""
    fixed = {"contributor": test.contributor, "wearer": test.face.wearer, "mask": test.mask}
    base = [*fixed.items(), ("facial_hair", test.face.facial_hair.value), ("protocol", test.result.protocol.value)]
    given = {name for name, _ in asked.texts}
    texts = [(name, text) for name, text in base if name not in given]
    said = build(Test, [*texts, *asked.texts, ("date", test.date.isoformat())])
    if isinstance(said, list):
        raise refuse(said, Test)
    result = test.result.model_copy(update={n: getattr(said.result, n) for n in said.result.model_fields_set})
    face = test.face.model_copy(update={n: getattr(said.face, n) for n in said.face.model_fields_set})
    return filled(test, said).model_copy(
        update={"result": result, "face": face, "configuration": test.configuration, "mask": test.mask}
    )


def taken_back(asked: Bench) -> tuple[str, str]:
    """Take the last take back. Gives its path, and where it is kept."""
    with bench(asked.entries) as kept:
        try:
            back = take_back(asked.entries, kept)
        except LookupError:
            raise click.UsageError("There is no take to take back.") from None
        except FileNotFoundError:
            gone = printable((asked.entries / kept.takes[-1].path).as_posix())
            raise click.UsageError(f"{gone} is gone already; nothing was changed.") from None
        keep(asked.entries, back.kept, back.files, back.instead_of)
    gone = printable((asked.entries / kept.takes[-1].path).as_posix())
    return gone, printable((asked.entries / back.aside).as_posix())
