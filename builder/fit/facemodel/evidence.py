"""Posterior variances of what the engine solves for, and with them the gradient of the evidence."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import lapack

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.engine import Posterior, wearer_mask_variance, wearer_variance
from builder.fit.facemodel.scales import ESTIMATED, TERM


@dataclass(frozen=True)
class Variances:
    """Posterior variances, of each arm's and group's sums and of every whitened coefficient."""

    arm_sum: FloatArray
    """Of Xβ + the group's term, for each arm."""
    group_term: FloatArray
    shared: FloatArray
    own: tuple[FloatArray, ...]
    """Of the masks' own coefficients, (M, own) for each batch."""


def variances(posterior: Posterior) -> Variances:
    """Posterior variances of arms, groups and coefficients."""
    design = posterior.design
    size = design.columns.size
    covariance = _inverse(posterior.factor)
    # One more row and column, for coefficients that a mask of a batch does not have.
    padded = np.zeros((size + 1, size + 1))
    padded[:size, :size] = covariance
    arm_sum = np.zeros(len(design.arm_wearer))
    group_term = np.zeros(len(design.group_wearer))
    own = []
    for done in posterior.eliminated:
        batch = done.batch
        width, n_shared = batch.own, batch.shared
        reached = padded.reshape(-1)[batch.pairs(size)]
        half_across = done.half.swapaxes(1, 2)
        gain = half_across @ done.link
        lean = gain @ reached
        own_covariance = half_across @ done.half + lean @ gain.swapaxes(1, 2)
        own.append(np.diagonal(own_covariance, axis1=1, axis2=2))
        joint = np.empty((len(gain), width + n_shared, width + n_shared))
        joint[:, :width, :width] = own_covariance
        joint[:, :width, width:] = -lean[:, :, :n_shared]
        joint[:, width:, :width] = joint[:, :width, width:].swapaxes(1, 2)
        joint[:, width:, width:] = reached[:, :n_shared, :n_shared]
        with_wearer = np.concatenate([-lean[:, :, n_shared:], reached[:, :n_shared, n_shared:]], axis=1)
        with_wearer = with_wearer.swapaxes(1, 2)
        wearer = np.diagonal(reached, axis1=1, axis2=2)[:, n_shared:]

        factor = done.group_precision * done.wearer_sd
        of_sum = _quadratic(done.weighted_rows, joint, factor, with_wearer, wearer)
        terms = done.kappa + done.kappa**2 * of_sum
        group_term[batch.groups] = terms.reshape(-1)[batch.group_place]
        group = batch.group[:, :, None]
        rows = done.rows - np.take_along_axis(done.kappa[:, :, None] * done.weighted_rows, group, axis=1)
        factor = np.take_along_axis(done.wearer_sd * (1 - done.kappa * done.group_precision), batch.group, axis=1)
        of_arms = np.take_along_axis(done.kappa, batch.group, axis=1) + _quadratic(
            rows,
            joint,
            factor,
            np.take_along_axis(with_wearer, group, axis=1),
            np.take_along_axis(wearer, batch.group, axis=1),
        )
        arm_sum[batch.arms] = of_arms.reshape(-1)[batch.arm_place]
    return Variances(arm_sum, group_term, np.diagonal(covariance), tuple(own))


def evidence_gradient(posterior: Posterior, spread: Variances) -> FloatArray:
    """Gradient of the log evidence in ln scale, in the order of `ESTIMATED`, by Fisher's identity.

    For a term with coefficients u of scale σ it is the posterior mean of Σ(u²/σ² − 1). "At least" readings have a
    location and precision of their own and do not depend on the re-donning scatter here.
    """
    design, scales = posterior.design, posterior.scales
    excess = np.zeros(len(TERM))
    surplus = posterior.shared**2 + spread.shared - 1
    first = design.columns.first_wearer
    np.add.at(excess, design.columns.terms, surplus[:first])
    for done, mean, variance in zip(posterior.eliminated, posterior.own_batches, spread.own, strict=True):
        # Of a coefficient that a mask does not have the mean is 0 and the variance 1.
        np.add.at(excess, done.batch.terms[:, : done.batch.own], mean**2 + variance - 1)

    missing, missing_mask = design.wearers.missing, design.wearers.missing_mask
    per_wearer = surplus[first:] / wearer_variance(design, scales)
    excess[TERM["wearer"]] += scales.wearer**2 * per_wearer.sum()
    excess[TERM["face"]] += scales.face**2 * (per_wearer @ missing)

    group_variance = wearer_mask_variance(design, scales)[design.group_wearer]
    per_group = ((posterior.group_term**2 + spread.group_term) / group_variance - 1) / group_variance
    excess[TERM["wearer_mask"]] += scales.wearer_mask**2 * per_group.sum()
    excess[TERM["face_style"]] += scales.face_style**2 * (per_group @ missing[design.group_wearer])
    excess[TERM["face_mask"]] += scales.face_mask**2 * (per_group @ missing_mask[design.group_wearer])

    # The arm's own term has mean ρ(ȳ − sum) and variance σ²(1 − ρ) + ρ² Var(sum).
    shrinkage = posterior.shrinkage
    second = shrinkage**2 * ((posterior.arm_reading - posterior.arm_sum) ** 2 + spread.arm_sum)
    excess[TERM["wearer_configuration"]] += (second / scales.wearer_configuration**2 - shrinkage).sum()

    exact = ~design.at_least
    arm = design.arm[exact]
    residual = posterior.readings.location[exact] - design.centre - posterior.arm_mean[arm]
    uncertain = residual**2 + posterior.arm_variance(spread.arm_sum)[arm]
    weight = posterior.readings.precision[exact]
    excess[TERM["redonning"]] += scales.redonning**2 * ((uncertain * weight - 1) * weight).sum()
    return excess[: len(ESTIMATED)]


def _quadratic(
    rows: FloatArray, joint: FloatArray, factor: FloatArray, with_wearer: FloatArray, wearer: FloatArray
) -> FloatArray:
    """Variance of each row of coefficients with `factor` times its wearer's own."""
    return np.asarray(
        np.einsum("mij,mij->mi", rows @ joint + 2 * factor[:, :, None] * with_wearer, rows) + factor**2 * wearer
    )


def _inverse(factor: FloatArray) -> FloatArray:
    """Inverse of the matrix of which this is the lower Cholesky factor."""
    inverse, _ = lapack.dpotri(factor, lower=1)
    lower = np.tril(inverse)
    return np.asarray(lower + np.tril(lower, -1).T)
