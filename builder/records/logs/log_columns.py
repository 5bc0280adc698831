"""Which column of a log holds what, by its name and by what it holds."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from builder.records.csv_tables import TableProblems
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_sample import FEW_ROWS, LogColumn, LogSample
from builder.records.logs.log_times import DAY_S, is_clock, is_dated
from builder.records.logs.log_words import Measure, Role, said_phase
from builder.records.problems import quoted

FoundColumns = dict[Role, LogColumn]
"""The columns that are read, by what they hold."""

NamedPlaces = Mapping[Role, Sequence[int]]
"""Where columns are, by what their names say that they hold."""

TIMES: tuple[Role, ...] = ("seconds", "start", "duration")
"""What tells the time of a row: that of its end, else of its start, else how long each one lasts."""

READINGS: tuple[Role, ...] = ("particles", "concentration", "inside", "outside")

EPOCH_UNITS = ((1e17, 1e-9), (1e14, 1e-6), (1e11, 1e-3))

SERIAL_DAYS, SERIAL_STEP = (20_000.0, 80_000.0), 0.01
DAY_STEP = (5e-6, 1.8e-4)
"""Spreadsheets count days, from 1900 or within one: a time without a unit that steps so is theirs."""


def find_columns(sample: LogSample, problems: TableProblems, reading: str) -> FoundColumns:
    """Find the column for each role. `reading` names the one of readings where a person chose it."""
    named: dict[Role, list[int]] = {}
    for place, name in enumerate(sample.found):
        if name:
            named.setdefault(name.role, []).append(place)
    found = _time(sample, named)
    if reading:
        found |= _chosen(sample, problems, reading)
    else:
        found |= _readings(sample, named, found, problems)
    found |= _said(sample, named, {column.place for column in found.values()})
    for role in ("date", "flow_cm3_s"):
        if role in named:
            found[role] = sample.column(named[role][0])
    if not found.keys() & set(TIMES):
        remedy = sample.remedy("seconds", log_message("no_seconds_remedy"))
        problems.add(sample.header.line, "seconds", log_message("no_seconds"), remedy)
    return found


def _time(sample: LogSample, named: NamedPlaces) -> FoundColumns:
    """Choose the time: seconds before dates before clock times, one that increases; lengths where they differ."""
    candidates = list(named.get("seconds", ()))
    numeric = [
        place for place in candidates if sample.increases(place) or (sample.numeric(place) and sample.falls(place))
    ]
    clocks = [place for place in candidates if sample.mostly(place, is_clock)]
    dated = [place for place in clocks if any(map(is_dated, sample.texts[place][:5]))]
    chosen = (numeric or dated or clocks or candidates)[:1]
    if not chosen:
        chosen = [
            place
            for place in range(sample.width)
            if sample.found[place] is None
            and (sample.mostly(place, is_clock) or (not sample.header.line and sample.increases(place)))
        ][:1]
    if "date" in named and not chosen and sample.mostly(named["date"][0], is_clock):
        chosen = [named["date"][0]]
    starts = named.get("start", ())
    if not chosen and starts and (sample.numeric(starts[0]) or sample.mostly(starts[0], is_clock)):
        lengths = named.get("duration", ())
        found: FoundColumns = {"start": _in_seconds(sample, sample.column(starts[0]))}
        return found | {"duration": sample.column(lengths[0])} if lengths else found
    lengths = named.get("duration", ())
    if lengths and (not chosen or len(set(sample.texts[lengths[0]])) > 1):
        return {"duration": sample.column(lengths[0])}
    if not chosen:
        return {}
    return {"seconds": _in_seconds(sample, sample.column(chosen[0]))}


def _in_seconds(sample: LogSample, column: LogColumn) -> LogColumn:
    """Find by its size the unit of a time that does not say it: counted since 1970, or in days as spreadsheets do."""
    values = sample.numbers(column.place, FEW_ROWS)
    first = next((float(value) for value in values if value > 0), 0.0)
    unit = next((unit for least, unit in EPOCH_UNITS if first > least), 1.0)
    step = float(np.median(np.abs(np.diff(values)))) if values.size > 1 else math.nan
    if column.factor == 1 and (
        (SERIAL_DAYS[0] < first < SERIAL_DAYS[1] and 0 < step < SERIAL_STEP)
        or (bool((values < 1).all()) and DAY_STEP[0] < step < DAY_STEP[1])
    ):
        unit = DAY_S
    return replace(column, factor=column.factor * unit)


def _chosen(sample: LogSample, problems: TableProblems, reading: str) -> FoundColumns:
    """Take the column of readings that a person named, or numbered."""
    names = [name.strip() for name in sample.header.names]
    chosen = [place for place, name in enumerate(names) if name.lower() == reading.strip().lower()]
    if not chosen and reading.isdecimal() and 1 <= int(reading) <= sample.width:
        chosen = [int(reading) - 1]
    if not chosen:
        remedy = log_message("no_column_remedy", known=", ".join(map(quoted, names)))
        problems.add(sample.header.line, "", log_message("no_column", name=quoted(reading)), remedy)
        return {}
    named = sample.found[chosen[0]]
    return _taken(sample, chosen[0], (named and named.measure) or sample.guessed(chosen[0]))


def _readings(sample: LogSample, named: NamedPlaces, found: FoundColumns, problems: TableProblems) -> FoundColumns:
    """Choose the readings: particles before concentration, else two at once."""
    header = sample.header
    numeric = {role: _plainest(sample, named.get(role, ())) for role in READINGS}
    for role in ("particles", "concentration"):
        if len(numeric[role]) > 1:
            names = ", ".join(quoted(header.names[place].strip()) for place in numeric[role])
            problem = log_message("several_readings", measure=role, names=names)
            problems.add(header.line, "", problem, log_message("several_readings_remedy"))
            return {}
    if numeric["inside"] and numeric["outside"]:
        return {role: sample.column(numeric[role][0]) for role in ("inside", "outside")}
    for role in READINGS:
        if places := numeric[role] or list(named.get(role, ()))[:1]:
            name = sample.found[places[0]]
            return _taken(sample, places[0], (name and name.measure) or "concentration")
    taken = {column.place for column in found.values()} | {place for some in named.values() for place in some}
    left = [place for place in range(sample.width) if place not in taken and sample.numeric(place)]
    if not header.line and len(left) == 1:
        return _taken(sample, left[0], sample.guessed(left[0]))
    remedy = log_message("no_readings_remedy")
    if header.line and left:
        remedy = log_message("likely_readings_remedy", name=quoted(header.names[left[0]].strip()))
    problems.add(header.line or 1, "", log_message("no_readings"), sample.remedy("particles", remedy))
    return {}


def _plainest(sample: LogSample, places: Sequence[int]) -> list[int]:
    """Keep the columns of numbers, of those the ones with the plainest name."""
    ranks = {place: named.rank for place in places if (named := sample.found[place]) and sample.numeric(place)}
    return [place for place, rank in ranks.items() if rank == min(ranks.values())]


def _taken(sample: LogSample, place: int, measure: Measure) -> FoundColumns:
    column = replace(sample.column(place, whole=measure == "particles"), measure=measure)
    return {"particles" if measure == "particles" else "concentration": column}


def _said(sample: LogSample, named: NamedPlaces, taken: set[int]) -> FoundColumns:
    """Choose phases and exercises: columns whose words are understood, the ones of that name first."""
    understood = [
        place
        for place in range(sample.width)
        if place not in taken and sample.mostly(place, lambda text: said_phase(text) is not None)
    ]
    said = {place: [one for one in map(said_phase, sample.texts[place]) if one] for place in understood}
    phases = [place for place in understood if any(one.phase != "mask" for one in said[place])]
    exercises = [place for place in understood if any(one.exercise for one in said[place])]
    wanted = [place for place in named.get("phase", ()) if place not in taken and not sample.numeric(place)]
    masks = [place for place in understood if place in wanted]
    phase = ([place for place in wanted if place in phases] or phases or masks or wanted)[:1]
    wanted = [place for place in named.get("exercise", ()) if place not in taken and place not in phase]
    exercise = (
        [place for place in wanted if place in exercises]
        or [place for place in exercises if place not in phase]
        or wanted
    )[:1]
    found: FoundColumns = {}
    if phase:
        found["phase"] = sample.column(phase[0])
    if exercise:
        found["exercise"] = sample.column(exercise[0])
    return found
