"""Configurations that one wearer tried of one mask, brought to one method of measuring.

Tests by the method that most of them were measured by carry the figures; arms that only have another are moved by what
that method reads beside it. The error of the move is shared by all arms of that method, so that it stays out of what
they say among themselves.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.fit.arrays import FloatArray
from builder.fit.compare.like_with_like import MethodArm
from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.methods import Adjustment, Method


@dataclass(frozen=True)
class AlignedArms:
    """Arms with an exact mean: rows of `arm_parts` with `mean` ln FF, `n` donnings and own `df`, in their order.

    `error` (arms × arms) is the covariance of the means, `donnings` what donnings have in it. Those `left_out` hold
    "at least" readings; `moved` ones were measured by another method than most.
    """

    rows: pd.DataFrame
    error: FloatArray
    donnings: FloatArray
    left_out: tuple[str, ...]
    moved: tuple[str, ...]

    @classmethod
    def of(cls, places: pd.DataFrame, arms: MeasuredArms) -> "AlignedArms":
        """The arms in rows of `arm_parts` of one wearer, mask and facial hair.

        ValueError where every configuration holds an "at least" reading.
        """
        keys = list(zip(places["configuration"], places["wearer"], places["facial_hair"], strict=True))
        exact = [[arm for arm in arms.readings[key] if arm.exact] for key in keys]
        told = [bool(own) for own in exact]
        kept = [own for own in exact if own]
        if not kept:
            raise ValueError("every configuration holds an at-least reading")
        common = _commonest(kept)
        chosen = [_chosen(own, common, arms) for own in kept]
        moves = [arms.effects.adjustment(common, arm.method) for arm in chosen]
        donnings = np.array([arm.error for arm in chosen])
        configurations = places["configuration"].to_numpy(str)
        return cls(
            places[told].assign(
                mean=[arm.readings.mean - move.estimate for arm, move in zip(chosen, moves, strict=True)],
                n=[arm.readings.n for arm in chosen],
                df=[arm.df for arm in chosen],
            ),
            np.diag(donnings) + _error_of_moves(moves, [arm.method for arm in chosen], common),
            donnings,
            tuple(name for name, is_told in zip(configurations.tolist(), told, strict=True) if not is_told),
            tuple(
                name for name, arm in zip(configurations[told].tolist(), chosen, strict=True) if arm.method != common
            ),
        )


def _commonest(arms: list[list[MethodArm]]) -> Method:
    """The method that most arms have exact readings of, then of most donnings; the order of methods breaks ties."""
    methods = {arm.method for own in arms for arm in own}
    donnings = {method: [arm.readings.n for own in arms for arm in own if arm.method == method] for method in methods}
    return min(methods, key=lambda method: (-len(donnings[method]), -sum(donnings[method]), method))


def _chosen(own: list[MethodArm], common: Method, arms: MeasuredArms) -> MethodArm:
    """Readings by the common method, or those that tell most once they are moved."""
    return min(
        own,
        key=lambda arm: (
            arm.method != common,
            arm.error + arms.effects.adjustment(common, arm.method).variance,
            arm.method,
        ),
    )


def _error_of_moves(moves: list[Adjustment], methods: list[Method], common: Method) -> FloatArray:
    """Covariance of what arms were moved by: of levels, and of what the wearer has of their own in each method."""
    loadings = np.array([move.loading for move in moves])
    own = np.array([move.own for move in moves])
    moved = np.array([method != common for method in methods])
    alike = np.array([[a == b for b in methods] for a in methods])
    # Half of a wearer's own difference is of the common method, which all that were moved have in common.
    persons = 0.5 * np.sqrt(np.outer(own, own)) * (1.0 + alike) * np.outer(moved, moved)
    return np.asarray(loadings @ loadings.T + persons, dtype=np.float64)
