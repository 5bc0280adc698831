"""Testers on the same masks: by hand, and simulated with faces and benches of a known truth."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from builder.fit.compare.tester_levels import levels_of_testers


def table(rows: list[tuple[str, str, str, float]]) -> pd.DataFrame:
    frame = pd.DataFrame(rows, columns=["contributor", "wearer", "configuration", "fit_factor"])
    return frame.assign(method="m", counted=True, at_least=False)


def simulated(random: np.random.Generator, bench: float) -> pd.DataFrame:
    """Six testers with three faces each on eight masks; the first tester's readings are `bench` higher on ln FF."""
    masks, rows = random.normal(0, 0.8, 8), []
    for tester in range(6):
        for face in range(3):
            own = random.normal(0, 0.7)
            rows += [
                (
                    f"t{tester}",
                    f"w{tester}-{face}",
                    f"c{mask}",
                    math.exp(4 + level + own + bench * (tester == 0) + noise),
                )
                for mask, level in enumerate(masks)
                for noise in random.normal(0, 0.5, 2)
            ]
    return table(rows)


def test_two_testers_by_hand() -> None:
    found = levels_of_testers(table([("a", "x", "cup", 200), ("b", "y", "cup", 100), ("b", "z", "cup", 50)]))
    assert found["a"].ratio == pytest.approx(200 / math.sqrt(100 * 50))
    assert (found["a"].set_ups, found["a"].wearers) == (1, 1)
    assert (found["b"].set_ups, found["b"].wearers) == (1, 2)
    assert found["a"].interval.low < found["a"].ratio < found["a"].interval.high


def test_only_what_others_tested_the_same_way_is_compared() -> None:
    rows = table([("a", "x", "cup", 200), ("b", "y", "cup", 100), ("a", "x", "box", 1), ("c", "z", "bag", 5)])
    assert set(levels_of_testers(rows)) == {"a", "b"}
    assert levels_of_testers(rows)["a"].ratio == pytest.approx(2)
    rows.loc[1, "method"] = "another"
    assert levels_of_testers(rows) == {}


def test_limits_and_takes_set_aside_are_left_out() -> None:
    rows = table([("a", "x", "cup", 200), ("b", "y", "cup", 100), ("b", "z", "cup", 50)])
    rows.loc[1, "at_least"] = True
    assert levels_of_testers(rows)["a"].ratio == pytest.approx(4)
    rows.loc[1, ["at_least", "counted"]] = [False, False]
    assert levels_of_testers(rows)["a"].ratio == pytest.approx(4)


def test_no_tests_no_levels() -> None:
    assert levels_of_testers(table([])) == {}


def test_the_interval_covers_the_bench_whatever_faces_it_saw() -> None:
    """300 databases: within three standard errors of 95 %, or wider, for its spread is taken with the bench's own."""
    random = np.random.default_rng(7)
    for bench in (0.0, math.log(2)):
        found = [levels_of_testers(simulated(random, bench))["t0"] for _ in range(150)]
        covered = np.mean([one.interval.low <= math.exp(bench) <= one.interval.high for one in found])
        assert 0.95 - 3 * math.sqrt(0.95 * 0.05 / 150) <= covered
        assert np.median([one.ratio for one in found]) == pytest.approx(math.exp(bench), rel=0.1)
