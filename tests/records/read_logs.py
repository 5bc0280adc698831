"""A log as the command reads it, in the form in which the scripts of the site give it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import click

from builder.commands.counted_log import read_run
from builder.fit.counts.counting import CountedFitFactor, SampledPhase
from builder.records.csv_tables import TableProblems
from builder.records.logs.log_messages import MESSAGES, ON_A_PAGE
from builder.words.counted_run import cut_data
from tests.records import logs

Reading = dict[str, Any]


def reading(folder: Path, content: str | bytes, **options: Any) -> Reading:
    """Read a log as `sealbook counts` does."""
    given = {"column": "", "instrument": None, "schedule": None, "purgeAmbient": None, "purgeMask": None} | options
    try:
        read = read_run(
            logs.write(folder, content),
            given["instrument"],
            given["schedule"],
            column=given["column"],
            purge_ambient=given["purgeAmbient"],
            purge_mask=given["purgeMask"],
        )
    except click.UsageError as error:
        return _refused(TableProblems.of(error.message.removeprefix("--schedule: "), ""))
    if isinstance(read, TableProblems):
        return _refused(read)
    log, result = read.log, read.result
    masks = [phase for phase in result.phases if phase.kind == "mask"]
    exercises = [
        _figures(one.result)
        | {"name": one.exercise, "seconds": phase.seconds, "particles": phase.particles, "counted": one.counted}
        for phase, one in zip(masks, result.fit.exercises, strict=True)
    ]
    overall = _figures(result.fit.overall)
    return {
        "exercises": exercises,
        "atLeast": overall.pop("atLeast"),
        "overall": overall,
        "doubts": [vars(doubt) for doubt in result.doubts],
        "problems": [],
        "phases": list(map(_phase, result.phases)),
        "cut": log.cut and {"shift": log.cut.shift, "wrong": log.cut.wrong, "phases": list(map(_cut, cut_data(log)))},
        "result": {**({"protocol": read.protocol} if read.protocol else {}), **read.measured},
    }


def _refused(problems: TableProblems) -> Reading:
    shown = sorted(problems.shown, key=lambda problem: problem.row)
    return {
        "exercises": [],
        "atLeast": False,
        "overall": None,
        "doubts": [],
        "problems": [
            {"row": one.row, "column": one.column, "problem": one.sentence(), "remedy": _on_a_page(one.remedy)}
            for one in shown
        ],
        "phases": [],
        "cut": None,
        "result": {},
    }


def _on_a_page(remedy: str) -> str:
    """Say a remedy as it is said where there is no command line."""
    for name, text in ON_A_PAGE.items():
        before, *rest = MESSAGES[name].split("{name}")
        if rest and remedy.startswith(before):
            return text.format(name=remedy.removeprefix(before).split(" is it, give", maxsplit=1)[0])
        if remedy == MESSAGES[name]:
            return text
    return remedy


def _figures(found: CountedFitFactor) -> dict[str, Any]:
    low, high = (limit if math.isfinite(limit) else None for limit in (found.low95, found.high95))
    return {"fitFactor": found.fit_factor, "low": low, "high": high, "atLeast": found.at_least}


def _cut(phase: dict[str, object]) -> dict[str, object]:
    return {"phase": phase["phase"], "exercise": phase["exercise"], "from": phase["from_s"], "to": phase["to_s"]}


def _phase(phase: SampledPhase) -> dict[str, Any]:
    measure = {"concentration": phase.concentration} if phase.particles is None else {"particles": int(phase.particles)}
    return {
        "phase": phase.kind,
        **({"exercise": phase.exercise} if phase.exercise else {}),
        "seconds": phase.seconds,
        **measure,
    }
