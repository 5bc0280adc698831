"""The posterior of all coefficients by block elimination, with the evidence for the scales.

Coefficients are whitened: each is a standard normal times its scale, so that a scale of nearly 0 does no harm
(as in Bates et al., J. Stat. Softw. 2015;67(1)). In this form Henderson's mixed-model equations read A β = rhs with
A = X′V⁻¹X + I, except that the intercept is flat. V holds what is integrated out in closed form: a term for each
wearer × mask (a group) and wearer × configuration (an arm). A is block diagonal over masks once the shared
coefficients are split off, so each mask is eliminated by itself and only the Schur complement over the shared ones
(intercept, styles, parts, face features, wearers) is dense.

Written per mask, with p the precision of each arm, κ the posterior variance of each group's term given β, and Q the
precision-weighted sum of the rows of each group: X′V⁻¹X = X′PX − Q′κQ.

A wearer's face features lack a little of the kernel's variance, much where only the panel cell is known. It is added
to the wearer's own variance (for the smooth term all masks share) and to wearer × mask (for those of style and mask;
that two masks of one style share theirs is passed over).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import cho_solve

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.design import Design, MaskBlock
from builder.fit.facemodel.scales import Scales


@dataclass(frozen=True)
class Readings:
    """What each test says: its location in ln fit factor and its precision about the arm's true value."""

    location: FloatArray
    precision: FloatArray


@dataclass(frozen=True)
class Eliminated:
    """One mask after elimination."""

    index: IntArray
    """Shared coefficients that it touches, wearers last."""
    rows: FloatArray
    """The block's rows, whitened."""
    half: FloatArray
    """Inverse Cholesky factor of the mask's own block B of A."""
    link: FloatArray
    """half · A[own, index]."""
    rhs: FloatArray
    """half · rhs[own]."""
    weighted_rows: FloatArray
    """Q, (groups, width)."""
    group_precision: FloatArray
    group_sum: FloatArray
    """Precision-weighted sum of the arms' readings, less the centre."""
    kappa: FloatArray
    wearer_sd: FloatArray

    @cached_property
    def gain(self) -> FloatArray:
        """B⁻¹ · A[own, index]: how the mask's own coefficients lean on the shared ones."""
        return np.asarray(self.half.T @ self.link)


@dataclass(frozen=True)
class Posterior:
    """All that is known once readings and scales are fixed. Coefficients are whitened and, like readings, centred."""

    design: Design
    scales: Scales
    readings: Readings
    masks: tuple[Eliminated, ...]
    factor: FloatArray
    """Lower Cholesky factor of the Schur complement over the shared coefficients."""
    shared: FloatArray
    own: tuple[FloatArray, ...]
    arm_precision: FloatArray
    """Precision of the readings of each arm about its true value."""
    arm_reading: FloatArray
    arm_sum: FloatArray
    """Mean of Xβ + the group's term, for each arm."""
    group_term: FloatArray
    log_evidence: float

    @property
    def shrinkage(self) -> FloatArray:
        """How far each arm follows its own readings rather than the rest of the model, 0 to 1."""
        variance = self.scales.wearer_configuration**2
        return variance / (variance + 1 / self.arm_precision)

    @property
    def arm_mean(self) -> FloatArray:
        """Posterior mean of each arm's true value."""
        return (1 - self.shrinkage) * self.arm_sum + self.shrinkage * self.arm_reading

    def arm_variance(self, sum_variance: FloatArray) -> FloatArray:
        """Posterior variance of each arm's true value, from that of its sum."""
        left = 1 - self.shrinkage
        return left * self.scales.wearer_configuration**2 + left**2 * sum_variance


def wearer_variance(design: Design, scales: Scales) -> FloatArray:
    """Prior variance of each wearer's own term, (W,)."""
    return scales.wearer**2 + scales.face**2 * design.wearers.missing


def wearer_mask_variance(design: Design, scales: Scales) -> FloatArray:
    """Prior variance of the wearer × mask term of each wearer, (W,)."""
    wearers = design.wearers
    return scales.wearer_mask**2 + scales.face_style**2 * wearers.missing + scales.face_mask**2 * wearers.missing_mask


def exact_readings(design: Design, scales: Scales) -> Readings:
    """Readings as they are: for "at least" ones a placeholder that a caller replaces."""
    return Readings(design.reading, 1 / (scales.redonning**2 + design.counting_variance))


def solve(design: Design, scales: Scales, readings: Readings) -> Posterior:
    """The posterior of all coefficients, and the restricted log evidence of the readings."""
    n_arms = len(design.arm_wearer)
    weight = np.bincount(design.arm, readings.precision, n_arms).astype(np.float64)
    mean = np.bincount(design.arm, readings.precision * (readings.location - design.centre), n_arms) / weight
    precision = 1 / (scales.wearer_configuration**2 + 1 / weight)

    sds = scales.of_terms()
    size = design.columns.size
    schur = np.zeros((size, size))
    rhs = np.zeros(size)
    wearer_sd = np.sqrt(wearer_variance(design, scales))
    group_variance = wearer_mask_variance(design, scales)[design.group_wearer]
    masks = []
    for block in design.blocks:
        mask, addition, shared_rhs = _eliminate(
            design,
            block,
            sds,
            precision=precision[block.arms],
            reading=mean[block.arms],
            wearer_sd=wearer_sd[block.wearers],
            group_variance=group_variance[block.groups],
        )
        schur[np.ix_(mask.index, mask.index)] += addition
        rhs[mask.index] += shared_rhs
        masks.append(mask)
    schur[np.arange(1, size), np.arange(1, size)] += 1
    factor = np.asarray(np.linalg.cholesky(schur), dtype=np.float64)
    shared = cho_solve((factor, True), rhs, check_finite=False)
    own = tuple(mask.half.T @ (mask.rhs - mask.link @ shared[mask.index]) for mask in masks)

    arm_sum, group_term = np.zeros(n_arms), np.zeros(len(group_variance))
    for block, mask, own_coefficients in zip(design.blocks, masks, own, strict=True):
        n_shared = len(block.shared)
        together = np.concatenate([own_coefficients, shared[mask.index[:n_shared]]])
        of_wearer = mask.wearer_sd * shared[mask.index[n_shared:]]
        expected = mask.weighted_rows @ together + mask.group_precision * of_wearer
        terms = mask.kappa * (mask.group_sum - expected)
        group_term[block.groups] = terms
        arm_sum[block.arms] = mask.rows @ together + (of_wearer + terms)[block.group]

    kappa = np.concatenate([mask.kappa for mask in masks])
    group_sum = np.concatenate([mask.group_sum for mask in masks])
    quadratic = precision @ mean**2 - kappa @ group_sum**2 - rhs @ shared - sum(mask.rhs @ mask.rhs for mask in masks)
    log_determinant = (
        2 * np.log(np.diagonal(factor)).sum()
        - 2 * sum(np.log(np.diagonal(mask.half)).sum() for mask in masks)
        + np.log(group_variance / kappa).sum()
        - np.log(precision).sum()
    )
    within = readings.precision @ (readings.location - design.centre - mean[design.arm]) ** 2
    within += np.log(weight).sum() - np.log(readings.precision).sum()
    constant = (len(readings.location) - 1) * np.log(2 * np.pi)
    return Posterior(
        design=design,
        scales=scales,
        readings=readings,
        masks=tuple(masks),
        factor=factor,
        shared=shared,
        own=own,
        arm_precision=weight,
        arm_reading=mean,
        arm_sum=arm_sum,
        group_term=group_term,
        log_evidence=-0.5 * float(quadratic + log_determinant + within + constant),
    )


def _eliminate(
    design: Design,
    block: MaskBlock,
    sds: FloatArray,
    *,
    precision: FloatArray,
    reading: FloatArray,
    wearer_sd: FloatArray,
    group_variance: FloatArray,
) -> tuple[Eliminated, FloatArray, FloatArray]:
    """One mask's elimination, with what it adds to the Schur complement and to its right-hand side."""
    width = block.own
    rows = block.rows * sds[block.terms]
    weighted = precision[:, None] * rows
    sums = np.add.reduceat(weighted, block.starts, axis=0)
    group_precision = np.add.reduceat(precision, block.starts)
    group_sum = np.add.reduceat(precision * reading, block.starts)
    kappa = group_variance / (1 + group_variance * group_precision)
    kept = 1 - kappa * group_precision

    matrix = rows.T @ weighted - sums.T @ (kappa[:, None] * sums)
    rhs = weighted.T @ reading - sums.T @ (kappa * group_sum)
    with_wearer = (sums * (kept * wearer_sd)[:, None]).T
    n_shared, n_groups = len(block.shared), len(block.wearers)
    addition = np.zeros((n_shared + n_groups, n_shared + n_groups))
    addition[:n_shared, :n_shared] = matrix[width:, width:]
    addition[:n_shared, n_shared:] = with_wearer[width:]
    addition[n_shared:, :n_shared] = with_wearer[width:].T
    wearer = np.arange(n_shared, n_shared + n_groups)
    addition[wearer, wearer] = group_precision * kept * wearer_sd**2

    half = np.linalg.inv(np.linalg.cholesky(matrix[:width, :width] + np.eye(width)))
    link = half @ np.hstack([matrix[:width, width:], with_wearer[:width]])
    addition -= link.T @ link
    own_rhs = half @ rhs[:width]
    shared_rhs = np.concatenate([rhs[width:], group_sum * kept * wearer_sd]) - link.T @ own_rhs
    mask = Eliminated(
        index=np.concatenate([block.shared, design.columns.first_wearer + block.wearers]),
        rows=rows,
        half=half,
        link=link,
        rhs=own_rhs,
        weighted_rows=sums,
        group_precision=group_precision,
        group_sum=group_sum,
        kappa=kappa,
        wearer_sd=wearer_sd,
    )
    return mask, addition, shared_rhs
