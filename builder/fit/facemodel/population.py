"""Chances averaged over the panel's population, and the tests that would sharpen them most."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.design import Design
from builder.fit.facemodel.engine import Posterior
from builder.fit.facemodel.kernel import MASK_FEATURES, Embedding, FaceDescription, embed
from builder.fit.facemodel.outlook import Basis, face_outlook, own_rows
from builder.fit.levels import PREDICTED_LEVEL, tails
from builder.fit.panel import population_shares

_SAMPLES = 600
_SAMPLE_SEED = 0
_JITTER = 1e-10


@dataclass(frozen=True)
class PopulationShare:
    """Share of the population that passes on one donning, with its 90 % interval, for each configuration, (C,)."""

    share: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True)
class Wanted:
    """For each configuration the panel cell whose test would tell most, and what it would tell, (C,).

    `gain` is the part of the variance of all configurations' population shares that one such test removes.
    """

    cell: IntArray
    gain: FloatArray


def panel() -> tuple[tuple[Embedding, ...], FloatArray]:
    """Faces of the panel's cells and their shares."""
    shares = population_shares()
    return tuple(embed(FaceDescription(cell=name)) for name in shares), np.array(list(shares.values()))


def population_share(
    posteriors: Sequence[Posterior], bases: Sequence[Basis], limit: float, mixture: FloatArray | None = None
) -> PopulationShare:
    """Average over panel cells and over the mixture of posteriors; intervals from joint draws over cells.

    `mixture` is what each posterior weighs, the same by default.
    """
    mixture = np.full(len(posteriors), 1 / len(posteriors)) if mixture is None else mixture
    faces, weights = panel()
    each = _SAMPLES // len(posteriors)
    normals = np.random.default_rng(_SAMPLE_SEED).standard_normal((len(posteriors), each, len(faces)))
    count = len(posteriors[0].design.catalogue.configurations)
    samples = np.empty((count, len(posteriors), each))
    share = np.zeros(count)
    for number, (posterior, basis) in enumerate(zip(posteriors, bases, strict=True)):
        for ours, mean, covariance, own in _cells(posterior, basis, faces):
            donning = np.sqrt(own + posterior.scales.redonning**2)
            known = np.diagonal(covariance, axis1=1, axis2=2)
            share[ours] += mixture[number] * ndtr((mean - limit) / np.sqrt(known + donning**2)) @ weights
            true = mean[:, None, :] + normals[number] @ np.linalg.cholesky(covariance).swapaxes(1, 2)
            samples[ours, number] = ndtr((true - limit) / donning) @ weights
    drawn = samples.reshape(count, -1)
    if np.ptp(mixture) < 1e-9:
        low, high = np.quantile(drawn, tails(PREDICTED_LEVEL), axis=1)
    else:
        of_draws = np.repeat(mixture / each, each)
        low, high = np.quantile(drawn, tails(PREDICTED_LEVEL), axis=1, weights=of_draws, method="inverted_cdf")
    return PopulationShare(share, low, high)


def wanted(posterior: Posterior, basis: Basis, limit: float) -> Wanted:
    """Value of one test of each configuration on a face of each cell.

    The share that passes is taken as linear in the true ln fit factors around their means, with the slope expected
    over what is not known; a test's outcome then removes Cov²/Var of each configuration's share.
    """
    faces, weights = panel()
    catalogue = posterior.design.catalogue
    target = np.zeros_like(basis.constant)
    own_targets = [
        np.zeros((ours.stop - ours.start, len(mask.half)))
        for ours, mask in zip(catalogue.of_mask, posterior.masks, strict=True)
    ]
    for face, weight in zip(faces, weights, strict=True):
        outlook = face_outlook(posterior, basis, face)
        total = np.sqrt(outlook.variance + posterior.scales.redonning**2)
        slope = weight * np.exp(-0.5 * ((outlook.mean - limit) / total) ** 2) / np.sqrt(2 * np.pi) / total
        target += slope[:, None] * outlook.loading
        for own_target, (members, own) in zip(own_targets, outlook.mask_loadings, strict=True):
            np.add(own_target, slope[members, None] * own, out=own_target)
    before = float((target**2).sum()) + sum(float((own**2).sum()) for own in own_targets)
    together = target.T @ target
    gain = np.empty((len(catalogue.configurations), len(faces)))
    for column, face in enumerate(faces):
        outlook = face_outlook(posterior, basis, face)
        removed = np.einsum("ij,ij->i", outlook.loading @ together, outlook.loading)
        for own_target, (members, own) in zip(own_targets, outlook.mask_loadings, strict=True):
            through_shared = outlook.loading[members] @ target[members].T
            removed[members] += ((through_shared + own @ own_target.T) ** 2 - through_shared**2).sum(axis=1)
        gain[:, column] = removed / (outlook.variance + posterior.scales.redonning**2) / before
    return Wanted(gain.argmax(axis=1), gain.max(axis=1))


def tried_share(design: Design, of_masks: bool = False) -> FloatArray:
    """Share of the population whose panel cell has a wearer who tried each configuration, or its mask, (C,)."""
    catalogue = design.catalogue
    _, weights = panel()
    cells = np.array([_panel_cell(face) for face in design.wearers.faces])[design.arm_wearer]
    unit = catalogue.mask if of_masks else np.arange(len(catalogue.configurations))
    tried = np.zeros((len(catalogue.configurations), len(weights) + 1), dtype=bool)
    tried[unit[design.arm_configuration], cells] = True
    return np.asarray(tried[unit, :-1] @ weights)


def _cells(
    posterior: Posterior, basis: Basis, faces: Sequence[Embedding]
) -> Iterator[tuple[slice, FloatArray, FloatArray, FloatArray]]:
    """For each mask its configurations with mean (n, faces), joint covariance over faces, and own variance (faces,)."""
    scales, catalogue = posterior.scales, posterior.design.catalogue
    phi = np.stack([face.features for face in faces])
    few = phi[:, :MASK_FEATURES]
    spread = np.array([face.spread for face in faces])
    lost = np.array([face.truncated for face in faces])
    lost_mask = np.array([face.truncated_mask for face in faces])
    smooth = scales.face**2 + scales.face_style**2
    own_variance = (
        scales.wearer**2
        + scales.wearer_mask**2
        + scales.wearer_configuration**2
        + (smooth + scales.face_mask**2) * spread
    )
    unknown = smooth * lost + scales.face_mask**2 * lost_mask + _JITTER
    style_loading, style_mean = np.tensordot(phi, basis.of_style, (1, 1)), phi @ basis.style_mean.T
    for number, ours in enumerate(catalogue.of_mask):
        style = int(catalogue.style[ours.start])
        of_face = style_loading[:, style] + few @ basis.of_mask[number]
        loading = basis.constant[ours, None, :] + of_face
        local = np.stack([own_rows(posterior, number, row) for row in few], axis=1) @ posterior.masks[number].half.T
        covariance = loading @ loading.swapaxes(1, 2) + local @ local.swapaxes(1, 2) + np.diag(unknown)
        mean = basis.constant_mean[ours, None] + style_mean[:, style] + few @ basis.mask_mean[number]
        yield ours, mean, covariance, own_variance


def _panel_cell(face: FaceDescription) -> int:
    """Number of the face's panel cell from 0, one past the last where it has none."""
    names = list(population_shares())
    return names.index(face.cell) if face.cell in names else len(names)
