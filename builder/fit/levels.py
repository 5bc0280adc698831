"""The levels and limits that judgements rest on, each stated once.

Figures, sentences and pages take them from here; the scripts in the browser are handed them with their data.
"""

PASS_LEVEL = 100.0
"""The fit factor a half mask, filtering facepieces included, must reach: 29 CFR 1910.134(f)(7) and App. A."""

LEAKS_AT_ONCE = 20.0
"""A leak that is felt at once leaves a fit factor below this, a total inward leakage of 5 %: no published source."""

LEAST_TOLD, MOST_TOLD = 1.0, 1e6
"""Fit factors that can be told: below the first a mask protects less than none, above the second nothing measures."""

SHOWN_LEVEL = 0.95
"""The one level of intervals that readers are shown: common practice, no published source.

Two kinds stay at another level, since something is judged by them, and name it beside each: those of predicted
chances, which lists are ordered by, and those of verdicts.
"""

PREDICTED_LEVEL = 0.90
"""Level of the interval around a chance that is predicted; one tail of it is the usual 5 %. No published source."""

LIKELY_LEVEL, CLEAR_LEVEL = 0.90, 0.99
"""The interval that leaves out 1 where a difference is called likely, and where clear: no published source."""

ALIKE_RATIO = 1.5
"""Ratios within ×÷ this are called alike: less than what two single donnings of one set-up differ by."""

CLEAR_INTERACTION_P = 0.05
"""Below this Holm-adjusted p-value one effect of a part, whatever else is fitted, would mislead."""

MOVED_P = 0.01
"""Below this p-value the days of a reference differ by more than donnings do. Every tester's reference is looked at, so
a twentieth would call a bench moved too often: no published source."""

DOUBLING = 2.0
"""The ratio that donnings still needed would tell: half the leakage. No published source."""

PLANNED_LEVEL = 0.95
"""What a planned comparison is held to: common practice, no published source."""

WANTED_POWER = 0.8
"""The chance of telling a difference that is there: common practice, no published source."""

WORTH_ONE_MORE = 0.1
"""A further donning that changes a verdict with less chance than this is not worth its ten minutes: no published
source."""

MOST_ADDED_DONNINGS = 200
"""More than anyone would add to what is there; the search for how many would tell ends here."""

MOST_PLANNED_DONNINGS = 100
"""Beyond this many donnings of each configuration nobody looks for a doubling."""

LONGEST_RUN = 200
"""A run of more donnings is days of work; it is better planned in pieces."""

WEARING_MINUTES = 5.0
"""The mask is worn about so long before a test begins (29 CFR 1910.134 App. A, value from memory)."""

CHANGE_MINUTES = 2.0
"""To fit or take off one part: common practice, no published source."""

FEWEST_ARMS = 5
"""Fewer arms with repeats than this say too little about the scatter of a database; the planning value stands in."""

FEWEST_WEARERS = 8
"""With fewer people the wearers' own spread is a guess, and every new face hangs on it."""

FEW_FACES = 5
"""Below this many faces a figure says in words that it is only a start. No published source."""

RANKED_FACES = 3
"""Fewer faces than this never stand above more where only the best are named: one may be lucky."""

NEAR_MM = 10.0
"""Faces this close count as near: about the size of a cell of the panel. No published source."""

BRIDGE_MM = 5.0
"""What a step of the nose bridge, low to medium to high, counts in such a distance where wearers are chosen by it: as
in the face model, about 0.6 of its 8 mm."""

LITTLE_KNOWN = 0.5
"""A chance whose interval is wider than this is not worth a figure. No published source."""


def beyond(level: float) -> float:
    """The share that an interval of a level leaves out on both sides together: 0.05 for 0.95."""
    return round(1 - level, 9)


def tails(level: float) -> tuple[float, float]:
    """The probabilities at the two ends of an interval of a level with equal tails: 0.025 and 0.975 for 0.95."""
    return round((1 - level) / 2, 9), round((1 + level) / 2, 9)
