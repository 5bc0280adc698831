"""How a log is laid out, understood from its first lines: what parts its cells, which columns there are."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from builder.records.csv_tables import TableProblems
from builder.records.logs.log_numbers import NumberForm, decided_mark, form_of, numbers
from builder.records.logs.log_text import cells_of, is_comment
from builder.records.logs.log_times import is_clock
from builder.records.logs.log_words import Measure, NamedColumn, Role, is_unit, named_column, said_phase, words
from builder.records.nearest_words import nearest
from builder.records.problems import quoted

SAMPLE_LINES = 3000
"""A layout is understood from that many lines."""

_HEADER_WITHIN = 300
_DELIMITERS = (",", ";", "\t", "|", " ")
_MOSTLY = 0.8
_READINGS: tuple[Role, ...] = ("particles", "concentration", "inside", "outside")
_EPOCH_UNITS = ((1e17, 1e-9), (1e14, 1e-6), (1e11, 1e-3))


@dataclass(frozen=True)
class LogColumn:
    """Where a column is, what it is called, and how its numbers are written."""

    place: int
    name: str
    measure: Measure | None = None
    factor: float = 1.0
    form: NumberForm = field(default_factory=NumberForm)


@dataclass(frozen=True)
class LogLayout:
    """The layout of a log.

    `above` lines stand over the first row; the header is in line `header`, 0 where there is none. `clock`: times are
    clock times, not seconds. `carried`: a blank phase goes on with the one above it. `by_turns`: of two columns, inside
    and outside, each row fills one.
    """

    delimiter: str
    above: int
    header: int
    width: int
    columns: Mapping[Role, LogColumn]
    clock: bool = False
    carried: bool = False
    by_turns: bool = False

    @property
    def by_weight(self) -> bool:
        """Whether the readings are dust by weight, not particles."""
        return any(column.measure == "mass" for column in self.columns.values())

    @property
    def at_once(self) -> bool:
        """Whether inside and outside are measured at once."""
        return "inside" in self.columns and not self.by_turns


@dataclass(frozen=True)
class _Header:
    line: int
    above: int
    delimiter: str
    names: Sequence[str]
    found: Sequence[NamedColumn | None]


def find_layout(
    lines: Sequence[str], problems: TableProblems, reading: str = "", *, scheduled: bool = False
) -> LogLayout | None:
    """Understand the first lines of a log, or note what is missing and give None.

    `reading` names the column of readings where a person chose it. `scheduled`: phases come from elsewhere.
    """
    header = _header_in(lines) or _no_header(lines)
    if header is None:
        if not any(line.strip() for line in lines):
            problems.add(
                1, "", "The file is empty.", "Begin with a row of column names, such as seconds,phase,particles."
            )
        else:
            problem = "No row names the columns, and what they hold does not tell."
            problems.add(1, "", problem, "Put a row of names above the numbers, such as seconds,phase,particles.")
        return None
    rows = _sample_rows(lines[header.above :], header.delimiter)
    table = _Table(header, rows)
    columns = table.columns(problems, reading)
    if scheduled or "inside" in columns:
        if scheduled:
            columns = {role: column for role, column in columns.items() if role not in ("phase", "exercise")}
    elif "phase" not in columns:
        problems.add(
            header.line,
            "phase",
            "The column phase is missing.",
            "Add the column phase, or say by --schedule when room air and mask were sampled.",
        )
    if problems.total:
        return None
    return table.layout(columns)


class _Table:
    """The first rows of a log under the names of their columns."""

    def __init__(self, header: _Header, rows: Sequence[Sequence[str]]) -> None:
        self.header = header
        self.width = len(header.names)
        self.rows = [row for row in rows if len(row) >= self.width - 1]
        self.texts = [
            [row[place].strip() if place < len(row) else "" for row in self.rows] for place in range(self.width)
        ]
        numeric = [text for texts in self.texts for text in texts]
        self.mark = decided_mark(numeric)

    def columns(self, problems: TableProblems, reading: str) -> dict[Role, LogColumn]:
        """Find the column for each role, by its name and by what it holds."""
        places: dict[Role, list[int]] = {}
        for place, named in enumerate(self.header.found):
            if named:
                places.setdefault(named.role, []).append(place)
        found: dict[Role, LogColumn] = {}
        self._time(places, found)
        self._readings(places, found, problems, reading)
        self._said(places, found)
        for role in ("date", "flow_cm3_s"):
            if role in places:
                found[role] = self._column(places[role][0])
        if "seconds" not in found and "duration" not in found:
            problems.add(
                self.header.line,
                "seconds",
                "The column seconds is missing.",
                self._remedy("seconds", "Add the column seconds."),
            )
        return found

    def layout(self, columns: Mapping[Role, LogColumn]) -> LogLayout:
        """Give the layout with these columns."""
        seconds = columns.get("seconds")
        clock = seconds is not None and self._share(seconds.place, is_clock) > _MOSTLY
        kept = dict(columns)
        if "date" in kept and not (clock and seconds and len(self.texts[seconds.place][0]) <= len("00:00:00.000 p.m.")):
            del kept["date"]
        if "particles" in kept:
            kept.pop("concentration", None)
            kept.pop("flow_cm3_s", None)
        phase, by_turns, carried = kept.get("phase"), False, False
        if phase and self.rows:
            texts = self.texts[phase.place]
            carried = bool(texts[0]) and texts.count("") * 2 >= len(texts)
        if "inside" in kept:
            inside, outside = (self.texts[kept[role].place] for role in ("inside", "outside"))
            by_turns = bool(inside) and not any(map(all, zip(inside, outside, strict=True)))
        return LogLayout(
            self.header.delimiter, self.header.above, self.header.line, self.width, kept, clock, carried, by_turns
        )

    def _time(self, places: Mapping[Role, Sequence[int]], found: dict[Role, LogColumn]) -> None:
        """Choose the time: seconds before dates before clock times, one that increases; lengths where they differ."""
        candidates = list(places.get("seconds", ()))
        numeric = [place for place in candidates if self._increases(place)]
        clocks = [place for place in candidates if self._share(place, is_clock) > _MOSTLY]
        dated = [
            place
            for place in clocks
            if any(len(text) > len("00:00:00.000000 p.m.") or "T" in text for text in self.texts[place][:5])
        ]
        chosen = (numeric or dated or clocks or candidates)[:1]
        if not chosen:
            chosen = [
                place
                for place in range(self.width)
                if self.header.found[place] is None
                and (self._share(place, is_clock) > _MOSTLY or (not self.header.line and self._increases(place)))
            ][:1]
        if "date" in places and not chosen and self._share(places["date"][0], is_clock) > _MOSTLY:
            chosen = [places["date"][0]]
        lengths = places.get("duration", ())
        if lengths and (not chosen or len(set(self.texts[lengths[0]])) > 1):
            found["duration"] = self._column(lengths[0])
        elif chosen:
            column = self._column(chosen[0])
            first = next((value for value in numbers(self.texts[chosen[0]][:20], column.form) if value > 0), 0.0)
            unit = next((unit for least, unit in _EPOCH_UNITS if first > least), 1.0)
            found["seconds"] = replace(column, factor=column.factor * unit)

    def _readings(
        self,
        places: Mapping[Role, Sequence[int]],
        found: dict[Role, LogColumn],
        problems: TableProblems,
        reading: str,
    ) -> None:
        """Choose the readings: the column a person names, else particles before concentration, else two at once."""
        header = self.header
        if reading:
            chosen = [
                place for place, name in enumerate(header.names) if name.strip().lower() == reading.strip().lower()
            ]
            if not chosen and reading.isdigit() and 1 <= int(reading) <= self.width:
                chosen = [int(reading) - 1]
            if not chosen:
                known = ", ".join(quoted(name.strip()) for name in header.names)
                problems.add(header.line, "", f"There is no column {quoted(reading)}.", f"The columns are: {known}.")
                return
            named = header.found[chosen[0]]
            measure = named.measure if named and named.measure else None
            self._take(chosen[0], measure or self._guessed(chosen[0]), found)
            return
        numeric = {role: self._plainest(places.get(role, ())) for role in _READINGS}
        for role in ("particles", "concentration"):
            if len(numeric[role]) > 1:
                names = ", ".join(quoted(header.names[place].strip()) for place in numeric[role])
                problems.add(
                    header.line, "", f"Several columns hold {role}: {names}.", "Say which to read by --column NAME."
                )
                return
        if numeric["inside"] and numeric["outside"]:
            found["inside"], found["outside"] = (self._column(numeric[role][0]) for role in ("inside", "outside"))
            return
        for role in _READINGS:
            if named_places := numeric[role] or list(places.get(role, ()))[:1]:
                measure = header.found[named_places[0]].measure or "concentration"  # type: ignore[union-attr]
                self._take(named_places[0], measure, found)
                return
        taken = {found[role].place for role in found} | {place for some in places.values() for place in some}
        left = [place for place in range(self.width) if place not in taken and self._numeric(place)]
        if not header.line and len(left) == 1:
            self._take(left[0], self._guessed(left[0]), found)
        else:
            remedy = "Add the column particles, or concentration, with flow_cm3_s if known."
            if header.line and left:
                likely = quoted(header.names[left[0]].strip())
                remedy = f"If {likely} is it, give --column {likely}, or name it particles or concentration."
            problems.add(header.line or 1, "", "There is no column of particles.", self._remedy("particles", remedy))

    def _plainest(self, places: Sequence[int]) -> list[int]:
        """Keep the columns of numbers, of those the ones with the plainest name."""
        ranks = {place: named.rank for place in places if (named := self.header.found[place]) and self._numeric(place)}
        return [place for place, rank in ranks.items() if rank == min(ranks.values())]

    def _take(self, place: int, measure: Measure, found: dict[Role, LogColumn]) -> None:
        found["particles" if measure == "particles" else "concentration"] = replace(
            self._column(place, whole=measure == "particles"), measure=measure
        )

    def _guessed(self, place: int) -> Measure:
        values = numbers(self.texts[place], self._form(place, whole=True))
        return (
            "particles" if all(value == np.floor(value) for value in values[np.isfinite(values)]) else "concentration"
        )

    def _said(self, places: Mapping[Role, Sequence[int]], found: dict[Role, LogColumn]) -> None:
        """Choose phases and exercises: columns whose words are understood, the ones of that name first."""
        taken = {column.place for column in found.values()}
        understood = [
            place
            for place in range(self.width)
            if place not in taken and self._share(place, lambda text: said_phase(text) is not None) > _MOSTLY
        ]
        phases = [p for p in understood if any(s and s.phase != "mask" for s in map(said_phase, self.texts[p]))]
        exercises = [p for p in understood if any(s and s.exercise for s in map(said_phase, self.texts[p]))]
        named = [place for place in places.get("phase", ()) if place not in taken and not self._numeric(place)]
        masks = [place for place in understood if place in named]
        phase = ([p for p in named if p in phases] or phases or masks or named)[:1]
        wanted = [place for place in places.get("exercise", ()) if place not in taken and place not in phase]
        exercise = ([p for p in wanted if p in exercises] or [p for p in exercises if p not in phase] or wanted)[:1]
        for role, some in (("phase", phase), ("exercise", exercise)):
            if some:
                found[role] = self._column(some[0])  # type: ignore[index]

    def _column(self, place: int, *, whole: bool | None = None) -> LogColumn:
        named = self.header.found[place]
        counts = (named is not None and named.measure == "particles") if whole is None else whole
        return LogColumn(
            place,
            self.header.names[place].strip() or f"{place + 1}",
            named.measure if named else None,
            named.factor if named else 1.0,
            self._form(place, whole=counts),
        )

    def _form(self, place: int, *, whole: bool) -> NumberForm:
        return form_of(self.texts[place], self.mark, whole=whole)

    def _numeric(self, place: int) -> bool:
        texts = [text for text in self.texts[place] if text]
        values = numbers(texts, self._form(place, whole=False))
        return bool(texts) and int(np.isfinite(values).sum()) >= _MOSTLY * len(texts)

    def _increases(self, place: int) -> bool:
        if not self._numeric(place):
            return False
        values = numbers([text for text in self.texts[place] if text], self._form(place, whole=False))
        return int((np.diff(values) >= 0).sum()) >= _MOSTLY * (len(values) - 1)

    def _share(self, place: int, holds: Callable[[str], bool]) -> float:
        texts = [text for text in self.texts[place] if text]
        return sum(map(holds, texts)) / len(texts) if texts else 0.0

    def _remedy(self, role: str, otherwise: str) -> str:
        """Name the column that was probably meant."""
        unknown = {
            name.strip().lower(): name.strip()
            for name, named in zip(self.header.names, self.header.found, strict=True)
            if named is None
        }
        for name in words()["columns"][role]:
            if len(name) > 3 and (near := nearest(name, unknown)):
                return f"Did you mean {role} by {quoted(unknown[near[0]])}?"
        return otherwise


def _header_in(lines: Sequence[str]) -> _Header | None:
    """Find the line that names most columns, with any delimiter; the first of those that do."""
    best, most = None, 1.0
    for delimiter in _DELIMITERS:
        for number, line in enumerate(lines[:_HEADER_WITHIN], 1):
            if not line.strip() or (len(line) > 5000 and delimiter == " "):
                continue
            names = _names(line, delimiter)
            found = [named_column(name) for name in names]
            roles = {named.role for named in found if named}
            if len(roles) <= 1 or (score := _score(roles, lines[number : number + 4], delimiter, len(names))) <= most:
                continue
            best, most = _Header(number, number, delimiter, names, found), score
    if best is None:
        return None
    units = _names(lines[best.above], best.delimiter) if best.above < len(lines) else []
    if 1 < len(units) <= len(best.names) and any(units) and all(not unit or is_unit(unit) for unit in units):
        units = [*units, *([""] * (len(best.names) - len(units)))]
        found = [named_column(n, u) or named_column(n) for n, u in zip(best.names, units, strict=True)]
        best = replace(best, above=best.above + 1, found=found)
    return best


def _score(roles: set[Role], below: Sequence[str], delimiter: str, width: int) -> float:
    """Count the roles of a header; one above rows that have as many cells counts half a role more.

    Words stand apart in any sentence, so with white space between the cells nothing else is a header.
    """
    rows = [line for line in below if line.strip() and not is_comment(line, delimiter)]
    fits = any(abs(len(cells_of(line, delimiter)) - width) <= (delimiter != " ") for line in rows)
    return len(roles) + 0.5 * fits if fits or delimiter != " " else 0.0


def _no_header(lines: Sequence[str]) -> _Header | None:
    """Take a table without names for one where rows of one width hold a number or a time in each of some cells."""
    for delimiter in _DELIMITERS:
        for number, line in enumerate(lines[:_HEADER_WITHIN]):
            if not line.strip() or is_comment(line, delimiter):
                continue
            cells = [cell.strip() for cell in cells_of(line, delimiter)]
            form = NumberForm(decided_mark(cells) or ".")
            numeric = sum(is_clock(cell) or (bool(cell) and numbers([cell], form)[0] >= 0) for cell in cells)
            said = sum(said_phase(cell) is not None for cell in cells)
            if len(cells) > 1 and numeric > 1 and numeric + said + cells.count("") == len(cells):
                return _Header(0, number, delimiter, [""] * len(cells), [None] * len(cells))
    return None


def _names(line: str, delimiter: str) -> list[str]:
    """Cut a header into names; it may be written as a remark."""
    bare = line.lstrip("#%!/ ") if is_comment(line, delimiter) and not line.startswith("#" + delimiter) else line
    return cells_of(bare.rstrip("\r\n"), delimiter)


def _sample_rows(lines: Sequence[str], delimiter: str) -> list[list[str]]:
    kept = (line for line in lines if line.strip() and not is_comment(line, delimiter))
    return [cells_of(line.rstrip("\r\n"), delimiter) for line in kept]
