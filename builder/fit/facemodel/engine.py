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
from builder.fit.facemodel.batches import Batch
from builder.fit.facemodel.blocks import MaskBlock
from builder.fit.facemodel.design import Design
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
    half: FloatArray
    """Inverse Cholesky factor of the mask's own block B of A."""
    link: FloatArray
    """half · A[own, index]."""
    weighted_rows: FloatArray
    """Q, (groups, width)."""
    group_precision: FloatArray
    group_sum: FloatArray
    """Precision-weighted sum of the arms' readings, less the centre."""
    kappa: FloatArray

    @cached_property
    def gain(self) -> FloatArray:
        """B⁻¹ · A[own, index]: how the mask's own coefficients lean on the shared ones."""
        return np.asarray(self.half.T @ self.link)


@dataclass(frozen=True)
class EliminatedBatch:
    """The masks of a batch after elimination: as `Eliminated`, with the masks as the first axis."""

    batch: Batch
    rows: FloatArray
    """Whitened."""
    half: FloatArray
    link: FloatArray
    rhs: FloatArray
    """half · rhs[own]."""
    weighted_rows: FloatArray
    group_precision: FloatArray
    group_sum: FloatArray
    kappa: FloatArray
    wearer_sd: FloatArray

    def mask(self, at: int, block: MaskBlock) -> Eliminated:
        """Cut out one mask."""
        own, touched, groups = block.own, len(block.shared), len(block.wearers)
        index = np.concatenate([np.arange(touched), self.batch.shared + np.arange(groups)])
        columns = np.concatenate([np.arange(own), self.batch.own + np.arange(touched)])
        return Eliminated(
            index=self.batch.index[at, index],
            half=self.half[at, :own, :own],
            link=self.link[at, :own][:, index],
            weighted_rows=self.weighted_rows[at, :groups][:, columns],
            group_precision=self.group_precision[at, :groups],
            group_sum=self.group_sum[at, :groups],
            kappa=self.kappa[at, :groups],
        )


@dataclass(frozen=True)
class Posterior:
    """All that is known once readings and scales are fixed. Coefficients are whitened and, like readings, centred."""

    design: Design
    scales: Scales
    readings: Readings
    eliminated: tuple[EliminatedBatch, ...]
    factor: FloatArray
    """Lower Cholesky factor of the Schur complement over the shared coefficients."""
    shared: FloatArray
    own_batches: tuple[FloatArray, ...]
    """The masks' own coefficients, (M, own) for each batch."""
    arm_precision: FloatArray
    """Precision of the readings of each arm about its true value."""
    arm_reading: FloatArray
    arm_sum: FloatArray
    """Mean of Xβ + the group's term, for each arm."""
    group_term: FloatArray
    log_evidence: float

    @cached_property
    def masks(self) -> tuple[Eliminated, ...]:
        """Each mask after elimination."""
        found = {
            number: done.mask(at, self.design.blocks[number])
            for done in self.eliminated
            for at, number in enumerate(done.batch.masks.tolist())
        }
        return tuple(found[number] for number in range(len(found)))

    @cached_property
    def own(self) -> tuple[FloatArray, ...]:
        """Each mask's own coefficients."""
        found = {
            number: own[at, : self.design.blocks[number].own]
            for done, own in zip(self.eliminated, self.own_batches, strict=True)
            for at, number in enumerate(done.batch.masks.tolist())
        }
        return tuple(found[number] for number in range(len(found)))

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
    # One more row and column, for coefficients that a mask of a batch does not have.
    schur = np.zeros((size + 1, size + 1))
    rhs = np.zeros(size + 1)
    wearer_sd = np.sqrt(wearer_variance(design, scales))
    group_variance = wearer_mask_variance(design, scales)[design.group_wearer]
    eliminated = []
    for batch in design.batches:
        done, addition, shared_rhs = _eliminate(
            batch,
            sds,
            precision=batch.of_arms(precision),
            reading=batch.of_arms(mean),
            wearer_sd=batch.of_wearers(wearer_sd),
            group_variance=batch.of_groups(group_variance),
        )
        np.add.at(schur.reshape(-1), batch.pairs(size).reshape(-1), addition.reshape(-1))
        np.add.at(rhs, batch.index.reshape(-1), shared_rhs.reshape(-1))
        eliminated.append(done)
    schur, rhs = schur[:size, :size], rhs[:size]
    schur[np.arange(1, size), np.arange(1, size)] += 1
    factor = np.asarray(np.linalg.cholesky(schur), dtype=np.float64)
    shared = cho_solve((factor, True), rhs, check_finite=False)

    reached = np.append(shared, 0.0)
    arm_sum, group_term, kappa = np.zeros(n_arms), np.zeros(len(group_variance)), np.zeros(len(group_variance))
    own_batches = []
    quadratic, log_determinant = float(precision @ mean**2 - rhs @ shared), 0.0
    for done in eliminated:
        batch = done.batch
        of_shared = reached[batch.index]
        own = _times(done.half.swapaxes(1, 2), done.rhs - _times(done.link, of_shared))
        together = np.concatenate([own, of_shared[:, : batch.shared]], axis=1)
        of_wearer = done.wearer_sd * of_shared[:, batch.shared :]
        expected = _times(done.weighted_rows, together) + done.group_precision * of_wearer
        terms = done.kappa * (done.group_sum - expected)
        of_arms = _times(done.rows, together) + np.take_along_axis(of_wearer + terms, batch.group, axis=1)
        group_term[batch.groups] = terms.reshape(-1)[batch.group_place]
        arm_sum[batch.arms] = of_arms.reshape(-1)[batch.arm_place]
        kappa[batch.groups] = done.kappa.reshape(-1)[batch.group_place]
        quadratic -= float((done.kappa * done.group_sum**2).sum() + (done.rhs**2).sum())
        log_determinant -= 2 * float(np.log(np.diagonal(done.half, axis1=1, axis2=2)).sum())
        own_batches.append(own)
    log_determinant += float(
        2 * np.log(np.diagonal(factor)).sum() + np.log(group_variance / kappa).sum() - np.log(precision).sum()
    )
    within = readings.precision @ (readings.location - design.centre - mean[design.arm]) ** 2
    within += np.log(weight).sum() - np.log(readings.precision).sum()
    constant = (len(readings.location) - 1) * np.log(2 * np.pi)
    return Posterior(
        design=design,
        scales=scales,
        readings=readings,
        eliminated=tuple(eliminated),
        factor=factor,
        shared=shared,
        own_batches=tuple(own_batches),
        arm_precision=weight,
        arm_reading=mean,
        arm_sum=arm_sum,
        group_term=group_term,
        log_evidence=-0.5 * float(quadratic + log_determinant + within + constant),
    )


def _eliminate(
    batch: Batch,
    sds: FloatArray,
    *,
    precision: FloatArray,
    reading: FloatArray,
    wearer_sd: FloatArray,
    group_variance: FloatArray,
) -> tuple[EliminatedBatch, FloatArray, FloatArray]:
    """A batch's elimination, with what each mask adds to the Schur complement and to its right-hand side."""
    width, n_shared = batch.own, batch.shared
    rows = batch.rows * sds[batch.terms][:, None, :]
    weighted = precision[:, :, None] * rows
    sums = batch.member @ weighted
    group_precision = _times(batch.member, precision)
    group_sum = _times(batch.member, precision * reading)
    kappa = group_variance / (1 + group_variance * group_precision)
    kept = 1 - kappa * group_precision

    across, sums_across = weighted.swapaxes(1, 2), sums.swapaxes(1, 2)
    matrix = across @ rows - sums_across @ (kappa[:, :, None] * sums)
    rhs = _times(across, reading) - _times(sums_across, kappa * group_sum)
    with_wearer = sums_across * (kept * wearer_sd)[:, None, :]
    reach = n_shared + group_sum.shape[1]
    addition = np.zeros((len(rows), reach, reach))
    addition[:, :n_shared, :n_shared] = matrix[:, width:, width:]
    addition[:, :n_shared, n_shared:] = with_wearer[:, width:]
    addition[:, n_shared:, :n_shared] = with_wearer[:, width:].swapaxes(1, 2)
    wearer = np.arange(n_shared, reach)
    addition[:, wearer, wearer] = group_precision * kept * wearer_sd**2

    half = np.linalg.inv(np.linalg.cholesky(matrix[:, :width, :width] + np.eye(width)))
    link = half @ np.concatenate([matrix[:, :width, width:], with_wearer[:, :width]], axis=2)
    addition -= link.swapaxes(1, 2) @ link
    own_rhs = _times(half, rhs[:, :width])
    shared_rhs = np.concatenate([rhs[:, width:], group_sum * kept * wearer_sd], axis=1)
    done = EliminatedBatch(
        batch=batch,
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
    return done, addition, shared_rhs - _times(link.swapaxes(1, 2), own_rhs)


def _times(matrices: FloatArray, vectors: FloatArray) -> FloatArray:
    """Multiply each mask's matrix by its vector."""
    return np.asarray((matrices @ vectors[:, :, None])[:, :, 0])
