"""What is said of a bench that stayed, of one that moved, and of readings beside those of others."""

from __future__ import annotations

from builder.fit.compare.reference_drift import reference_drift
from builder.fit.compare.tester_levels import BesideOthers
from builder.fit.intervals import Interval
from builder.words.tester_words import drift_words, level_words

DAYS = ["2026-09-01"] * 3 + ["2026-09-08"] * 3


def test_a_bench_that_stayed() -> None:
    drift = reference_drift(DAYS, [100, 90, 110, 95, 105, 120], 0.25, 12)
    assert drift is not None
    assert drift_words(drift) == (
        "Nothing but the scatter of donnings shows. Had 2026-09-08 read ×2.43 of the other days or more, or ×0.411 or "
        "less, it would have stood out (95 % interval)."
    )


def test_a_bench_that_moved() -> None:
    drift = reference_drift(DAYS, [100, 90, 110, 20, 18, 22], 0.25, 12)
    assert drift is not None
    assert drift_words(drift) == (
        "The bench may have moved: these days differ by more than donnings do (p = 0.00195). 2026-09-08 reads ×0.2 of "
        "the other days (95 % interval ×0.0822 to ×0.487). Look at hose, probe and zero, and don a fresh specimen."
    )


def test_beside_others() -> None:
    within, apart = (BesideOthers(1.4, Interval(low, 2.2), 9, 3) for low in (0.9, 1.1))
    assert level_words(within) == (
        "On 9 set-ups that others tested the same way, these readings are ×1.4 of theirs (95 % interval ×0.9 to ×2.2), "
        "on 3 wearers. That is within what faces differ by: it tells no bench from another."
    )
    assert level_words(apart).endswith(
        "That is more than faces differ by alone: somebody's bench, or how a mask is donned there, is another."
    )
    assert level_words(None) == (
        "Nobody else has tested the same masks the same way yet, so there is nothing to lay these readings beside."
    )
