"""How a log is laid out, understood from its first lines: what parts its cells, which columns there are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.records.csv_tables import TableProblems
from builder.records.logs.log_columns import TIMES, FoundColumns, find_columns
from builder.records.logs.log_header import find_header
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_sample import LogColumn, LogSample
from builder.records.logs.log_times import is_clock, is_dated
from builder.records.logs.log_words import Role

SAMPLE_LINES = 3000
"""A layout is understood from that many lines."""


@dataclass(frozen=True)
class LogLayout:
    """The layout of a log.

    `above` lines stand over the first row; the header is in line `header`, 0 where there is none. `clock`: times are
    clock times, not seconds. `carried`: a blank phase goes on with the one above it. `by_turns`: of two columns, inside
    and outside, each row fills one. `newest_first`: the last row stands first.
    """

    delimiter: str
    above: int
    header: int
    names: Sequence[str]
    columns: Mapping[Role, LogColumn]
    clock: bool = False
    carried: bool = False
    by_turns: bool = False
    newest_first: bool = False

    @property
    def width(self) -> int:
        """How many columns there are."""
        return len(self.names)

    @property
    def time(self) -> LogColumn:
        """The column that tells the time of each row."""
        return next(self.columns[role] for role in TIMES if role in self.columns)

    @property
    def by_weight(self) -> bool:
        """Whether the readings are dust by weight, not particles."""
        return any(column.measure == "mass" for column in self.columns.values())

    @property
    def at_once(self) -> bool:
        """Whether inside and outside are measured at once."""
        return "inside" in self.columns and not self.by_turns


def find_layout(
    lines: Sequence[str], problems: TableProblems, reading: str = "", *, scheduled: bool = False
) -> LogLayout | None:
    """Understand the first lines of a log, or note what is missing and give None.

    `reading` names the column of readings where a person chose it. `scheduled`: phases come from elsewhere.
    """
    header = find_header(lines)
    if header is None:
        told = "no_names" if any(line.strip() for line in lines) else "empty_file"
        problems.add(1, "", log_message(told), log_message(f"{told}_remedy"))
        return None
    sample = LogSample(header, lines[header.above :])
    columns = find_columns(sample, problems, reading)
    if scheduled:
        columns = {role: column for role, column in columns.items() if role not in ("phase", "exercise")}
    elif "phase" not in columns and "inside" not in columns:
        problems.add(header.line, "phase", log_message("no_phase"), log_message("no_phase_remedy"))
    return None if problems.total else _layout(sample, columns)


def _layout(sample: LogSample, columns: FoundColumns) -> LogLayout:
    """Give the layout with these columns, of which those are left out that others make needless."""
    header, kept = sample.header, dict(columns)
    time, phase = next(columns[role] for role in TIMES if role in columns), columns.get("phase")
    clock = sample.mostly(time.place, is_clock)
    if "date" in kept and (not clock or is_dated(sample.texts[time.place][0])):
        del kept["date"]
    if "particles" in kept:
        kept.pop("concentration", None)
        kept.pop("flow_cm3_s", None)
    by_turns = carried = False
    if phase and sample.texts[phase.place]:
        texts = sample.texts[phase.place]
        carried = bool(texts[0]) and texts.count("") * 2 >= len(texts)
    if "inside" in kept:
        inside, outside = (sample.texts[kept[role].place] for role in ("inside", "outside"))
        by_turns = bool(inside) and not any(map(all, zip(inside, outside, strict=True)))
    newest_first = "duration" not in kept and sample.falls(time.place)
    return LogLayout(
        header.delimiter, header.above, header.line, header.names, kept, clock, carried, by_turns, newest_first
    )
