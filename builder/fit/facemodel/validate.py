"""How well the model predicts people it has not seen: leave wearers out, refit everything, compare.

The standard deviations are estimated anew in every fold. Held at the whole fit's values the log score looks about
0.035 better and hides overfitting (simulated). Where there are so many tests that these few numbers are learnt from a
part of them anyway, they are held. The curvature about them is that of the whole fit, which is flat enough to do no
harm: log scores of six databases moved by 0.0006 on average, up and down.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np
import pandas as pd

from builder.fit.facemodel.left_out import ExpectedFold, WithoutFolds
from builder.fit.facemodel.model import FaceModel
from builder.fit.facemodel.own_check import OwnCheck, OwnTold, own_check_of, own_check_tests
from builder.fit.facemodel.predict import predict
from builder.fit.facemodel.scoring import Score, inside, ln_readings, log_scores, score, three_tried
from builder.fit.shared_work import Runs, one_by_one

_MANY_TESTS = 3_000
_FOLDS = 10
_BINS = 10
_STEPS = 20
"""Of the weight given to masks being alike."""


@dataclass(frozen=True)
class FirstThree:
    """The chance claimed for lists of three among what each wearer tried, and the share of them that held a pass.

    `by_mean` is that share for the three configurations with the highest means instead. NaN without such wearers.
    """

    claimed: float
    came_true: float
    by_mean: float
    wearers: int


@dataclass(frozen=True)
class Validation:
    """Predictions of left-out wearers' tests against what they measured."""

    folds: int
    model: Score
    configuration_mean: Score
    overall_share: Score
    coverage: float
    """Share of readings inside the 90 % interval of single donnings. An "at least" reading counts with the part of
    the prediction above it that lies inside, which neither favours nor harms a model that is right."""
    reliability: pd.DataFrame
    """For each tenth of the scale: bin_low, bin_high, mean chance `predicted`, share that `came_true`, n tests."""
    first_three: FirstThree
    tests: pd.DataFrame
    """test, wearer, configuration, chance, by_mean, by_share, `passed` ("at least" below the level: missing)."""
    alike_weight: float
    """What `FaceModel.alike` weighs, learnt from all tests; each was predicted with the weight from the others."""

    own_results: tuple[OwnCheck, ...] = ()
    """The same after wearers told some of their own tests, from none on; empty where nobody has tried enough."""

    @property
    def beats_baselines(self) -> bool:
        """Whether the model has the better Brier and log score than the configuration mean and the overall share."""
        others = (self.configuration_mean, self.overall_share)
        return all(self.model.brier < o.brier and self.model.log_score > o.log_score for o in others)

    @property
    def behind(self) -> bool:
        """Whether the log score is behind either by more than a standard error over wearers."""
        known = self.tests[self.tests["passed"].notna()]
        return any(_behind(known, column) for column in ("by_mean", "by_share"))


def leave_wearers_out(
    model: FaceModel, table: pd.DataFrame, folds: int | None = None, *, run: Runs = one_by_one
) -> Validation:
    """Predict each wearer of a table from the others. `folds` defaults to one a wearer, ten above 3,000 tests.

    `model` is the fit to the whole table, from whose scales every fold sets out. `run` runs the folds.
    Raises `TooLittleDataError` for a fold without any exact reading.
    """
    counted = table[table["counted"]].reset_index(drop=True)
    wearers = counted["wearer"].nunique()
    if folds is None:
        folds = wearers if len(counted) <= _MANY_TESTS else _FOLDS
    without = WithoutFolds.of(model, counted, folds)
    expected = run([partial(without.expected, number) for number in range(folds)])
    by_fold = [fold.tests for fold in expected]

    def told(number: int) -> tuple[pd.DataFrame, pd.DataFrame, OwnTold]:
        # Each fold is predicted with the weight that all others lead to.
        weight = _alike_weight(by_fold[:number] + by_fold[number + 1 :])
        fold, (known, held) = expected[number].weighed(weight), without.parts(number)
        return *_told(fold, held, model.limit), own_check_tests(fold, known, held, model.limit, wearers)

    parts, three, own = zip(*run([partial(told, number) for number in range(folds)]), strict=True)
    tests = pd.concat(parts, ignore_index=True).sort_values("test", ignore_index=True)
    lists = pd.concat(three, ignore_index=True)
    scored = tests[tests["passed"].notna()]
    return Validation(
        folds=folds,
        model=score(scored, "chance"),
        configuration_mean=score(scored, "by_mean"),
        overall_share=score(scored, "by_share"),
        coverage=float(tests["covered"].mean()),
        reliability=_reliability(scored),
        first_three=FirstThree(
            float(lists["claimed"].mean()), float(lists["came_true"].mean()), float(lists["by_mean"].mean()), len(lists)
        ),
        tests=tests.drop(columns=["covered", "as_alike"]),
        alike_weight=_alike_weight(by_fold),
        own_results=own_check_of(own),
    )


def learn_alike_weight(model: FaceModel, table: pd.DataFrame, folds: int) -> float:
    """The weight of masks being alike that `leave_wearers_out` finds, without all that it finds beside."""
    without = WithoutFolds.of(model, table[table["counted"]].reset_index(drop=True), folds)
    return _alike_weight([without.expected(number).tests for number in range(folds)])


def _told(fold: ExpectedFold, held: pd.DataFrame, limit: float) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Predictions of the tests of a fold, and the lists of three for its wearers."""
    reading, at_least = np.asarray(ln_readings(held), dtype=np.float64), held["at_least"].to_numpy(bool)
    chance, covered = np.zeros(len(held)), np.zeros(len(held))
    lists = []
    for own in fold.left_out:
        rows = own.rows
        predicted = predict(own.outlooks, limit, fold.weights)
        chance[rows] = predicted.chance
        covered[rows] = inside(reading[rows], at_least[rows], predicted.reading_low, predicted.reading_high)
        of_wearer = fold.tests.iloc[rows].reset_index(drop=True)
        first = of_wearer[of_wearer["passed"].notna()].drop_duplicates("configuration").index.to_numpy(np.intp)
        if len(first) >= 3:
            passed, by_mean = of_wearer["passed"].fillna(False).to_numpy(bool), of_wearer["by_mean"].to_numpy()
            lists.append(three_tried(own.outlooks, limit, fold.weights, first, by_mean=by_mean, passed=passed))
    tests = fold.tests.assign(chance=chance, covered=covered)
    return tests, pd.DataFrame(lists, columns=["claimed", "came_true", "by_mean"])


def _behind(tests: pd.DataFrame, column: str) -> bool:
    """Whether the model's log score is behind that of a column by more than a standard error over wearers."""
    ahead = log_scores(tests, "chance") - log_scores(tests, column)
    mean = float(ahead.mean())
    of_wearers = pd.Series(ahead - mean).groupby(tests["wearer"].to_numpy()).sum()
    spread = float((of_wearers**2).sum()) * len(of_wearers) / max(len(of_wearers) - 1, 1)
    return mean < -float(np.sqrt(spread)) / len(tests)


def _alike_weight(parts: list[pd.DataFrame]) -> float:
    """The weight of masks being alike that predicts best together with the model; 0 without such predictions.

    Stacking of predictive distributions (Yao et al., Bayesian Anal. 2018;13:917-1007).
    """
    tests = pd.concat(parts) if parts else pd.DataFrame({"passed": []})
    tests = tests[tests["passed"].notna()]
    if tests.empty or tests["as_alike"].isna().any():
        return 0.0
    weights = np.linspace(0, 1, _STEPS + 1)
    model, alike = (np.exp(log_scores(tests, column)) for column in ("chance", "as_alike"))
    heights = [float(np.log((1 - weight) * model + weight * alike).sum()) for weight in weights]
    return float(weights[int(np.argmax(heights))])


def _reliability(tests: pd.DataFrame) -> pd.DataFrame:
    number = (tests["chance"] * _BINS).astype(int).clip(upper=_BINS - 1).rename("bin")
    found = tests.assign(passed=tests["passed"].astype(float)).groupby(number)
    filled = np.array(list(found.groups))
    return pd.DataFrame(
        {
            "bin_low": filled / _BINS,
            "bin_high": (filled + 1) / _BINS,
            "predicted": found["chance"].mean().to_numpy(),
            "came_true": found["passed"].mean().to_numpy(),
            "n": found.size().to_numpy(),
        }
    )
