"""Reads the log of a run as counters and people write it: a table with a row an interval.

| column | holds |
|---|---|
| `seconds` | time at the end of the row's interval: in seconds, as clock time, or as date and time |
| `phase` | what the counter breathed: `ambient` (room air), `mask`, or `purge` (while the hose is flushed) |
| `exercise` | what the wearer did in a mask phase, such as `talking`; may be empty; the column may be missing |
| `particles` | particles counted in the interval, a whole number |
| `concentration` | or, instead of `particles`, particles per cm³ |
| `flow_cm3_s` | with `concentration`, if known: sampled air in cm³ a second, which makes particle counts of it |

These are the names used here; `logs/log_words.toml` has the others that are understood, `logs/log_layout.py` what a
table may look like. Each row's interval begins at the time of the row before, the first one's at 0. A new phase or
another exercise begins a new stretch.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import chain, islice
from pathlib import Path

from builder.fit.counts.run_log import NO_PURGE, Purge, RunLog, TooManyStretchesError, read_log
from builder.fit.counts.schedule import FINE_BINS, RunSchedule, ScheduleCut, lay
from builder.fit.counts.trace import BINS
from builder.records.csv_tables import TableError, TableProblems
from builder.records.logs.log_layout import SAMPLE_LINES, find_layout
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_reading import LogReader
from builder.records.logs.log_text import lines_from


def read_counts(
    path: Path, purge: Purge = NO_PURGE, reading: str = "", schedule: RunSchedule | None = None
) -> RunLog | TableProblems:
    """Read a log in bounded memory, or give all that is wrong with it.

    `reading` names its column of readings. A `schedule` cuts it instead of its own phases; the log is read twice then.
    """
    problems = TableProblems()
    cut = None
    try:
        if schedule:
            fine = _read(path, problems, NO_PURGE, reading, scheduled=True, bins=FINE_BINS)
            if fine is None or not fine.levels:
                return _empty(problems)
            cut = lay(schedule, fine.levels, fine.bin_s)
        found = _read(path, problems, purge, reading, scheduled=schedule is not None, cut=cut)
    except TableError as error:
        problems.append(error.problem)
    except TooManyStretchesError as error:
        problems.add(0, "", str(error), log_message("many_stretches_remedy"))
    else:
        return found if found and found.stretches else _empty(problems)
    return problems


def _read(
    path: Path,
    problems: TableProblems,
    purge: Purge,
    reading: str,
    *,
    scheduled: bool,
    cut: ScheduleCut | None = None,
    bins: int = BINS,
) -> RunLog | None:
    """Read a log once. None where there are problems."""
    with lines_from(path) as lines:
        sample = list(islice(lines, SAMPLE_LINES))
        layout = find_layout(sample, problems, reading, scheduled=scheduled)
        if layout is None:
            return None
        reader = LogReader(layout, problems)
        found = read_log(reader.rows(chain(sample, lines)), purge, cut=cut, bins=bins)
    return None if problems.total else replace(found, by_weight=layout.by_weight, remarks=reader.remarks)


def _empty(problems: TableProblems) -> TableProblems:
    if not problems.total:
        problems.add(0, "", log_message("no_rows"), log_message("no_rows_remedy"))
    return problems
