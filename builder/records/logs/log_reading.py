"""From the lines of a log, whose layout is known, to rows of numbers, with every problem at its row and column."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.counts.run_log import Rows
from builder.fit.counts.sampled_air import AMBIENT, KINDS, MASK, OF_ONE, PURGE, SAME_AIR, SWAPPED
from builder.fit.phrases import phrase
from builder.records.csv_tables import TableProblem, TableProblems
from builder.records.logs.log_cells import bare_number, odd_cell
from builder.records.logs.log_layout import LogLayout
from builder.records.logs.log_lines import LogLines, Remarks, note_remark
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_numbers import numbers
from builder.records.logs.log_order import in_order
from builder.records.logs.log_said import EXERCISES, SaidExercises, SaidPhases
from builder.records.logs.log_sample import LogColumn
from builder.records.logs.log_text import row_chunks
from builder.records.logs.log_times import clock_seconds
from builder.records.logs.log_words import Role
from builder.records.nearest_words import nearest, plain
from builder.records.problems import quoted

# The largest value that can be meant: the limits of an entry, and for times any clock that counts seconds.
MOST = {"seconds": 1e11, "start": 1e11, "duration": 1e7, "particles": 1e12, "concentration": 1e9, "flow_cm3_s": 1e6}
_OF_ONE = {kind: number for number, kind in enumerate(OF_ONE)} | {KINDS[SAME_AIR]: PURGE}
_OF_TWO = {kind: number for number, kind in enumerate(KINDS)} | {KINDS[AMBIENT]: SAME_AIR}
"""With two sensors at once, ambient means that both are in room air."""


@dataclass(frozen=True)
class _Cells:
    """A column, the texts of it in a chunk, and the numbers of their rows."""

    column: LogColumn
    texts: Sequence[str]
    rows: Sequence[int]


class LogReader:
    """Reads a log chunk by chunk. Once there is a problem, rows are only checked."""

    def __init__(self, layout: LogLayout, problems: TableProblems) -> None:
        self.layout = layout
        self.problems = problems
        self.remarks: Remarks = {}
        self.elapsed = 0.0
        self.read = False
        self.unread: TableProblem | None = None
        self.kind = AMBIENT
        self.phases, self.exercises = SaidPhases(_OF_TWO if layout.at_once else _OF_ONE), SaidExercises()

    def rows(self, lines: Iterator[str]) -> Iterator[Rows]:
        """Give the rows of a whole file in order of time. Where no row has a reading, that is a problem."""
        layout = self.layout
        if layout.newest_first:
            note_remark(self.remarks, "newest_first", [layout.above + 1])
        yield from in_order(self._rows(lines), layout)
        if self.unread and not self.read:
            self.problems.append(self.unread)

    def _rows(self, lines: Iterator[str]) -> Iterator[Rows]:
        layout = self.layout
        read = row_chunks(islice(lines, layout.above, None), layout.delimiter, layout.above + 1)
        for chunk in LogLines(layout, self.problems, self.remarks).rows(read):
            columns = list(zip(*chunk.rows, strict=True))
            cells = {role: _Cells(c, columns[c.place], chunk.numbers) for role, c in layout.columns.items()}
            rows = self._chunk(chunk.numbers, cells)
            if not self.problems.total:
                yield rows

    def _chunk(self, number: Sequence[int], cells: Mapping[Role, _Cells]) -> Rows:
        lengths = self._read("duration", cells["duration"]) if "duration" in cells else None
        seconds, dated = self._seconds(cells, lengths)
        kind, exercise = self._said(cells, len(number))
        flow = outside = None
        if "inside" in cells:
            if self.layout.by_turns:
                kind, (amount, missing) = self._by_turns(cells)
            else:
                amount, missing = self._readings(cells["inside"])
                outside, missing_outside = self._readings(cells["outside"])
                missing = missing | missing_outside
            measure = cells["inside"].column.measure
        else:
            readings = cells["particles" if "particles" in cells else "concentration"]
            measure = readings.column.measure
            amount, missing = self._readings(readings)
            if "flow_cm3_s" in cells:
                flow = self._read("flow_cm3_s", cells["flow_cm3_s"])
        if measure == "rate":
            flow = np.ones(len(number))
        return Rows(
            number=np.array(number),
            seconds=seconds,
            kind=kind,
            exercise=np.where((kind == MASK) | (kind == SWAPPED), exercise, 0),
            amount=amount,
            concentration=measure != "particles",
            flow=flow,
            outside=outside,
            missing=missing,
            dated=dated,
            lengths=lengths if "start" in cells else None,
        )

    def _seconds(self, cells: Mapping[Role, _Cells], lengths: FloatArray | None) -> tuple[FloatArray, bool]:
        """Give the times of the rows, and whether they have dates or need none."""
        role: Role = "seconds" if "seconds" in cells else "start"
        if role not in cells and lengths is not None:
            ends = self.elapsed + np.cumsum(lengths)
            self.elapsed = float(ends[-1])
            return ends, True
        times = cells[role]
        if self.layout.clock:
            texts = times.texts
            if "date" in cells:
                dates = cells["date"].texts
                texts = [f"{date.strip()} {time.strip()}" for date, time in zip(dates, texts, strict=True)]
            seconds, dated = clock_seconds(texts)
            self._note(np.isnan(seconds), times, "no_time", example=quoted(times.texts[0].strip()))
        else:
            seconds, dated = self._read(role, times), True
        return seconds, dated

    def _by_turns(self, cells: Mapping[Role, _Cells]) -> tuple[IntArray, tuple[FloatArray, BoolArray]]:
        """Read two columns of which each row fills one."""
        inside, outside = cells["inside"], cells["outside"]
        blank = np.array([not text.strip() for text in inside.texts])
        texts = [b if empty else a for a, b, empty in zip(inside.texts, outside.texts, blank, strict=True)]
        return np.where(blank, AMBIENT, MASK), self._readings(_Cells(inside.column, texts, inside.rows))

    def _said(self, cells: Mapping[Role, _Cells], length: int) -> tuple[IntArray, IntArray]:
        """Give what each row is of, and the exercise."""
        kind, exercise = np.full(length, MASK if self.layout.at_once else AMBIENT), np.zeros(length, int)
        if "phase" in cells:
            phase = cells["phase"]
            both = np.array([self.phases[text] for text in phase.texts])
            kind, exercise = both // len(EXERCISES), both % len(EXERCISES)
            if self.layout.carried:
                kind, exercise = self._carried(phase, kind, exercise)
            self._note_words(kind < 0, phase, "no_phase_word", KINDS if self.layout.at_once else OF_ONE)
        if "exercise" in cells:
            said = np.array([self.exercises[text] for text in cells["exercise"].texts])
            self._note_words(said < 0, cells["exercise"], "no_exercise_word", EXERCISES)
            exercise = np.where(said > 0, said, exercise)
            if self.layout.at_once and "phase" not in cells:  # between the exercises
                kind = np.where(exercise > 0, kind, PURGE)
        return kind, exercise

    def _carried(self, phase: _Cells, kind: IntArray, exercise: IntArray) -> tuple[IntArray, IntArray]:
        """Let a blank cell go on with the phase above it."""
        written = np.array([bool(text.strip()) for text in phase.texts])
        last = np.maximum.accumulate(np.where(written, np.arange(kind.size), -1))
        before, did = divmod(self.kind, len(EXERCISES))
        kind, exercise = np.where(last < 0, before, kind[last]), np.where(last < 0, did, exercise[last])
        self.kind = int(kind[-1]) * len(EXERCISES) + int(exercise[-1])
        return kind, exercise

    def _readings(self, cells: _Cells) -> tuple[FloatArray, BoolArray]:
        """Give the readings, and which rows have none. What stands there instead of a number is noted as odd."""
        column = cells.column
        values = self._numbers(cells)
        missing = np.zeros(values.size, bool)
        odd: dict[str, list[int]] = {}
        for place in np.flatnonzero(~np.isfinite(values)).tolist():
            if found := odd_cell(bare_number(cells.texts[place], column.unit)):
                odd.setdefault(found.remark, []).append(place)
                missing[place] = not found.number
                values[place] = numbers([found.number], column.form)[0] if found.number else 0.0
        if column.measure != "particles" and (values < 0).any():
            odd["below_zero"] = np.flatnonzero(values < 0).tolist()
            values = np.where(values < 0, 0.0, values)
        for remark, places in odd.items():
            note_remark(self.remarks, remark, [cells.rows[place] for place in places])
        if missing.any() and not self.unread:
            first = int(np.argmax(missing))
            problem = log_message("no_number", value=quoted(cells.texts[first]))
            remedy = log_message("no_number_remedy", **_example(column))
            self.unread = TableProblem(cells.rows[first], column.name, problem, remedy)
        self.read = self.read or not missing.all()
        return self._checked(_role(column), cells, values), missing

    def _read(self, role: str, cells: _Cells) -> FloatArray:
        """Give a column's numbers in the usual unit, and note what is none or cannot be meant."""
        return self._checked(role, cells, self._numbers(cells))

    def _numbers(self, cells: _Cells) -> FloatArray:
        column = cells.column
        texts = [bare_number(text, column.unit) for text in cells.texts] if column.unit else cells.texts
        return numbers(texts, column.form)

    def _checked(self, role: str, cells: _Cells, values: FloatArray) -> FloatArray:
        finite = np.isfinite(values)
        self._note(~finite, cells, "no_number", **_example(cells.column))
        self._note(finite & (values < 0), cells, "negative")
        if role == "particles" and cells.column.measure == "particles":
            self._note(finite & (values != np.floor(values)), cells, "not_whole")
        if role == "flow_cm3_s":
            self._note(values == 0, cells, "no_flow")
        values = values * cells.column.factor
        self._note(finite & (values > MOST[role]), cells, "too_large", most=f"{MOST[role]:.0e}")
        return values

    def _note(self, wrong: BoolArray, cells: _Cells, told: str, **values: object) -> None:
        """Note a problem of some cells, once, by the first of them."""
        places = np.flatnonzero(wrong).tolist()
        if places:
            rows = [cells.rows[place] for place in places]
            problem = log_message(told, value=quoted(cells.texts[places[0]]), **values)
            remedy = log_message(f"{told}_remedy", **values)
            self.problems.add_repeated(rows, cells.column.name, problem, remedy, told)

    def _note_words(self, wrong: BoolArray, cells: _Cells, told: str, known: Sequence[str]) -> None:
        """Note words that are not known, each once with all its rows."""
        rows: dict[str, list[int]] = {}
        for place in np.flatnonzero(wrong).tolist():
            rows.setdefault(cells.texts[place], []).append(cells.rows[place])
        for text, of_text in rows.items():
            near = nearest(plain(text), known)
            if near:
                remedy = log_message("meant_remedy", word=near[0])
            else:
                remedy = log_message("known_remedy", words=", ".join(filter(None, known)))
            self.problems.add_repeated(of_text, cells.column.name, log_message(told, value=quoted(text)), remedy)


def _example(column: LogColumn) -> dict[str, str]:
    return {"mark": phrase("point" if column.form.decimal == "." else "comma"), "example": f"12{column.form.decimal}5"}


def _role(column: LogColumn) -> str:
    return "particles" if column.measure in ("particles", "rate") else "concentration"
