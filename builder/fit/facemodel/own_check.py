"""The check of what own results are worth: wearers left out tell some of their tests, and the others are predicted.

Everything is fitted without them. Each tells tests of up to three configurations, drawn at random; after none, one, two
and three of these the tests of the same further configurations are predicted, so that rows can be compared. Beside the
model stands each configuration's mean, shifted by how the wearer's told readings lie above theirs: towards none, by
as much as the wearers' own spread says.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from pandas.api.extensions import ExtensionArray
from scipy.special import logsumexp, ndtr

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.facemodel.informed_outlook import inform
from builder.fit.facemodel.left_out import ExpectedFold
from builder.fit.facemodel.outlook import Outlook
from builder.fit.facemodel.own_results import Sites
from builder.fit.facemodel.predict import log_weights, predict
from builder.fit.facemodel.scoring import Score, inside, ln_readings, score, three_tried

MOST_TOLD = 3
_ORDERS = 2
"""Draws of what a wearer tells; one of each where there are many wearers."""
_MOST_WEARERS = 120
_SEED = 0
_LEAST_WITHIN = 0.1
"""Share of the scatter beside the configurations that is never taken for what sets wearers apart."""


@dataclass(frozen=True)
class OwnCheck:
    """Predictions after `told` own results, of so many `tests` and `wearers`."""

    told: int
    model: Score
    shifted_mean: Score
    coverage: float
    """Share of readings inside the 90 % interval of single donnings."""
    claimed: float
    came_true: float
    """Of lists of three, the chance claimed and the share that held a pass; NaN for no lists."""
    by_mean: float
    """That share for the three highest shifted means."""
    lists: int
    tests: int
    wearers: int


@dataclass(frozen=True)
class OwnTold:
    """Predictions of one fold: a row a test and number told, and a row a list."""

    tests: pd.DataFrame
    lists: pd.DataFrame


def own_check_of(folds: Sequence[OwnTold]) -> tuple[OwnCheck, ...]:
    """Score all folds together, by number told."""
    tests = pd.concat([fold.tests for fold in folds], ignore_index=True)
    lists = pd.concat([fold.lists for fold in folds], ignore_index=True)
    checks = []
    for told in range(MOST_TOLD + 1) if len(tests) else ():
        own, three = tests[tests["told"] == told], lists[lists["told"] == told]
        known = own[own["passed"].notna()]
        if known.empty:
            return ()
        checks.append(
            OwnCheck(
                told=told,
                model=score(known, "chance"),
                shifted_mean=score(known, "by_mean"),
                coverage=float(own["covered"].mean()),
                claimed=float(three["claimed"].mean()),
                came_true=float(three["came_true"].mean()),
                by_mean=float(three["by_mean"].mean()),
                lists=len(three),
                tests=len(own),
                wearers=own["wearer"].nunique(),
            )
        )
    return tuple(checks)


def own_check_tests(fold: ExpectedFold, known: pd.DataFrame, held: pd.DataFrame, limit: float, wearers: int) -> OwnTold:
    """Predict the tests of wearers held out; `wearers` is how many there are in all folds."""
    means = _Means.of(known)
    orders = _ORDERS if wearers * _ORDERS <= _MOST_WEARERS else 1
    share = min(1.0, _MOST_WEARERS / wearers)
    passed = fold.tests["passed"].array
    tests: list[pd.DataFrame] = []
    lists: list[tuple[int, float, bool, bool]] = []
    for left_out in fold.left_out:
        wearer, rows, outlooks = left_out.wearer, left_out.rows, left_out.outlooks
        own = held.iloc[rows]
        configurations = own["configuration"].unique()
        rng = np.random.default_rng([_SEED, *wearer.encode()])
        if len(configurations) <= MOST_TOLD or rng.random() > share:
            continue
        results = _Results.of(own, passed[rows], means)
        names = own["configuration"].to_numpy(object)
        for _ in range(orders):
            drawn = rng.permutation(configurations)[:MOST_TOLD]
            first = np.array([int(np.flatnonzero(names == name)[0]) for name in drawn], dtype=np.intp)
            left = np.flatnonzero(~own["configuration"].isin(drawn))
            for told in range(MOST_TOLD + 1):
                predicted, three = _predicted(outlooks, fold.weights, results, limit, told=first[:told], left=left)
                tests.append(pd.DataFrame({"wearer": wearer, "passed": passed[rows[left]], **predicted, "told": told}))
                lists += [(told, *three)] if three else []
    columns = ["wearer", "passed", "chance", "by_mean", "covered", "told"]
    return OwnTold(
        pd.concat(tests, ignore_index=True) if tests else pd.DataFrame(columns=columns),
        pd.DataFrame(lists, columns=["told", "claimed", "came_true", "by_mean"]),
    )


def _predicted(
    outlooks: Sequence[Outlook],
    weights: FloatArray,
    own: "_Results",
    limit: float,
    *,
    told: IntArray,
    left: IntArray,
) -> tuple[dict[str, FloatArray], tuple[float, bool, bool] | None]:
    """The tests `left` after those `told`, and a list of three of their configurations where there are as many."""
    informed, heights = list(outlooks), log_weights(weights)
    if len(told):
        none: FloatArray = np.zeros(len(told), dtype=np.float64)
        side = own.at_least[told].astype(np.float64)
        sites = Sites(side, own.reading[told], none, none + 1.0, none, np.zeros((len(told), len(told))))
        found = [inform(outlook, told, sites) for outlook in outlooks]
        informed = [outlook for outlook, _ in found]
        heights = heights + np.array([evidence for _, evidence in found])
    weights = np.exp(heights - logsumexp(heights))
    expected = predict(informed, limit, weights)
    by_mean = own.by_mean(told, limit)
    low, high = expected.reading_low[left], expected.reading_high[left]
    predicted = {
        "chance": expected.chance[left],
        "by_mean": by_mean[left],
        "covered": inside(own.reading[left], own.at_least[left], low, high),
    }
    known = left[own.is_known[left]]
    # The first test of each configuration, in the order of the tests.
    first = known[np.sort(np.unique(own.configuration[known], return_index=True)[1])]
    if len(first) < 3:
        return predicted, None
    return predicted, three_tried(informed, limit, weights, first, by_mean=by_mean, passed=own.passed)


@dataclass(frozen=True)
class _Means:
    """Each configuration's mean ln fit factor, and how wearers and single donnings lie about it."""

    mean: "pd.Series[float]"
    count: "pd.Series[int]"
    overall: float
    wearer: float
    """Variance of what a wearer reads above all means."""
    rest: float

    @classmethod
    def of(cls, known: pd.DataFrame) -> "_Means":
        """Learn them from tests, the variances by the method of moments."""
        reading = ln_readings(known)
        groups = reading.groupby(known["configuration"])
        residual = reading - groups.transform("mean")
        total = float((residual**2).sum() / max(len(known) - groups.ngroups, 1))
        of_wearers = residual.groupby(known["wearer"])
        between = float((of_wearers.mean() ** 2 - total / of_wearers.size()).mean())
        wearer = min(max(between, 0.0), (1 - _LEAST_WITHIN) * total)
        return cls(groups.mean(), groups.size(), float(reading.mean()), wearer, total - wearer)


@dataclass(frozen=True)
class _Results:
    """Somebody's tests as arrays, with the mean of each one's configuration and how many tests it is of."""

    configuration: IntArray
    reading: FloatArray
    at_least: BoolArray
    is_known: BoolArray
    """Whether it is known if it passed."""
    passed: BoolArray
    mean: FloatArray
    count: FloatArray
    means: _Means

    @classmethod
    def of(cls, own: pd.DataFrame, passed: ExtensionArray, means: _Means) -> "_Results":
        """Take them from rows of a table."""
        name = own["configuration"]
        return cls(
            configuration=np.asarray(pd.factorize(name)[0], dtype=np.intp),
            reading=np.asarray(ln_readings(own), dtype=np.float64),
            at_least=own["at_least"].to_numpy(bool),
            is_known=~np.asarray(passed.isna()),
            passed=pd.Series(passed).fillna(False).to_numpy(bool),
            mean=np.asarray(name.map(means.mean).fillna(means.overall), dtype=np.float64),
            count=np.asarray(name.map(means.count).fillna(1), dtype=np.float64),
            means=means,
        )

    def by_mean(self, told: IntArray, limit: float) -> FloatArray:
        """Chance of each to pass by its configuration's mean, after some were told."""
        means = self.means
        above = self.reading[told] - self.mean[told]
        heard = means.rest + len(told) * means.wearer
        shift = means.wearer * above.sum() / heard
        variance = means.rest * (1 + 1 / self.count) + means.wearer * means.rest / heard
        return np.asarray(ndtr((self.mean + shift - limit) / np.sqrt(variance)))
