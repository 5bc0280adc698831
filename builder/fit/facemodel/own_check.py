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
from scipy.special import logsumexp, ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.methods import METHOD
from builder.fit.facemodel.design import faces_of
from builder.fit.facemodel.informed_outlook import inform
from builder.fit.facemodel.model import FaceModel
from builder.fit.facemodel.outlook import Outlook
from builder.fit.facemodel.own_results import Sites
from builder.fit.facemodel.predict import predict, try_in_order
from builder.fit.facemodel.scoring import Score, covered, ln_readings, passed_level, score

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
class _Told:
    """Predictions of one fold: a row a test and number told, and a row a list."""

    tests: pd.DataFrame
    lists: pd.DataFrame


def own_check_of(folds: Sequence[_Told]) -> tuple[OwnCheck, ...]:
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


def own_check_tests(model: FaceModel, known: pd.DataFrame, held: pd.DataFrame, wearers: int) -> _Told:
    """Predict the tests of wearers held out; `wearers` is how many there are in all folds."""
    means = _Means.of(known)
    orders = _ORDERS if wearers * _ORDERS <= _MOST_WEARERS else 1
    share = min(1.0, _MOST_WEARERS / wearers)
    tests: list[pd.DataFrame] = []
    lists: list[tuple[int, float, bool, bool]] = []
    for wearer, face in sorted(faces_of(held).items()):
        own = held[held["wearer"] == wearer].reset_index(drop=True)
        configurations = own["configuration"].unique()
        rng = np.random.default_rng([_SEED, *wearer.encode()])
        if len(configurations) <= MOST_TOLD or rng.random() > share:
            continue
        outlooks = model.outlooks(face, own["configuration"].tolist(), own[METHOD])
        for _ in range(orders):
            drawn = rng.permutation(configurations)[:MOST_TOLD]
            first = np.array([int(np.flatnonzero(own["configuration"] == name)[0]) for name in drawn], dtype=np.intp)
            left = np.flatnonzero(~own["configuration"].isin(drawn))
            for told in range(MOST_TOLD + 1):
                predicted, three = _predicted(model, outlooks, own, told=first[:told], left=left, means=means)
                tests.append(predicted.assign(told=told))
                lists += [(told, *three)] if three else []
    columns = ["wearer", "passed", "chance", "by_mean", "covered", "told"]
    return _Told(
        pd.concat(tests, ignore_index=True) if tests else pd.DataFrame(columns=columns),
        pd.DataFrame(lists, columns=["told", "claimed", "came_true", "by_mean"]),
    )


def _predicted(
    model: FaceModel,
    outlooks: Sequence[Outlook],
    own: pd.DataFrame,
    *,
    told: IntArray,
    left: IntArray,
    means: "_Means",
) -> tuple[pd.DataFrame, tuple[float, bool, bool] | None]:
    """The tests `left` after those `told`, and a list of three of their configurations where there are as many."""
    informed, heights = list(outlooks), model.log_weights
    if len(told):
        none: FloatArray = np.zeros(len(told), dtype=np.float64)
        reading: FloatArray = np.asarray(ln_readings(own).to_numpy()[told], dtype=np.float64)
        side = own["at_least"].to_numpy(float)[told]
        sites = Sites(side, reading, none, none + 1.0, none, np.zeros((len(told), len(told))))
        found = [inform(outlook, told, sites) for outlook in outlooks]
        informed = [outlook for outlook, _ in found]
        heights = heights + np.array([evidence for _, evidence in found])
    weights = np.exp(heights - logsumexp(heights))
    expected = predict(informed, model.limit, weights)
    rows = own.iloc[left]
    interval = pd.DataFrame({"fit_low": np.exp(expected.reading_low), "fit_high": np.exp(expected.reading_high)})
    predicted = pd.DataFrame(
        {
            "wearer": rows["wearer"],
            "passed": passed_level(rows, model.pass_level),
            "chance": expected.chance[left],
            "by_mean": means.chances(own, told, model.limit)[left],
            "covered": covered(rows, interval.iloc[left]),
        }
    )
    first = predicted[predicted["passed"].notna()].groupby(rows["configuration"]).head(1)
    if len(first) < 3:
        return predicted, None
    chosen = try_in_order(informed, model.limit, 3, weights, first.index.to_numpy(np.intp))
    best = first.sort_values("by_mean", ascending=False, kind="stable").index[:3]
    came_true = bool(first.loc[[number for number, _, _ in chosen], "passed"].any())
    return predicted, (chosen[-1][2], came_true, bool(first.loc[best, "passed"].any()))


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

    def chances(self, own: pd.DataFrame, told: IntArray, limit: float) -> FloatArray:
        """Chance of each of somebody's tests to pass after some of them were told."""
        mean = own["configuration"].map(self.mean).fillna(self.overall).to_numpy(float)
        count = own["configuration"].map(self.count).fillna(1).to_numpy(float)
        above = ln_readings(own).to_numpy()[told] - mean[told]
        heard = self.rest + len(told) * self.wearer
        shift = self.wearer * above.sum() / heard
        variance = self.rest * (1 + 1 / count) + self.wearer * self.rest / heard
        return np.asarray(ndtr((mean + shift - limit) / np.sqrt(variance)))
