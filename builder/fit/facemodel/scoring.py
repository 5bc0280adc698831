"""How predictions are held against what was measured."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.special import ndtr

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.facemodel.outlook import Outlook
from builder.fit.facemodel.predict import HALF_WIDTH, try_in_order

CERTAIN = 1e-6
"""No chance is taken to be nearer to 0 or 1: one wrong prediction would otherwise count without limit."""


@dataclass(frozen=True)
class Score:
    """Mean squared error of the chances (Brier, lower is better) and mean log score (higher is better)."""

    brier: float
    log_score: float


def passed_level(table: pd.DataFrame, pass_level: float) -> "pd.Series[bool]":
    """Whether each test reached the level; missing where it is only known to be at least something lower."""
    reached = table["fit_factor"] >= pass_level
    return reached.astype("boolean").mask(table["at_least"] & ~reached)


def ln_readings(table: pd.DataFrame) -> "pd.Series[float]":
    """ln fit factor of each test, or the limit that it is at least."""
    return pd.Series(np.log(np.maximum(table["fit_factor"].to_numpy(float), 1.0)), index=table.index)


def inside(reading: FloatArray, at_least: BoolArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """Whether each ln reading lies in its interval of single donnings, `low` to `high`; of limits the part."""
    place = (reading - (low + high) / 2) / ((high - low) / (2 * HALF_WIDTH))
    within = (np.abs(place) <= HALF_WIDTH).astype(float)
    # Held above `place`: the part of the prediction from there on that is inside.
    part = np.clip(ndtr(HALF_WIDTH) - ndtr(np.maximum(place, -HALF_WIDTH)), 0, None) / np.maximum(ndtr(-place), CERTAIN)
    return np.asarray(np.where(at_least, part, within))


def log_scores(tests: pd.DataFrame, column: str) -> FloatArray:
    """Log of the chance given to what came out, for tests with an outcome."""
    chance = tests[column].to_numpy(float).clip(CERTAIN, 1 - CERTAIN)
    return np.asarray(np.log(np.where(tests["passed"].to_numpy(bool), chance, 1 - chance)))


def three_tried(
    outlooks: Sequence[Outlook],
    limit: float,
    weights: FloatArray,
    first: IntArray,
    *,
    by_mean: FloatArray,
    passed: BoolArray,
) -> tuple[float, bool, bool]:
    """Chance claimed for three of somebody's configurations, and whether a first donning of them passed.

    `first` numbers the first test of each among theirs, of which `by_mean` has the chances by the configurations' means
    and `passed` what came out. Last: whether one of the three with the highest means passed.
    """
    chosen = try_in_order(outlooks, limit, 3, weights, first)
    best = first[np.argsort(-by_mean[first], kind="stable")[:3]]
    return chosen[-1][2], bool(passed[[number for number, *_ in chosen]].any()), bool(passed[best].any())


def score(tests: pd.DataFrame, column: str) -> Score:
    """Both scores of the chances in a column, of tests with an outcome in `passed`."""
    chance = tests[column].to_numpy(float).clip(CERTAIN, 1 - CERTAIN)
    return Score(
        brier=float(((chance - tests["passed"].to_numpy(bool)) ** 2).mean()),
        log_score=float(log_scores(tests, column).mean()),
    )
