"""What each face read in several configurations, laid out for one least-squares network of all of them.

A reading of a face f in configuration c by method m, on ln FF, is

    y = a_f + θ_c + (levels of m)·β + u_fc + o_fm + e

with a_f free, u_fc ~ N(0, τ²/2) what the face has of its own in that configuration, so that two of them differ by τ as
contrasts do in `pooling`, o_fm ~ N(0, ω²/2) of its own in that method, β known from bridging tests (`bridging`), and e
the error of the donnings.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.compare.like_with_like import MethodArm
from builder.fit.compare.measured_arms import MeasuredArms, WornBy
from builder.fit.compare.methods import MethodEffects


@dataclass(frozen=True)
class FaceReadings:
    """The readings of one face, a row for each configuration and method.

    `places` number the configurations, `exact` counts exact donnings with their `mean` ln FF (0 where there is none),
    `limits` are those of the others; `donning` is the variance of one. The method's level is taken off all of them;
    `loadings` hold what it shares with other methods' errors, `own` is ω². `alike` tells rows of one configuration,
    `same` those of one method.
    """

    face: WornBy
    places: IntArray
    exact: IntArray
    mean: FloatArray
    limits: tuple[tuple[float, ...], ...]
    donning: FloatArray
    loadings: FloatArray
    own: float
    alike: BoolArray
    same: BoolArray

    @property
    def limited(self) -> bool:
        """Whether some reading is "at least"."""
        return any(self.limits)

    def shared(self, tau: float) -> FloatArray:
        """Covariance of what the face has of its own, (rows × rows)."""
        return np.asarray(0.5 * tau**2 * self.alike + 0.5 * self.own * self.same)


def faces_of(measured: MeasuredArms, places: Mapping[str, int]) -> list[FaceReadings]:
    """The readings of each face that tried several configurations; `places` numbers all of these."""
    return [
        _readings(face, [(places[name], arm) for name, arms in own.items() for arm in arms], measured.effects)
        for face, own in measured.by_face.items()
        if len(own) > 1
    ]


def _readings(face: WornBy, rows: list[tuple[int, MethodArm]], effects: MethodEffects) -> FaceReadings:
    levels = [effects.between({}, {arm.method: 1.0}) for _, arm in rows]
    moved = np.array([level.estimate for level in levels])
    n = np.array([arm.readings.n for _, arm in rows])
    configurations = np.array([place for place, _ in rows])
    methods = [arm.method for _, arm in rows]
    return FaceReadings(
        face,
        configurations,
        n,
        np.where(n > 0, np.array([arm.readings.mean for _, arm in rows]) - moved, 0.0),
        tuple(
            tuple(limit - level for limit in arm.readings.limits)
            for (_, arm), level in zip(rows, moved.tolist(), strict=True)
        ),
        np.array([arm.readings.variance for _, arm in rows]),
        np.array([level.loading for level in levels], dtype=np.float64),
        effects.scales.wearer**2,
        configurations[:, None] == configurations,
        np.array([[a == b for b in methods] for a in methods]),
    )
