"""The model cut down to what any face's outlook can be worked out from with few numbers: for the browser.

Means and loadings are linear in the face's features, so that each posterior is a table of rows: a constant for every
configuration, and slopes in the features for every style and every mask. Features are taken as Karhunen–Loève ones
moved and turned so that over the panel's population they have mean 0, variance 1 and no correlation; then a constant
is what holds for an average face, and what is cut off or rounded weighs the same wherever it stands.

Loadings, of hundreds of shared coefficients, are cut to the few directions in which most of their variance lies
(Eckart & Young, Psychometrika 1936;1:211–218). What that leaves within a mask, with the mask's own coefficients, is cut
in the same way mask by mask; the rest is kept as a variance of each configuration alone, so that no variance is lost.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.engine import Posterior
from builder.fit.facemodel.kernel import FEATURES, MASK_FEATURES, population_features
from builder.fit.facemodel.outlook import Basis, own_rows, reference_row, shared_loading

MOST_DIRECTIONS, MOST_OWN_DIRECTIONS = 100, 14
"""Directions kept of what masks share, and of what is each mask's own."""
LEFT_OUT = 5e-5
"""Variance (ln fit factor, squared) of a configuration that may lie outside the directions on average."""
MOST_SHARED, MOST_OF_ALL = 120_000, 240_000
"""Numbers of one posterior's configurations, and of all: an answer in the browser takes time in proportion."""


@dataclass(frozen=True)
class TurnedFeatures:
    """Features with mean 0 and variance 1 over the population: `turn` @ (features − `mean`)."""

    mean: FloatArray
    turn: FloatArray

    @property
    def back(self) -> FloatArray:
        """The turn back: slopes in the features, times this, are slopes in the turned ones."""
        return np.asarray(np.linalg.inv(self.turn))


@dataclass(frozen=True)
class CondensedPosterior:
    """The rows of one posterior. C configurations, S styles, the last for one that no mask has, M masks.

    Constants of masks that are not listed are those of their style. r and q are the numbers of directions.
    """

    mean: FloatArray
    """On a medium nose bridge, (C,)."""
    bridge_mean: FloatArray
    """What the nose bridge adds by each of P parts, (P,)."""
    style_mean: FloatArray
    """Constant and slopes of each style, (S, 1 + FEATURES)."""
    mask_mean: FloatArray
    """Slopes of each mask, (M, MASK_FEATURES)."""
    loading: FloatArray
    """(C, r)"""
    bridge_loading: FloatArray
    """(P, r)"""
    style_loading: FloatArray
    """(S, 1 + FEATURES, r)"""
    mask_loading: FloatArray
    """(M, MASK_FEATURES, r)"""
    own_loading: FloatArray
    """Of what is each mask's own, (C, q)."""
    own_mask_loading: FloatArray
    """(M, MASK_FEATURES, q)"""
    left: FloatArray
    """Variance of each configuration alone, (C,)."""


@cache
def turned(count: int) -> TurnedFeatures:
    """The turn of the first `count` features."""
    features, weights = population_features()
    mean = weights @ features[:, :count]
    away = features[:, :count] - mean
    covariance = away.T @ (weights[:, None] * away)
    return TurnedFeatures(mean, np.linalg.inv(np.linalg.cholesky(covariance)))


def condense(posteriors: Sequence[Posterior], bases: Sequence[Basis]) -> list[CondensedPosterior]:
    """Cut down each posterior, with its `face_basis`."""
    count = len(posteriors[0].design.catalogue.configurations)
    most = max(4, min(MOST_DIRECTIONS, MOST_SHARED // count, MOST_OF_ALL // (count * len(posteriors))))
    return [_condense(*pair, most, MOST_OWN_DIRECTIONS) for pair in zip(posteriors, bases, strict=True)]


def _condense(posterior: Posterior, basis: Basis, most: int, most_own: int) -> CondensedPosterior:
    catalogue = posterior.design.catalogue
    every, few = turned(FEATURES), turned(MASK_FEATURES)
    styles, style_means = _style_rows(posterior)
    listed = len(catalogue.styles)
    # Slopes in turned features, and constants at the average face.
    style = np.einsum("sfr,fk->skr", styles[:, 1:], every.back)
    style_constant = styles[:, 0] + np.tensordot(every.mean, styles[:, 1:], (0, 1))
    mask = np.einsum("mfr,fk->mkr", basis.of_mask, few.back)
    at_average = np.tensordot(every.mean, basis.of_style, (0, 1))[catalogue.style]
    at_average += np.tensordot(few.mean, basis.of_mask, (0, 1))[catalogue.mask]
    constant = basis.constant + at_average

    of_mask = np.bincount(catalogue.mask, minlength=len(catalogue.masks)).astype(float)
    of_part = catalogue.parts.sum(axis=0)
    of_style = np.bincount(catalogue.style, minlength=listed + 1) + 1.0
    weighted = np.concatenate(
        [
            constant,
            np.sqrt(of_part)[:, None] * basis.of_bridge,
            (np.sqrt(of_mask)[:, None, None] * mask).reshape(-1, mask.shape[2]),
            (np.sqrt(of_style)[:, None, None] * style).reshape(-1, style.shape[2]),
            style_constant,
        ]
    )
    directions = _directions(weighted, most, LEFT_OUT * len(constant))
    own, own_mask, left = _own_parts(posterior, constant, mask, directions, most_own)
    return CondensedPosterior(
        mean=basis.constant_mean
        + (basis.style_mean @ every.mean)[catalogue.style]
        + (basis.mask_mean @ few.mean)[catalogue.mask],
        bridge_mean=basis.bridge_mean,
        style_mean=np.column_stack(
            [style_means[:, 0] + style_means[:, 1:] @ every.mean, style_means[:, 1:] @ every.back]
        ),
        mask_mean=basis.mask_mean @ few.back,
        loading=constant @ directions,
        bridge_loading=basis.of_bridge @ directions,
        style_loading=np.concatenate([style_constant[:, None], style], axis=1) @ directions,
        mask_loading=mask @ directions,
        own_loading=own,
        own_mask_loading=own_mask,
        left=left,
    )


def _style_rows(posterior: Posterior) -> tuple[FloatArray, FloatArray]:
    """Loadings (S, 1 + FEATURES, R) and means of a mask of each style that is not listed; last of no known style."""
    scales, columns, design = posterior.scales, posterior.design.columns, posterior.design
    rows = np.zeros((columns.styles + 1, 1 + FEATURES, columns.size))
    rows[:, 0] = reference_row(posterior)
    rows[:, 0, 0] = 1
    rows[:, 1 + np.arange(FEATURES), columns.face] = scales.face
    for style in range(columns.styles):
        rows[style, 0, 1 + style] = scales.style
        rows[style, 1 + np.arange(FEATURES), columns.face_style(style)] = scales.face_style
    mean = rows @ posterior.shared
    mean[:, 0] += design.centre
    return shared_loading(posterior, rows), mean


def _directions(rows: FloatArray, most: int, left_out: float) -> FloatArray:
    """The fewest orthonormal directions (R, r) outside which no more than `left_out` of the rows' squares lies."""
    values, vectors = np.linalg.eigh(rows.T @ rows)
    values, vectors = np.maximum(values[::-1], 0), vectors[:, ::-1]
    beyond = values.sum() - np.cumsum(values)
    count = min(most, int(np.searchsorted(-beyond, -left_out)) + 1, len(values))
    return _signed(vectors[:, :count])


def _signed(vectors: FloatArray) -> FloatArray:
    """Give eigenvectors, which have no sign of their own, one: the same entries must give the same bytes."""
    largest = np.abs(vectors).argmax(axis=0)
    return np.asarray(vectors * np.sign(vectors[largest, np.arange(vectors.shape[1])]))


def _own_parts(
    posterior: Posterior, constant: FloatArray, mask: FloatArray, directions: FloatArray, most: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """What the directions leave within each mask, with its own coefficients, in a few directions of its own."""
    catalogue, scales, few = posterior.design.catalogue, posterior.scales, turned(MASK_FEATURES)
    own = np.zeros((len(constant), most))
    own_mask = np.zeros((len(mask), MASK_FEATURES, most))
    left = np.zeros(len(constant))
    for number, ours in enumerate(catalogue.of_mask):
        count = ours.stop - ours.start
        slopes = np.zeros((MASK_FEATURES, 1 + MASK_FEATURES + count))
        slopes[:, 1 : 1 + MASK_FEATURES] = scales.face_mask * few.back.T
        local = np.concatenate([own_rows(posterior, number, few.mean), slopes]) @ posterior.masks[number].half.T
        shared = np.concatenate([constant[ours], mask[number]])
        reached = shared @ directions
        rest = shared @ shared.T - reached @ reached.T + local @ local.T
        # A slope counts for each configuration of the mask.
        weight = np.sqrt(np.concatenate([np.ones(count), np.full(MASK_FEATURES, float(count))]))
        values, vectors = np.linalg.eigh(weight[:, None] * rest * weight)
        kept = min(most, len(values))
        loading = _signed(vectors[:, ::-1][:, :kept]) * np.sqrt(np.maximum(values[::-1][:kept], 0)) / weight[:, None]
        over = np.maximum(np.diagonal(rest) - (loading**2).sum(axis=1), 0)
        own[ours, :kept] = loading[:count]
        own_mask[number, :, :kept] = loading[count:]
        left[ours] = over[:count] + over[count:].sum()
    return own, own_mask, left
