"""What is said of a doubtful run: each sentence once, by its id; the scripts of the site have them from here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.fit.counts.doubts import AT_ITS_LIMIT, BELOW_ONE, CONSTANT, DRIFTED, TOO_FEW_EXPECTED

DOUBTS: Mapping[str, str] = {
    "no_start": "Row {row} is left out: its time does not count from the start of the log, so its interval is unknown.",
    "gaps": (
        "{times} (first in row {row}) in time, the longest of {most} s, where rows are {usual} s apart. "
        "The row after a gap is taken to cover {usual} s."
    ),
    "overlaps": "{times} (first in row {row}) in time: rows much closer together than the usual {usual} s.",
    "repeats": "{times} (first in row {row}) with the same time as the row before: left out.",
    "backwards": (
        "{times} (first in row {row}) of the clock backwards, by up to {most} s: the row after a step is left out."
    ),
    "coarse_clock": (
        "{times} (first in row {row}) with the same time as the row before, as if the clock had too few digits: rows "
        "of one time are taken for equal parts of it."
    ),
    "newest_first": "The newest row stands first: the log is read from its end.",
    "repeated_headers": "Passed over: {times} with the header again (first in row {row}).",
    "lines_below": "Passed over: {times} below the readings (first in row {row}), such as totals.",
    "missing_readings": "Left out: {times} without a reading (first in row {row}).",
    "over_range": (
        "Left out: {times} above the range of the counter (first in row {row}), so that the mean there is too low. "
        "Thin the air."
    ),
    "below_limit": (
        "Taken for the limit: {times} given as less than that (first in row {row}). Fit factors may be higher."
    ),
    "below_zero": "Taken for 0: {times} below it (first in row {row}). See whether the counter reads 0 in clean air.",
    "poor_schedule": (
        "The schedule does not fit the steps of the log: {wrong} of it lies on the wrong side of one or beyond the "
        "log. Look at the chart, and give the phases with the seconds they had."
    ),
    "nothing_left": "Nothing is left of {phases}: the purge takes {purged} s.",
    "hardly_left": ("Of {phases} are left after a purge of {purged} s: sample longer, or make the hose shorter."),
    "too_short": "Too short a sample: {phases}. Published protocols sample {least} s or more.",
    "tail_in_mask": (
        "Too short a purge: the level still falls for up to {longest} s at the start of {phases}. "
        "Drop more seconds after each switch to the mask."
    ),
    "tail_in_air": (
        "Too short a purge: the level still rises for up to {longest} s at the start of {phases}. "
        "Drop more seconds after each switch to room air."
    ),
    "no_air_before": (
        "No room air was sampled before the mask: what was sampled after it stands alone, and a drift would not show."
    ),
    "no_air_after": (
        "No room air was sampled after the mask: what was sampled before it stands alone, and a drift would not show."
    ),
    "constant": f"{CONSTANT} {AT_ITS_LIMIT}",
    "at_its_limit": (
        "{times} of {rows} ambient readings are {most}, and none is higher: the counter seems to be at its limit, and "
        f"fit factors read too low. {AT_ITS_LIMIT}"
    ),
    "too_much_drift": f"{DRIFTED} Repeat the run, or set it aside.",
    "drift": (
        "The ambient level changed ×{ratio} between two samplings. Keep doors shut, and the source of particles steady."
    ),
    "too_few_counts": (
        "Too few ambient counts to show a fit factor of {level} even without a particle in the mask: {exercises}. "
        "Count longer, or raise the ambient level."
    ),
    "none_in_mask": (
        "No particle shows in {exercises}. Without the sampled air the limit rests on the smallest reading of the log, "
        "{least}: give particle counts, or the flow in a column flow_cm3_s."
    ),
    "too_little_air": f"{TOO_FEW_EXPECTED}; {{highest}} came out. Count longer, or raise the ambient level.",
    "sensors_not_compared": (
        "The two sensors were not compared: what they differ by in the same air is in the fit factors. Let both sample "
        "room air for a minute, or swap them halfway."
    ),
    "sensors_compared": (
        "In the same air the sensor inside reads ×{ratio} of the one outside, which is taken out; how surely that is "
        "known is in the interval."
    ),
    "sensor_levels_compared": (
        "In the same air the sensor inside reads ×{ratio} of the one outside, which is taken out."
    ),
    "below_one": f"{BELOW_ONE} Check which rows are ambient and which mask.",
    "below_one_at_once": f"{BELOW_ONE} Check which column is inside.",
}
"""By id; what stands in braces is filled in."""


REMARKS: Mapping[str, str] = {
    "newest_first": "",
    "repeated_headers": "row",
    "lines_below": "line",
    "missing_readings": "row",
    "over_range": "reading",
    "below_limit": "reading",
    "below_zero": "reading",
}
"""Doubts that come from how a log is written, in the order in which they are told; what each of them counts."""


@dataclass(frozen=True)
class Doubt:
    """What makes a run doubtful: its id in `DOUBTS`, and the sentence."""

    id: str
    text: str


def doubt(name: str, /, **values: object) -> Doubt:
    """Give one of them. KeyError for an unknown id, or for a value that it names and is not given."""
    return Doubt(name, DOUBTS[name].format(**values))
