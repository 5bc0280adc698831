"""Fitting the face model to a table, and the tables it answers with."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
import pandas as pd

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.censored import leave_out, propagate
from builder.fit.facemodel.design import Catalogue, Design, build_catalogue, build_design
from builder.fit.facemodel.engine import Posterior
from builder.fit.facemodel.estimate import Summit, climb, climb_near, scale_draws, summit_of
from builder.fit.facemodel.evidence import variances
from builder.fit.facemodel.kernel import FaceDescription, embed, place_mm
from builder.fit.facemodel.next_test import mean_gain
from builder.fit.facemodel.outlook import Basis, Outlook, face_basis, face_outlook, wearer_outlook
from builder.fit.facemodel.population import panel, population_share, tried_share, wanted
from builder.fit.facemodel.predict import (
    Suggestion,
    log_weights,
    mean_chance,
    predict,
    try_in_order,
    weights_with_alike,
)
from builder.fit.facemodel.reference import level_numbers
from builder.fit.facemodel.scales import ScalePrior, Scales
from builder.fit.levels import FEWEST_WEARERS, LITTLE_KNOWN, NEAR_MM, PASS_LEVEL

# Below this the scales are uncertain enough to matter to the intervals.
FEW_TESTS = 1_000
# Above this more tests hardly move the scales: 5,000 against 22,000 moved chances by 0.005 on average (simulated).
MANY_TESTS = 5_000
_UNUSUAL = 3.0


class TooLittleDataError(ValueError):
    """The table cannot carry the model: tests of too few `wearers`, or not one exact reading."""

    def __init__(self, reason: Literal["few-wearers", "only-limits"], wearers: int, needed: int = 0) -> None:
        super().__init__(f"{reason}: {wearers} wearers, {needed} needed")
        self.reason: Literal["few-wearers", "only-limits"] = reason
        self.wearers = wearers
        self.needed = needed


@dataclass(frozen=True)
class FaceModel:
    """The fitted model. `posteriors` are mixed in every prediction: one, or with few tests one for each draw.

    Few tests also have `alike`, as if all masks were alike on all faces. It has the weight `alike_weight` beside them,
    which `validate` learns from how well either predicts wearers left out.
    """

    best: Posterior
    """At the scales of highest posterior density."""
    posteriors: tuple[Posterior, ...]
    pass_level: float
    alike: Posterior | None = None
    alike_weight: float = 0.0
    summit: Summit | None = None
    """Where the draws of few tests lie around."""

    @property
    def mixed(self) -> tuple[Posterior, ...]:
        """Everything that predictions mix."""
        return (*self.posteriors, self.alike) if self.alike is not None and self.alike_weight else self.posteriors

    @property
    def weights(self) -> FloatArray:
        """What each of `mixed` weighs; sum 1."""
        count = len(self.posteriors)
        if len(self.mixed) == count:
            return np.full(count, 1 / count)
        return weights_with_alike(count, self.alike_weight)

    @property
    def log_weights(self) -> FloatArray:
        """Their logarithms."""
        return log_weights(self.weights)

    @property
    def design(self) -> Design:
        """What it was fitted to."""
        return self.best.design

    @property
    def scales(self) -> Scales:
        """The estimated standard deviations."""
        return self.best.scales

    def predict(
        self,
        face: FaceDescription,
        configurations: Sequence[str] | None = None,
        methods: pd.DataFrame | None = None,
    ) -> pd.DataFrame:
        """What to expect on a face nobody has tested, for the named configurations or all, in the model's order.

        Columns: configuration; `chance` that one donning passes, with `low` and `high` its 90 % interval from how
        little is known; `fit_factor` expected (median), with `fit_low` and `fit_high` where 90 % of single donnings
        of such people fall; `wearers` who tried it, `near_wearers` of them within 10 mm of this face in length and
        width (0 where the face has no place); `little_known` where the interval is wider than 0.5.
        All of it holds for the reference method, or for the `methods` of a configuration each, in the columns `METHOD`.
        KeyError for a configuration or a method's level that the model does not have.
        """
        index = self.places(configurations)
        return self.table_of(self._face_outlooks(face, index, methods), index, place_mm(face))

    def predict_wearer(self, wearer: str, configurations: Sequence[str] | None = None) -> pd.DataFrame:
        """As `predict`, for someone with tests and given these; the interval then is about this one person."""
        number = self.wearer_number(wearer)
        answer = self.table_of(
            self._wearer_outlooks(number), self.places(), place_mm(self.design.wearers.faces[number])
        )
        return answer.iloc[self.places(configurations)].reset_index(drop=True)

    def try_first(
        self,
        face: FaceDescription,
        count: int = 3,
        configurations: Sequence[str] | None = None,
        methods: pd.DataFrame | None = None,
    ) -> tuple[Suggestion, ...]:
        """The `count` configurations, of those named or all, most likely to hold one that passes, in order.

        `methods` as in `predict`.
        """
        index = self.places(configurations)
        return self._in_order(self._face_outlooks(face, index, methods), index, count)

    def predict_and_try_first(
        self, face: FaceDescription, count: int = 3
    ) -> tuple[pd.DataFrame, tuple[Suggestion, ...]]:
        """`predict` and `try_first` over all configurations, for little more than the cost of one."""
        index = self.places()
        outlooks = self._face_outlooks(face, index)
        return self.table_of(outlooks, index, place_mm(face)), self._in_order(outlooks, index, count)

    def try_first_wearer(
        self, wearer: str, count: int = 3, configurations: Sequence[str] | None = None
    ) -> tuple[Suggestion, ...]:
        """As `try_first`, for someone with tests and given these."""
        outlooks, index = self._wearer_outlooks(self.wearer_number(wearer)), self.places(configurations)
        if configurations is not None:
            outlooks = [outlook.narrowed(index) for outlook in outlooks]
        return self._in_order(outlooks, index, count)

    def next_test(self, wearer: str, goal: Literal["pass", "best"] = "pass") -> pd.DataFrame:
        """Configurations ranked by the `value` of testing them next on this wearer, given their tests so far.

        For "pass" the value is the chance that this donning passes; for "best" how much it is expected to raise the
        chance of the mask that would be chosen afterwards. Columns: configuration, chance, value; highest first.
        """
        return self.next_test_of(self.outlooks_of(wearer), self.weights, goal)

    def next_test_of(
        self, outlooks: Sequence[Outlook], weights: FloatArray, goal: Literal["pass", "best"]
    ) -> pd.DataFrame:
        """The table that `next_test` describes, of outlooks on all configurations for one person."""
        chance = mean_chance(outlooks, self.limit, weights)
        value = chance if goal == "pass" else mean_gain(outlooks, self.limit, weights)
        names = self.design.catalogue.configurations
        ranked = pd.DataFrame({"configuration": names, "chance": chance, "value": value})
        return ranked.sort_values("value", ascending=False, kind="stable", ignore_index=True)

    def population(self) -> pd.DataFrame:
        """The share of the panel's population that one donning of each configuration fits.

        Columns: configuration; `chance` with its 90 % interval `low` and `high`; `tried` and `mask_tried`, the share
        of the population in whose panel cells someone has tried the configuration, or any of its mask.
        """
        share = population_share(self.mixed, self.bases, self.limit, self.weights)
        return pd.DataFrame(
            {
                "configuration": self.design.catalogue.configurations,
                "chance": share.share,
                "low": share.low,
                "high": share.high,
                "tried": tried_share(self.design),
                "mask_tried": tried_share(self.design, of_masks=True),
            }
        )

    def wanted_tests(self, count: int = 10) -> pd.DataFrame:
        """The tests that would sharpen the population shares most, one a configuration, the most telling first.

        Columns: configuration; `cell` of the panel whose face to test it on; `gain`, the part of the variance of all
        configurations' shares that one such test removes. Worked out at the best scales.
        """
        found = wanted(self.best, face_basis(self.best), self.limit)
        _, weights = panel()
        cells = np.arange(1, len(weights) + 1).astype(str)[found.cell]
        tests = pd.DataFrame(
            {"configuration": self.design.catalogue.configurations, "cell": cells.astype(object), "gain": found.gain}
        )
        return tests.sort_values("gain", ascending=False, kind="stable", ignore_index=True).head(count)

    def unusual_tests(self) -> pd.DataFrame:
        """How far each test lies from what all other tests lead to expect.

        Columns: test; `expected` fit factor; `z`, the difference in standard deviations of such a prediction;
        `unusual` where it is over 3. An "at least" reading can only be too high: below what is expected it has z 0.
        """
        design, posterior = self.design, self.best
        readings = posterior.readings
        variance = posterior.arm_variance(variances(posterior).arm_sum)
        mean = (posterior.arm_mean + design.centre)[design.arm]
        others = leave_out(mean, variance[design.arm], readings.location, readings.precision)
        noise = self.scales.redonning**2 + design.counting_variance
        z = (design.reading - others.mean) / np.sqrt(others.variance + noise)
        z = np.where(design.at_least, np.maximum(z, 0.0), z)
        return pd.DataFrame(
            {"test": design.tests, "expected": np.exp(others.mean), "z": z, "unusual": np.abs(z) > _UNUSUAL}
        )

    @property
    def limit(self) -> float:
        """The ln fit factor to reach."""
        return float(np.log(self.pass_level))

    def outlooks(
        self,
        face: FaceDescription,
        configurations: Sequence[str] | None = None,
        methods: pd.DataFrame | None = None,
    ) -> list[Outlook]:
        """What each of `mixed` expects on a face that nobody has tested; arguments as in `predict`."""
        return self._face_outlooks(face, self.places(configurations), methods)

    def outlooks_of(self, wearer: str) -> list[Outlook]:
        """The same for someone with tests and given these. KeyError for anyone else."""
        return self._wearer_outlooks(self.wearer_number(wearer))

    @cached_property
    def _places(self) -> FloatArray:
        """Length and width in mm of every wearer's face, (W, 2)."""
        return np.array([place_mm(face) for face in self.design.wearers.faces])

    @cached_property
    def bases(self) -> tuple[Basis, ...]:
        """What predictions on any face are made from, for each of `mixed`."""
        return tuple(face_basis(posterior) for posterior in self.mixed)

    def _face_outlooks(
        self, face: FaceDescription, index: IntArray, methods: pd.DataFrame | None = None
    ) -> list[Outlook]:
        embedding = embed(face)
        levels = None if methods is None else level_numbers(self.design.catalogue.levels, methods)
        return [
            face_outlook(posterior, basis, embedding, index, levels)
            for posterior, basis in zip(self.mixed, self.bases, strict=True)
        ]

    def _wearer_outlooks(self, wearer: int) -> list[Outlook]:
        return [wearer_outlook(posterior, wearer) for posterior in self.mixed]

    def places(self, configurations: Sequence[str] | None = None) -> IntArray:
        """Places of the configurations named, or of all, in the catalogue. KeyError for an unknown one."""
        number = self.design.catalogue.number
        chosen = number if configurations is None else number.loc[list(configurations)]
        return np.asarray(chosen, dtype=np.intp)

    def wearer_number(self, wearer: str) -> int:
        """The number of a wearer in the design. KeyError for anyone else."""
        found = np.flatnonzero(self.design.wearers.names == wearer)
        if not found.size:
            raise KeyError(wearer)
        return int(found[0])

    def _in_order(self, outlooks: list[Outlook], index: IntArray, count: int) -> tuple[Suggestion, ...]:
        names = self.design.catalogue.configurations[index]
        chosen = try_in_order(outlooks, self.limit, count, self.weights)
        return tuple(Suggestion(str(names[number]), chance, cumulative) for number, chance, cumulative in chosen)

    def table_of(
        self,
        outlooks: Sequence[Outlook],
        index: IntArray,
        place: tuple[float, float],
        weights: FloatArray | None = None,
    ) -> pd.DataFrame:
        """The table that `predict` describes, of outlooks on the configurations `index` for a face at this place."""
        prediction = predict(outlooks, self.limit, self.weights if weights is None else weights)
        design = self.design
        near = np.hypot(*(self._places - place).T) <= NEAR_MM
        # Whoever measured a configuration by several methods is still one wearer.
        tried, wearer = np.unique(np.stack([design.arm_configuration, design.arm_wearer]), axis=1)
        everyone = np.bincount(tried, minlength=len(design.catalogue.configurations))
        near_arms = np.bincount(tried, near[wearer], len(design.catalogue.configurations))
        return pd.DataFrame(
            {
                "configuration": design.catalogue.configurations[index],
                "chance": prediction.chance,
                "low": prediction.low,
                "high": prediction.high,
                "fit_factor": np.exp(prediction.mean),
                "fit_low": np.exp(prediction.reading_low),
                "fit_high": np.exp(prediction.reading_high),
                "wearers": everyone[index],
                "near_wearers": near_arms[index].astype(int),
                "little_known": prediction.high - prediction.low > LITTLE_KNOWN,
            }
        )


def fit_face_model(
    table: pd.DataFrame,
    configurations: pd.DataFrame | None = None,
    pass_level: float = PASS_LEVEL,
    *,
    start: Scales | None = None,
) -> FaceModel:
    """Fit the model to the tests that count; `start` as in `fit_counted`.

    `configurations` (columns configuration, mask, style, parts) adds ones without a test; they are predicted from
    their mask, style and parts. Raises `TooLittleDataError` for fewer than 8 wearers or without any exact reading.
    """
    counted = table[table["counted"]]
    require_enough(counted)
    return fit_counted(counted, build_catalogue(counted, configurations), pass_level, start)


def fit_counted(
    counted: pd.DataFrame,
    catalogue: Catalogue,
    pass_level: float,
    start: Scales | None = None,
    near: Summit | None = None,
) -> FaceModel:
    """Fit to tests that all count, over these configurations.

    `start` are scales of a similar table: to begin the search from, or above `MANY_TESTS` to take as they are. `near`
    is the summit of a table that holds these tests and a few more: its curvature stands for that of theirs.
    """
    prior = ScalePrior()
    design = build_design(counted, catalogue)
    if len(counted) > MANY_TESTS:
        fit = propagate(design, start or _learnt_from_some(counted, prior))
    elif near:
        fit = climb_near(design, prior, near)
    else:
        fit = climb(design, prior, start)
    if len(counted) >= FEW_TESTS:
        return FaceModel(fit.posterior, (fit.posterior,), pass_level)
    summit = replace(near, scales=fit.posterior.scales) if near else summit_of(fit.posterior, prior)
    posteriors = tuple(
        propagate(design, draw, fit.posterior.readings).posterior for draw in scale_draws(summit, len(counted), prior)
    )
    alike = propagate(design, fit.posterior.scales.alike()).posterior
    return FaceModel(fit.posterior, posteriors, pass_level, alike, summit=summit)


def require_enough(counted: pd.DataFrame, fewest_wearers: int = FEWEST_WEARERS) -> None:
    """Raise `TooLittleDataError` where these tests cannot carry the model."""
    wearers = counted["wearer"].nunique()
    if wearers < fewest_wearers:
        raise TooLittleDataError("few-wearers", wearers, fewest_wearers)
    if counted["at_least"].all():
        raise TooLittleDataError("only-limits", wearers)


def _learnt_from_some(counted: pd.DataFrame, prior: ScalePrior) -> Scales:
    some = _some_wearers(counted)
    return climb(build_design(some, build_catalogue(some)), prior).posterior.scales


def _some_wearers(counted: pd.DataFrame) -> pd.DataFrame:
    """All tests of wearers drawn at random until there are enough to estimate the scales."""
    tests = counted.groupby("wearer", sort=True).size()
    drawn = np.random.default_rng(0).permutation(len(tests))
    enough = int(np.searchsorted(np.cumsum(tests.to_numpy()[drawn]), MANY_TESTS)) + 1
    return counted[counted["wearer"].isin(tests.index[drawn[:enough]])]
