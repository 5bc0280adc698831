"""No exercise is ten times off all the others.

The hard exercises read about half of the easy ones (NIOSHTIC-2 20025660: 0.56 to 0.67 times). One that is ten times
above or below every other of the same donning is a slipped decimal point, or the mask slipped: then it is worth a
sentence in the notes. Ten times is common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule

TIMES = 10.0
FEWEST_OTHERS = 2


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the lowest and the highest exercise with the next."""
    result, test = record.test.result, record.test
    if result.set_aside or test.observations.notes:
        return
    given = [(e.fit_factor, place) for place, e in enumerate(result.exercise) if e.fit_factor is not None]
    if len(given) <= FEWEST_OTHERS:
        return
    given.sort()
    for (value, place), (next_value, _) in ((given[0], given[1]), (given[-1], given[-2])):
        if max(value, next_value) >= TIMES * min(value, next_value):
            side = "below" if value < next_value else "above"
            yield Finding(
                ("result", "exercise", place, "fit_factor"),
                f"{result.exercise[place].name} is {value:g}, more than {TIMES:g} times {side} all other exercises.",
                "Check the decimal point; if it is right, say in observations.notes what happened.",
            )


RULE = RecordRule("slipped-exercise", "No exercise is far off all others", __doc__, severity="warning", test=check)
