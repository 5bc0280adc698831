"""Wearers left out of the fit, and what it then expects of their tests: what any check of the model is made of."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy.special import ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.methods import METHOD
from builder.fit.facemodel.design import Catalogue, build_catalogue, faces_of
from builder.fit.facemodel.estimate import Summit, summit_of
from builder.fit.facemodel.model import MANY_TESTS, FaceModel, fit_counted, require_enough
from builder.fit.facemodel.outlook import Outlook
from builder.fit.facemodel.predict import mean_chance, weights_with_alike
from builder.fit.facemodel.scales import ScalePrior
from builder.fit.facemodel.scoring import ln_readings, passed_level

_FOLD_SEED = 0


@dataclass(frozen=True)
class LeftOut:
    """A wearer left out: where their tests stand among those of the fold, and what is expected of these, in order."""

    wearer: str
    rows: IntArray
    outlooks: tuple[Outlook, ...]
    alike: Outlook | None
    """As if all masks were alike, which is mixed in by its weight."""


@dataclass(frozen=True)
class ExpectedFold:
    """What is expected of the tests of a fold, which the fit has not seen.

    `tests` has a row for each: test, wearer, configuration, `passed` ("at least" below the level: missing), and the
    chance to pass by the model (`chance`), were masks alike (`as_alike`, NaN where that is not told), by the mean of
    the configuration (`by_mean`) and by the share of all tests that pass (`by_share`).
    """

    tests: pd.DataFrame
    left_out: tuple[LeftOut, ...]
    weights: FloatArray
    """What each of the outlooks weighs; sum 1."""

    def weighed(self, alike_weight: float) -> "ExpectedFold":
        """The outlooks with so much weight on masks being alike."""
        if not alike_weight:
            return self
        left_out = [replace(own, outlooks=(*own.outlooks, own.alike)) for own in self.left_out if own.alike]
        return replace(self, left_out=tuple(left_out), weights=weights_with_alike(len(self.weights), alike_weight))


@dataclass(frozen=True)
class WithoutFolds:
    """Tests that count, to be fitted without those of each fold of wearers."""

    model: FaceModel
    """The fit to all of them."""
    counted: pd.DataFrame
    fold: IntArray
    """Of each test: that of its wearer."""
    catalogue: Catalogue
    summit: Summit | None
    """Where the scales of the fit to all stand; None where they are held in every fold."""

    @classmethod
    def of(cls, model: FaceModel, counted: pd.DataFrame, folds: int) -> "WithoutFolds":
        """Draw the folds."""
        wearers = np.sort(counted["wearer"].unique())
        drawn = pd.Series(np.random.default_rng(_FOLD_SEED).permutation(len(wearers)) % folds, index=wearers)
        summit = model.summit
        if summit is None and len(counted) <= MANY_TESTS:
            summit = summit_of(model.best, ScalePrior())
        fold = np.asarray(drawn.loc[counted["wearer"]], dtype=np.intp)
        return cls(model, counted, fold, build_catalogue(counted), summit)

    def parts(self, number: int) -> tuple[pd.DataFrame, pd.DataFrame]:
        """The tests known without a fold, and its own."""
        return self.counted[self.fold != number], self.counted[self.fold == number]

    def expected(self, number: int) -> ExpectedFold:
        """Fit without a fold. Raises `TooLittleDataError` for one without which no exact reading is left."""
        known, held = self.parts(number)
        require_enough(known, fewest_wearers=1)
        model = fit_counted(known, self.catalogue, self.model.pass_level, self.model.scales, self.summit)
        left_out = _left_out(model, held)
        chance, as_alike = np.zeros(len(held)), np.full(len(held), np.nan)
        for own in left_out:
            chance[own.rows] = mean_chance(own.outlooks, model.limit)
            if own.alike:
                as_alike[own.rows] = mean_chance([own.alike], model.limit)
        tests = _beside(known, held, model.pass_level).assign(chance=chance, as_alike=as_alike)
        return ExpectedFold(tests, left_out, model.weights)


def _left_out(model: FaceModel, held: pd.DataFrame) -> tuple[LeftOut, ...]:
    alike = None if model.alike is None else replace(model, posteriors=(model.alike,))
    found = []
    for wearer, face in faces_of(held).items():
        rows = np.flatnonzero(held["wearer"] == wearer)
        own = held.iloc[rows]
        # Each test by the method that it was measured by.
        asked = face, own["configuration"].tolist(), own[METHOD]
        outlooks = tuple(outlook.compact() for outlook in model.outlooks(*asked))
        found.append(LeftOut(wearer, rows, outlooks, alike.outlooks(*asked)[0].compact() if alike else None))
    return tuple(found)


def _beside(known: pd.DataFrame, held: pd.DataFrame, pass_level: float) -> pd.DataFrame:
    """What is told of the tests of a fold without the model."""
    shares = passed_level(known, pass_level).dropna().astype(float)
    return held[["test", "wearer", "configuration"]].assign(
        passed=passed_level(held, pass_level),
        by_mean=held["configuration"].map(_by_mean(known, pass_level)).fillna(_pooled(known, pass_level)),
        # Half a pass and half a fail keep the share off 0 and 1.
        by_share=(shares.sum() + 0.5) / (len(shares) + 1),
    )


def _by_mean(known: pd.DataFrame, pass_level: float) -> "pd.Series[float]":
    """Chance of passing from each configuration's mean ln fit factor and the scatter all have in common."""
    reading = ln_readings(known)
    groups = reading.groupby(known["configuration"])
    mean, count = groups.mean(), groups.size()
    repeats = len(known) - len(mean)
    within = ((reading - groups.transform("mean")) ** 2).sum()
    variance = float(within / repeats if repeats else reading.var())
    return pd.Series(ndtr((mean - np.log(pass_level)) / np.sqrt(variance * (1 + 1 / count))), index=mean.index)


def _pooled(known: pd.DataFrame, pass_level: float) -> float:
    """The same for a configuration without tests, from all readings."""
    reading = ln_readings(known)
    return float(ndtr((reading.mean() - np.log(pass_level)) / reading.std()))
