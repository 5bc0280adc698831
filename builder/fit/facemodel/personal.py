"""The model's answers for one reader who told how some masks did on their own face."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import pandas as pd
from scipy.special import logsumexp, ndtr

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import MethodEffects
from builder.fit.facemodel.informed_outlook import (
    InformedOutlook,
    covariance_with,
    first_rows,
    inform,
    with_unlisted,
)
from builder.fit.facemodel.kernel import FaceDescription, embed, place_mm
from builder.fit.facemodel.model import FaceModel
from builder.fit.facemodel.own_results import OwnResult, covering, sites_of
from builder.fit.facemodel.predict import HALF_WIDTH, Suggestion, mean_chance, mixture, try_in_order
from builder.fit.facemodel.reference import REFERENCE

_AT_ONCE = 256


@dataclass(frozen=True)
class Informed:
    """The model's outlooks on one reader given their own results, weighed by how well each expected these."""

    model: FaceModel
    place: tuple[float, float]
    before: FloatArray
    """Chance of each configuration before anything was told, (C,)."""
    outlooks: tuple[InformedOutlook, ...]
    weights: FloatArray

    def predict(self, configurations: Sequence[str] | None = None) -> pd.DataFrame:
        """The table of `FaceModel.predict`, with `chance_before`, and `own_low` and `own_high`.

        `low` to `high` is about people with this face and these results, `own_low` to `own_high` the 90 % interval of
        the chance of this one reader, which no database can make narrow.
        """
        index = self.model.places(configurations)
        table = self.model.table_of(self.outlooks, np.arange(len(self.before)), self.place, self.weights)
        mean, variance = mixture([o.mean for o in self.outlooks], [o.variance for o in self.outlooks], self.weights)
        donning = np.sqrt(np.average([o.redonning**2 for o in self.outlooks], weights=self.weights))
        reach = HALF_WIDTH * np.sqrt(variance)
        table["chance_before"] = self.before
        table["own_low"] = ndtr((mean - reach - self.model.limit) / donning)
        table["own_high"] = ndtr((mean + reach - self.model.limit) / donning)
        return table.iloc[index].reset_index(drop=True)

    def try_first(self, count: int = 3, configurations: Sequence[str] | None = None) -> tuple[Suggestion, ...]:
        """As `FaceModel.try_first`, of the configurations named or all."""
        names = self.model.design.catalogue.configurations
        chosen = try_in_order(self.outlooks, self.model.limit, count, self.weights, self.model.places(configurations))
        return tuple(Suggestion(str(names[number]), chance, so_far) for number, chance, so_far in chosen)

    def telling(self, configurations: Sequence[str] | None = None) -> pd.DataFrame:
        """Configurations ranked by how much one fit factor measured in them would tell about this reader.

        Columns: configuration; `told`, the mean square by which it is expected to move the chances of all
        configurations, taken as linear in the true values; the most telling first.
        """
        told = np.average([expected_moves(o, self.model.limit) for o in self.outlooks], axis=0, weights=self.weights)
        index = self.model.places(configurations)
        table = pd.DataFrame({"configuration": self.model.design.catalogue.configurations[index], "told": told[index]})
        return table.sort_values("told", ascending=False, kind="stable", ignore_index=True)

    def next_test(self, goal: Literal["pass", "best"] = "pass") -> pd.DataFrame:
        """As `FaceModel.next_test`, for this reader."""
        return self.model.next_test_of(self.outlooks, self.weights, goal)


def informed(
    model: FaceModel,
    face: FaceDescription,
    own: Sequence[OwnResult],
    *,
    wearer: str = "",
    methods: MethodEffects | None = None,
) -> Informed:
    """Condition the model on own results, at least one, of a reader with this face.

    `wearer` names someone with tests, whose face this is and who tells more. `methods` says what methods of measuring
    differ by; without it, and for others than it has, their prior does. KeyError for an unknown configuration, wearer
    or kind of test.
    """
    number = model.design.catalogue.number
    asked = {REFERENCE, *(one.method for one in own if one.method)}
    methods = MethodEffects.unknown(asked) if methods is None else covering(methods, asked)
    sites = sites_of(own, methods, REFERENCE)
    unlisted = [one.style for one in own if not one.configuration]
    count = len(number)
    following = iter(range(count, count + len(unlisted)))
    targets = np.array([number[one.configuration] if one.configuration else next(following) for one in own], np.intp)
    before = model.outlooks_of(wearer) if wearer else model.outlooks(face)
    whose = model.wearer_number(wearer) if wearer else None
    outlooks, evidence = [], []
    for posterior, outlook in zip(model.mixed, before, strict=True):
        wide = with_unlisted(outlook, posterior, unlisted, embed(face), whose) if unlisted else outlook
        after, log_evidence = inform(wide, targets, sites)
        outlooks.append(first_rows(after, count) if unlisted else after)
        evidence.append(log_evidence)
    heights = np.array(evidence) + model.log_weights
    return Informed(
        model=model,
        place=place_mm(face),
        before=mean_chance(before, model.limit, model.weights),
        outlooks=tuple(outlooks),
        weights=np.exp(heights - logsumexp(heights)),
    )


def expected_moves(outlook: InformedOutlook, limit: float) -> FloatArray:
    """For each configuration the mean square by which a fit factor measured in it is expected to move all chances.

    With s the slopes of the chances in the true values and readings of variance v it is Σⱼ (sⱼ Cov(j, c))² / v_c.
    """
    total = np.sqrt(outlook.variance + outlook.redonning**2)
    away = (outlook.mean - limit) / total
    slope = np.exp(-0.5 * away**2) / np.sqrt(2 * np.pi) / total
    moved = np.empty(len(total))
    for start in range(0, len(total), _AT_ONCE):
        rows = np.arange(start, min(start + _AT_ONCE, len(total)))
        moved[rows] = ((slope[:, None] * covariance_with(outlook, rows)) ** 2).sum(axis=0)
    return np.asarray(moved / total**2)
