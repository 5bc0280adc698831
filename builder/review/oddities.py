"""New tests that lie far from what was to be expected: a question to whoever measured, never a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import pandas as pd
from scipy.special import ndtri, stdtr

from builder.fit.compare.nested_scatter import ARM, NestedScatter
from builder.fit.facemodel import FaceModel

Beside = Literal["own donnings", "prediction"]

UNUSUAL_P = 0.01
"""Two-sided: 1 test in 100 by chance alone, for a question costs little. No published source."""


@dataclass(frozen=True)
class Oddity:
    """A test and how far it lies from what was expected of it.

    `expected` is the geometric mean of the wearer's other donnings of the configuration, `others` of them, or what the
    face model leads to expect from all other tests. `deviations` is the distance in standard deviations of such a
    prediction, negative where the test is lower.
    """

    test: str
    fit_factor: float
    beside: Beside
    expected: float
    others: int
    deviations: float

    @property
    def times(self) -> float:
        """How many times higher or lower, 1 or more."""
        ratio = self.fit_factor / self.expected
        return max(ratio, 1 / ratio)

    @property
    def lower(self) -> bool:
        """Whether the test is lower than expected."""
        return self.deviations < 0


def oddities(
    table: pd.DataFrame, tests: set[str], scatter: NestedScatter, model: FaceModel | None
) -> tuple[Oddity, ...]:
    """Look at some tests of a tidy table beside all others of it; the farthest first.

    The `scatter` should be what was known before these tests, or an odd one hides in what it adds.

    A test that is far from the wearer's own donnings is not told of again for being far from the prediction.
    """
    own = beside_own_donnings(table, tests, scatter)
    told = {oddity.test for oddity in own}
    predicted = beside_prediction(table, tests - told, model) if model else ()
    return tuple(sorted((*own, *predicted), key=lambda oddity: (-abs(oddity.deviations), oddity.test)))


def beside_own_donnings(table: pd.DataFrame, tests: set[str], scatter: NestedScatter) -> tuple[Oddity, ...]:
    """Compare each test with the same wearer's other donnings of the configuration, all that count.

    An "at least" reading can only be too high, and beside "at least" readings a test can only be too low. Of each
    wearer and configuration only the farthest test is odd, since it drags the mean away from the others too.
    """
    counted = table[table["counted"]]
    repeated = counted[counted.groupby(ARM)["test"].transform("size") > 1]
    arms = repeated.groupby(ARM, sort=False)
    arm, at_least = arms.ngroup().to_numpy(), repeated["at_least"].to_numpy(bool)
    y = np.log(repeated["fit_factor"])
    others = arms["test"].transform("size").to_numpy(float) - 1
    limits = arms["at_least"].transform("sum").to_numpy(int) - at_least
    # Around the arm's own mean m: the others' mean lies at m - centred / others.
    centred = (y - y.groupby(arm).transform("mean")).to_numpy(float)
    distance = centred * (1 + 1 / others)
    squares = np.bincount(arm, centred**2)[arm] - centred**2 * (1 + 1 / others)
    df = np.where(limits > 0, 0.0, others - 1)
    wearers = repeated["wearer"].tolist()
    variance = scatter.moderated(np.maximum(squares, 0.0) / np.maximum(df, 1.0), df, wearers)
    df = scatter.degrees(np.ones((1, len(df))), df[None], wearers)
    p = 2 * stdtr(df, -np.abs(distance) / np.sqrt(variance * (1 + 1 / others)))
    can_tell = np.where(distance < 0, ~at_least, limits == 0)
    # On the scale of the normal distribution, as the distance from a prediction.
    deviations = np.sign(distance) * -ndtri(np.maximum(p / 2, np.finfo(float).tiny))
    found = repeated[["test", "fit_factor"]].assign(
        expected=np.exp(y - distance), others=others.astype(int), deviations=deviations
    )
    farthest = np.abs(deviations) == pd.Series(np.abs(deviations)).groupby(arm).transform("max").to_numpy()
    found = found[(p < UNUSUAL_P) & can_tell & farthest & repeated["test"].isin(tests).to_numpy()]
    return tuple(
        Oddity(str(row["test"]), row["fit_factor"], "own donnings", row["expected"], row["others"], row["deviations"])
        for row in found.to_dict("records")
    )


def beside_prediction(table: pd.DataFrame, tests: set[str], model: FaceModel) -> tuple[Oddity, ...]:
    """Compare each test with what the face model leads to expect from all other tests."""
    unusual = model.unusual_tests()
    unusual = unusual[unusual["unusual"] & unusual["test"].isin(tests)]
    readings = dict(zip(table["test"], table["fit_factor"], strict=True))
    return tuple(
        Oddity(str(row["test"]), float(readings[row["test"]]), "prediction", row["expected"], 0, row["z"])
        for row in unusual.to_dict("records")
    )
