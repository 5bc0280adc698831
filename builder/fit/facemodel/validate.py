"""How well the model predicts people it has not seen: leave wearers out, refit everything, compare.

The standard deviations are estimated anew in every fold. Held at the whole fit's values the log score looks about
0.035 better and hides overfitting (simulated). Where there are so many tests that these few numbers are learnt from a
part of them anyway, they are held.
"""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pandas as pd
from scipy.special import ndtr

from builder.fit.arrays import IntArray
from builder.fit.compare.methods import METHOD
from builder.fit.facemodel.design import Catalogue, build_catalogue, faces_of
from builder.fit.facemodel.kernel import FaceDescription
from builder.fit.facemodel.model import FaceModel, fit_counted, require_enough
from builder.fit.facemodel.own_check import OwnCheck, OwnTold, own_check_of, own_check_tests
from builder.fit.facemodel.scoring import Score, covered, ln_readings, log_scores, passed_level, score
from builder.fit.shared_work import Runs, one_by_one

_MANY_TESTS = 3_000
_FOLDS = 10
_FOLD_SEED = 0
_BINS = 10
_STEPS = 20
"""Of the weight given to masks being alike."""

_Told = tuple[pd.DataFrame, pd.DataFrame, OwnTold]
"""What a fold tells: its tests, its wearers' lists of three, and its tests after own results."""


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
    of_test = _fold_of_tests(counted, folds)
    catalogue = build_catalogue(counted)

    def told_by(one: FaceModel, number: int) -> _Told:
        known, held = counted[of_test != number], counted[of_test == number]
        return *_fold(one, known, held), own_check_tests(one, known, held, wearers)

    def first_told(number: int) -> tuple[_Told, FaceModel | None]:
        one = _refit(model, counted[of_test != number], catalogue)
        # Large ones have no masks alike, and are not needed again.
        return told_by(one, number), None if one.alike is None else one

    told, fitted = (list(each) for each in zip(*run([partial(first_told, n) for n in range(folds)]), strict=True))
    first = [tests for tests, *_ in told]
    alike_weight = _alike_weight(first)
    # Each fold is predicted with the weight that all others lead to.
    weights = [_alike_weight(first[:number] + first[number + 1 :]) for number in range(folds)]
    stacked = {
        number: replace(one, alike_weight=weight)
        for number, (one, weight) in enumerate(zip(fitted, weights, strict=True))
        if one is not None and weight
    }
    again = run([partial(told_by, one, number) for number, one in stacked.items()])
    for number, found in zip(stacked, again, strict=True):
        told[number] = found
    tests = pd.concat([tests for tests, *_ in told], ignore_index=True).sort_values("test", ignore_index=True)
    lists = pd.concat([lists for _, lists, _ in told], ignore_index=True)
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
        tests=tests.drop(columns=["covered", "as_alike", *METHOD]),
        alike_weight=alike_weight,
        own_results=own_check_of([own for *_, own in told]),
    )


def learn_alike_weight(model: FaceModel, table: pd.DataFrame, folds: int) -> float:
    """The weight of masks being alike that `leave_wearers_out` finds, without all that it finds beside."""
    counted = table[table["counted"]].reset_index(drop=True)
    of_test, catalogue = _fold_of_tests(counted, folds), build_catalogue(counted)
    parts = ((counted[of_test != number], counted[of_test == number]) for number in range(folds))
    return _alike_weight([_fold(_refit(model, known, catalogue), known, held)[0] for known, held in parts])


def _fold_of_tests(counted: pd.DataFrame, folds: int) -> IntArray:
    """The fold of each test: that of its wearer."""
    wearers = np.sort(counted["wearer"].unique())
    fold = np.random.default_rng(_FOLD_SEED).permutation(len(wearers)) % folds
    return np.asarray(pd.Series(fold, index=wearers).loc[counted["wearer"]], dtype=np.intp)


def _refit(model: FaceModel, known: pd.DataFrame, catalogue: Catalogue) -> FaceModel:
    """The fit to what is known without a fold."""
    require_enough(known, fewest_wearers=1)
    return fit_counted(known, catalogue, model.pass_level, model.scales)


def _fold(model: FaceModel, known: pd.DataFrame, held: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Predictions of the tests held out, and the lists of three for their wearers."""
    pass_level = model.pass_level
    alike = None if model.alike is None else replace(model, posteriors=(model.alike,), alike_weight=0.0)
    passed = passed_level(held, pass_level)
    by_mean = _configuration_mean(known, pass_level)
    shares = passed_level(known, pass_level).dropna().astype(float)
    tests = held[["test", "wearer", "configuration", *METHOD]].assign(
        by_mean=held["configuration"].map(by_mean).fillna(_pooled_chance(known, pass_level)),
        # Half a pass and half a fail keep the share off 0 and 1.
        by_share=(shares.sum() + 0.5) / (len(shares) + 1),
        passed=passed,
    )
    parts, lists = [], []
    for wearer, face in faces_of(held).items():
        own = tests[tests["wearer"] == wearer]
        # Each test by the method that it was measured by.
        configurations = own["configuration"].tolist()
        predicted = model.predict(face, configurations, own[METHOD])
        inside = covered(held.loc[own.index], predicted)
        as_alike = np.nan if alike is None else alike.predict(face, configurations, own[METHOD])["chance"].to_numpy()
        parts.append(own.assign(chance=predicted["chance"].to_numpy(), covered=inside, as_alike=as_alike))
        first = own[own["passed"].notna()].drop_duplicates("configuration").set_index("configuration")
        if len(first) >= 3:
            lists.append(_list_of_three(model, face, first))
    return pd.concat(parts), pd.DataFrame(lists, columns=["claimed", "came_true", "by_mean"])


def _configuration_mean(known: pd.DataFrame, pass_level: float) -> "pd.Series[float]":
    """Chance of passing from each configuration's mean ln fit factor and the scatter all have in common."""
    reading = ln_readings(known)
    groups = reading.groupby(known["configuration"])
    mean, count = groups.mean(), groups.size()
    repeats = len(known) - len(mean)
    within = ((reading - groups.transform("mean")) ** 2).sum()
    variance = float(within / repeats if repeats else reading.var())
    return pd.Series(ndtr((mean - np.log(pass_level)) / np.sqrt(variance * (1 + 1 / count))), index=mean.index)


def _pooled_chance(known: pd.DataFrame, pass_level: float) -> float:
    """The same for a configuration without tests, from all readings."""
    reading = ln_readings(known)
    return float(ndtr((reading.mean() - np.log(pass_level)) / reading.std()))


def _list_of_three(model: FaceModel, face: FaceDescription, first: pd.DataFrame) -> tuple[float, bool, bool]:
    """Chance claimed for three of the configurations tried, and whether a first donning of them passed.

    `first` has each configuration's first test, with `by_mean` and `passed`.
    """
    suggested = model.try_first(face, 3, first.index.tolist(), first[METHOD])
    by_mean = first.sort_values("by_mean", ascending=False, kind="stable").index[:3]
    chosen = [suggestion.configuration for suggestion in suggested]
    return (
        suggested[-1].cumulative_chance,
        bool(first.loc[chosen, "passed"].any()),
        bool(first.loc[by_mean, "passed"].any()),
    )


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
