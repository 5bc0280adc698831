"""What methods differ by, learnt from bridging tests and from inside donnings.

Two kinds of evidence leave out what masks and faces do:

- *bridging tests*: the same wearer in the same configuration by two methods or more. Each arm's own level is left free.
- *inside a donning*: exercises read one by one also say what another protocol would have read, all else the same:
  normal breathing alone, or the four of the short one. `INSIDE` names the columns that hold such readings.

A linear mixed model, its levels and wearer × method shrunk to 0. The standard deviations are those of highest posterior
density, ln SD normal around the defaults of `MethodScales` with spread 0.5, and widened by how little is known of them:
a few levels cannot tell their own spread. Arms with "at least" readings stay out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import pandas as pd
from scipy.linalg import block_diag
from scipy.optimize import minimize

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import METHOD, Method, MethodEffects, MethodScales
from builder.fit.compare.nested_scatter import ARM, NestedScatter

INSIDE = {"one-exercise": "one_exercise_fit_factor", "short-four-exercise": "four_exercise_fit_factor"}
"""By protocol, the column with what it would have read, from the exercises of the same donning; NaN where unknown."""

INSIDE_SD = 0.35
"""ln SD of such a difference from one donning to another: planning value, no published source."""
INSIDE_DF = 4.0

SCALE_SPREAD = 0.5
"""Of the normal prior of each ln standard deviation."""
_CURVATURE_STEP = 0.25
_WEARER_STEPS = np.linspace(-1.5, 1.5, 7)
"""ln of the wearers' standard deviation beside its default, in prior spreads."""


def method_arms(table: pd.DataFrame, scatter: NestedScatter) -> pd.DataFrame:
    """One row for each arm × method with tests that count, sorted by these.

    Columns of `ARM` and `METHOD`; `n` tests, `mean` ln FF, own `variance` and `df`, `any_at_least`, and the moderated
    variance of one donning.
    """
    counted = table[table["counted"]]
    groups = counted.assign(y=np.log(counted["fit_factor"])).groupby([*ARM, *METHOD], observed=True)
    arms = groups.agg(n=("y", "size"), mean=("y", "mean"), variance=("y", "var"), any_at_least=("at_least", "any"))
    arms = arms.reset_index()
    arms["any_at_least"] = arms["any_at_least"].astype(bool)
    arms["df"] = np.where(arms["any_at_least"], 0, arms["n"] - 1)
    arms["variance"] = np.where(arms["df"] > 0, arms["variance"], 0.0)
    arms["moderated"] = scatter.moderated(arms["variance"], arms["df"], arms["wearer"].tolist())
    return arms


def estimate_methods(table: pd.DataFrame, arms: pd.DataFrame) -> MethodEffects:
    """What methods differ by, from the rows of `method_arms` and, where the table has the columns, inside donnings."""
    methods = _methods(arms[METHOD].drop_duplicates())
    before = MethodEffects.unknown([*methods, *_protocols_inside(table, methods)])
    bridging, inside = _bridging_differences(arms), _inside_differences(table)
    blocks = [
        _block([one for one in (bridging.get(wearer), inside.get(wearer)) if one], before)
        for wearer in sorted({*bridging, *inside})
    ]
    return replace(fit_methods(blocks, before), bridging=len(bridging), inside=len(inside))


@dataclass(frozen=True)
class Block:
    """What one wearer tells of methods: differences `y` (ln) with their covariance, apart from the wearer's own part.

    `rows` (differences, levels) say between which levels they are, `persons` (differences, methods) between which
    methods.
    """

    y: FloatArray
    covariance: FloatArray
    rows: FloatArray
    persons: FloatArray


def fit_methods(blocks: Sequence[Block], before: MethodEffects) -> MethodEffects:
    """Levels given all differences, at scales whose squares are about their posterior means."""
    heights, climbed = [], []
    wearers = before.scales.wearer * np.exp(SCALE_SPREAD * _WEARER_STEPS)
    for step, wearer in zip(_WEARER_STEPS, wearers.tolist(), strict=True):
        precision, weighted, height = _summed(blocks, wearer, len(before.levels))
        found = _climb(before, precision, weighted)
        climbed.append(found)
        heights.append(height + found[1] - 0.5 * step**2)
    share = np.exp(np.array(heights) - max(heights))
    share /= share.sum()
    squares = share @ np.stack([squares for squares, _ in climbed])
    protocol, instrument, size_selection = np.sqrt(squares).tolist()
    scales = MethodScales(protocol, instrument, size_selection, float(np.sqrt(share @ wearers**2)))
    precision, weighted, _ = _summed(blocks, scales.wearer, len(before.levels))
    sds = scales.of_levels(before.levels)
    whitened = np.linalg.inv(sds[:, None] * precision * sds + np.eye(len(sds)))
    covariance = np.asarray(sds[:, None] * whitened * sds, dtype=np.float64)
    return MethodEffects(scales, before.levels, covariance @ weighted, covariance)


def _summed(blocks: Sequence[Block], wearer: float, levels: int) -> tuple[FloatArray, FloatArray, float]:
    """Precision and precision-weighted sum of the levels from all wearers, and what else the evidence needs."""
    precision, weighted, height = np.zeros((levels, levels)), np.zeros(levels), 0.0
    for block in blocks:
        total = block.covariance + 0.5 * wearer**2 * block.persons @ block.persons.T
        solved = np.linalg.solve(total, np.column_stack([block.y, block.rows]))
        precision += block.rows.T @ solved[:, 1:]
        weighted += block.rows.T @ solved[:, 0]
        height -= 0.5 * float(block.y @ solved[:, 0] + np.linalg.slogdet(total)[1])
    return precision, weighted, height


def _climb(before: MethodEffects, precision: FloatArray, weighted: FloatArray) -> tuple[FloatArray, float]:
    """Mean squares of the scales of the three kinds of levels, and the log posterior where it is highest.

    The logs of the scales are taken for normal around the highest place, as wide as the curvature there says.
    """
    centre = np.log([before.scales.protocol, before.scales.instrument, before.scales.size_selection])

    def height(logs: FloatArray) -> float:
        protocol, instrument, size_selection = np.exp(logs).tolist()
        sds = MethodScales(protocol, instrument, size_selection).of_levels(before.levels)
        whitened = sds[:, None] * precision * sds + np.eye(len(sds))
        fit = float((sds * weighted) @ np.linalg.solve(whitened, sds * weighted) - np.linalg.slogdet(whitened)[1])
        return 0.5 * fit - 0.5 * float((((logs - centre) / SCALE_SPREAD) ** 2).sum())

    def lack(logs: FloatArray) -> float:
        return -height(logs)

    reach = [(float(c) - 2, float(c) + 2) for c in centre]
    best = np.asarray(minimize(lack, centre, method="L-BFGS-B", bounds=reach).x, dtype=np.float64)
    highest = height(best)
    steps = _CURVATURE_STEP * np.eye(3)
    bends = np.array([2 * highest - height(best + step) - height(best - step) for step in steps]) / _CURVATURE_STEP**2
    variance = 1 / np.maximum(bends, SCALE_SPREAD**-2)
    return np.exp(2 * best + 2 * variance), highest


@dataclass(frozen=True)
class _Differences:
    """Contrasts (differences, means) between means read by `methods`, with the covariance `error` of the means."""

    contrast: FloatArray
    mean: FloatArray
    error: FloatArray
    methods: list[Method]


def _bridging_differences(arms: pd.DataFrame) -> dict[str, _Differences]:
    """Differences between methods within arms, by wearer: each method's mean less that of the arm's first."""
    exact = arms[~arms["any_at_least"]]
    several = exact[exact.groupby(ARM)["n"].transform("size") > 1]
    found = {}
    for wearer, own in several.groupby("wearer", sort=True):
        starts = np.flatnonzero(~own.duplicated(ARM).to_numpy())
        pairs = [(first, j) for first, end in pairwise([*starts, len(own)]) for j in range(first + 1, end)]
        contrast = np.zeros((len(pairs), len(own)))
        for row, (first, other) in enumerate(pairs):
            contrast[row, [first, other]] = -1, 1
        error = np.diag((own["moderated"] / own["n"]).to_numpy(np.float64))
        found[str(wearer)] = _Differences(contrast, own["mean"].to_numpy(np.float64), error, _methods(own))
    return found


def _inside_differences(table: pd.DataFrame) -> dict[str, _Differences]:
    """What other protocols would have read less what was read, averaged over a wearer's donnings by one method."""
    pieces = []
    for protocol, column in _columns_inside(table):
        own = table[table["counted"] & ~table["at_least"] & table[column].notna() & (table["protocol"] != protocol)]
        y = np.log(own[column]) - np.log(own["fit_factor"])
        pieces.append(own[["wearer", *METHOD]].assign(other=protocol, y=y))
    if not pieces:
        return {}
    keys = ["wearer", *METHOD, "other"]
    groups = pd.concat(pieces).groupby(keys, sort=True)["y"].agg(["mean", "size", "var"]).reset_index()
    df = groups["size"].to_numpy() - 1
    squares = float((df * groups["var"].fillna(0.0)).sum())
    variance = (INSIDE_DF * INSIDE_SD**2 + squares) / (INSIDE_DF + df.sum())
    found = {}
    for wearer, own in groups.groupby("wearer", sort=True):
        read = _methods(own)
        other = [replace(method, protocol=protocol) for method, protocol in zip(read, own["other"], strict=True)]
        eye, nought = np.eye(len(own)), np.zeros(len(own))
        mean = np.concatenate([nought, own["mean"].to_numpy(np.float64)])
        error = np.concatenate([nought, variance / own["size"].to_numpy(np.float64)])
        found[str(wearer)] = _Differences(np.hstack([-eye, eye]), mean, np.diag(error), [*read, *other])
    return found


def _methods(rows: pd.DataFrame) -> list[Method]:
    return [Method(*row) for row in rows[METHOD].to_numpy().tolist()]


def _block(pieces: Sequence[_Differences], before: MethodEffects) -> Block:
    """What one wearer tells, from bridging tests and from inside donnings."""
    number = {level: i for i, level in enumerate(before.levels)}
    contrast = block_diag(*(piece.contrast for piece in pieces))
    error = block_diag(*(piece.error for piece in pieces))
    methods = [method for piece in pieces for method in piece.methods]
    levels = np.zeros((len(methods), len(before.levels)))
    for row, method in enumerate(methods):
        levels[row, [number[level] for level in method.levels]] = 1
    distinct = sorted(set(methods))
    persons = np.eye(len(distinct))[[distinct.index(method) for method in methods]]
    mean = np.concatenate([piece.mean for piece in pieces])
    return Block(contrast @ mean, contrast @ error @ contrast.T, contrast @ levels, contrast @ persons)


def _columns_inside(table: pd.DataFrame) -> list[tuple[str, str]]:
    return [(protocol, column) for protocol, column in INSIDE.items() if column in table]


def _protocols_inside(table: pd.DataFrame, methods: Sequence[Method]) -> list[Method]:
    """Methods that no test was measured by but that donnings speak of."""
    return [replace(method, protocol=protocol) for protocol, _ in _columns_inside(table) for method in methods]
