"""What the model expects of every configuration on one face: means, and a covariance that keeps its parts apart.

Two kinds of variance differ in what they mean. `known` is from how little is known of the configuration on such a
face; more data would shrink it. `own` is what makes the next wearer with this face unlike the last.

Covariances are kept as loadings. A sum of coefficients a′β(mask) + g′β(shared) has, on the engine's elimination, the
shared loading L⁻¹(g − C′B⁻¹a) and the mask's own loading B^(−1/2) a; covariances are products of these.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg import solve_triangular

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.engine import Posterior, wearer_mask_variance, wearer_variance
from builder.fit.facemodel.kernel import FEATURES, MASK_FEATURES, Embedding


@dataclass(frozen=True)
class Basis:
    """Loadings and means from which those of any face follow, since both are linear in its features.

    R is the number of shared coefficients; `constant` is what does not depend on the face.
    """

    constant: FloatArray
    """By the reference method on a medium nose bridge, (C, R)."""
    of_bridge: FloatArray
    """(hacks, R)"""
    of_level: FloatArray
    """(levels, R)"""
    of_style: FloatArray
    """(styles, FEATURES, R)"""
    of_mask: FloatArray
    """(masks, MASK_FEATURES, R)"""
    constant_mean: FloatArray
    bridge_mean: FloatArray
    level_mean: FloatArray
    style_mean: FloatArray
    mask_mean: FloatArray


@dataclass(frozen=True)
class Outlook:
    """True ln fit factors of some configurations on one face: mean and variances, (n,), and joint covariance."""

    mean: FloatArray
    known: FloatArray
    own: FloatArray
    redonning: float
    loading: FloatArray
    """Shared loading, (n, R)."""
    mask_loadings: tuple[tuple[IntArray, FloatArray], ...]
    """For each mask: which of the n configurations are its own, and their loadings."""
    mask: IntArray
    style: IntArray
    common: float
    """Covariance of any two configurations beside the loadings."""
    same_style: float
    same_mask: FloatArray
    """Loading of each configuration on a term of wearer × mask, (n,)."""
    alone: FloatArray
    """Variance of each configuration by itself, (n,)."""

    @property
    def variance(self) -> FloatArray:
        """Variance of each true ln fit factor, (n,)."""
        return self.known + self.own

    def narrowed(self, index: IntArray) -> "Outlook":
        """The outlook on some of the n configurations alone, in the order given."""
        place = np.full(len(self.mean), -1)
        place[index] = np.arange(len(index))
        kept = [(place[members], own) for members, own in self.mask_loadings]
        each = {name: getattr(self, name)[index] for name in _EACH}
        return replace(self, **each, mask_loadings=tuple((at[at >= 0], own[at >= 0]) for at, own in kept))

    def compact(self) -> "Outlook":
        """The same in less room, with shared loadings of n columns: they are only ever multiplied with each other."""
        if len(self.mean) >= self.loading.shape[1]:
            return self
        return replace(self, loading=np.asarray(np.linalg.qr(self.loading.T, mode="r"), dtype=np.float64).T)

    def covariance(self, index: IntArray) -> FloatArray:
        """Joint covariance of some of the n configurations."""
        loading, mask, style = self.loading[index], self.mask[index], self.style[index]
        total = loading @ loading.T + self.common + self.same_style * (style[:, None] == style)
        total += (mask[:, None] == mask) * np.outer(self.same_mask[index], self.same_mask[index])
        total += np.diag(self.alone[index])
        place = np.full(len(self.mean), -1)
        place[index] = np.arange(len(index))
        for members, own in self.mask_loadings:
            chosen = place[members] >= 0
            if chosen.any():
                at = place[members[chosen]]
                total[np.ix_(at, at)] += own[chosen] @ own[chosen].T
        return np.asarray(total)


_EACH = ("mean", "known", "own", "loading", "mask", "style", "same_mask", "alone")
"""What an outlook holds a row of for each configuration."""


def face_basis(posterior: Posterior) -> Basis:
    """Solve once for everything that a prediction on any face needs."""
    design, scales = posterior.design, posterior.scales
    catalogue, columns = design.catalogue, design.columns
    constant = np.zeros((len(catalogue.configurations), columns.size))
    constant[:, 0] = 1
    constant[np.arange(len(constant)), 1 + catalogue.style] = scales.style
    constant[:, columns.first_hack : columns.first_bridge] = scales.hack * catalogue.parts
    of_level = _level_rows(posterior)
    constant += of_level[catalogue.reference].sum(axis=0)
    of_bridge = np.zeros((columns.hacks, columns.size))
    of_bridge[:, columns.first_bridge : columns.first_level] = scales.hack_bridge * np.eye(columns.hacks)
    of_style = np.zeros((columns.styles, FEATURES, columns.size))
    for style, rows in enumerate(of_style):
        rows[np.arange(FEATURES), columns.face] = scales.face
        rows[np.arange(FEATURES), columns.face_style(style)] = scales.face_style
    constant_mean, style_mean = constant @ posterior.shared + design.centre, of_style @ posterior.shared
    of_mask = np.zeros((len(catalogue.masks), MASK_FEATURES, columns.size))
    mask_mean = np.zeros((len(catalogue.masks), MASK_FEATURES))
    for number, (ours, mask, own) in enumerate(zip(catalogue.of_mask, posterior.masks, posterior.own, strict=True)):
        rows = own_rows(posterior, number, np.zeros(MASK_FEATURES))
        constant[ours.start : ours.stop, mask.index] -= rows @ mask.gain
        constant_mean[ours] += rows @ own
        features = slice(1, 1 + MASK_FEATURES)
        of_mask[number][:, mask.index] = -scales.face_mask * mask.gain[features]
        mask_mean[number] = scales.face_mask * own[features]
    return Basis(
        shared_loading(posterior, constant),
        shared_loading(posterior, of_bridge),
        shared_loading(posterior, of_level),
        shared_loading(posterior, of_style),
        shared_loading(posterior, of_mask),
        constant_mean,
        of_bridge @ posterior.shared,
        of_level @ posterior.shared,
        style_mean,
        mask_mean,
    )


def _level_rows(posterior: Posterior) -> FloatArray:
    """Row of shared coefficients of each level of methods, (levels, R)."""
    columns = posterior.design.columns
    rows = np.zeros((len(columns.levels), columns.size))
    places = columns.first_level + np.arange(len(columns.levels))
    rows[np.arange(len(rows)), places] = posterior.scales.of_terms()[columns.terms[places]]
    return rows


def reference_row(posterior: Posterior) -> FloatArray:
    """Row of shared coefficients of what the reference method adds, (R,)."""
    return np.asarray(_level_rows(posterior)[posterior.design.catalogue.reference].sum(axis=0))


def own_rows(posterior: Posterior, mask: int, features: FloatArray) -> FloatArray:
    """Rows of a mask's own coefficients for each of its configurations, on a face with these first features."""
    scales, ours = posterior.scales, posterior.design.catalogue.of_mask[mask]
    count = ours.stop - ours.start
    rows = np.zeros((count, 1 + MASK_FEATURES + count))
    rows[:, 0] = scales.mask
    rows[:, 1 : 1 + MASK_FEATURES] = scales.face_mask * features
    rows[:, 1 + MASK_FEATURES :] = scales.configuration * np.eye(count)
    return rows


def face_outlook(
    posterior: Posterior,
    basis: Basis,
    face: Embedding,
    index: IntArray | None = None,
    levels: IntArray | None = None,
) -> Outlook:
    """The outlook of a wearer nobody has tested, on the configurations of `index` (default all).

    `levels` (n, 3) are those of the method that each is measured by, the reference by default.
    """
    scales, catalogue = posterior.scales, posterior.design.catalogue
    index = np.arange(len(catalogue.configurations)) if index is None else index
    mask, style = catalogue.mask[index], catalogue.style[index]
    few = face.features[:MASK_FEATURES]
    masks, which = np.unique(mask, return_inverse=True)
    loading = basis.constant[index]
    loading += (np.tensordot(face.features, basis.of_style, (0, 1)))[style]
    loading += np.tensordot(few, basis.of_mask[masks], (0, 1))[which]
    mean = basis.constant_mean[index] + (basis.style_mean @ face.features)[style] + (basis.mask_mean @ few)[mask]
    if face.bridge:
        held = face.bridge * catalogue.parts[index]
        loading += held @ basis.of_bridge
        mean += held @ basis.bridge_mean
    if levels is not None:
        loading += basis.of_level[levels].sum(axis=1) - basis.of_level[catalogue.reference].sum(axis=0)
        mean += basis.level_mean[levels].sum(axis=1) - basis.level_mean[catalogue.reference].sum()
    known = np.einsum("ij,ij->i", loading, loading)
    mask_loadings = []
    for number in masks:
        members = np.flatnonzero(mask == number)
        rows = own_rows(posterior, number, few)[index[members] - catalogue.of_mask[number].start]
        own = rows @ posterior.masks[number].half.T
        known[members] += (own**2).sum(axis=1)
        mask_loadings.append((members, own))
    # What truncation loses is as unknown as the rest of the smooth terms; spread is between people.
    lost = face.truncated
    known += (scales.face**2 + scales.face_style**2) * lost + scales.face_mask**2 * face.truncated_mask
    common = scales.wearer**2 + scales.face**2 * face.spread
    same_style = scales.face_style**2 * face.spread
    same_mask = scales.wearer_mask**2 + scales.face_mask**2 * face.spread
    own_variance = common + same_style + same_mask + scales.wearer_configuration**2
    return Outlook(
        mean=mean,
        known=known,
        own=np.full(len(index), own_variance),
        redonning=scales.redonning,
        loading=loading,
        mask_loadings=tuple(mask_loadings),
        mask=mask,
        style=style,
        common=common + scales.face**2 * lost,
        same_style=same_style + scales.face_style**2 * lost,
        same_mask=np.full(len(index), np.sqrt(same_mask + scales.face_mask**2 * face.truncated_mask)),
        alone=np.full(len(index), scales.wearer_configuration**2),
    )


def wearer_outlook(posterior: Posterior, wearer: int) -> Outlook:
    """The outlook of a wearer with tests, given these: all variance is about this one person."""
    design, scales = posterior.design, posterior.scales
    catalogue, columns = design.catalogue, design.columns
    count = len(catalogue.configurations)
    features = design.wearers.features[wearer]
    sd = float(np.sqrt(wearer_variance(design, scales)[wearer]))
    untried = float(wearer_mask_variance(design, scales)[wearer])
    shrinkage, centred = np.zeros(count), np.zeros(count)
    # How a configuration's value by the reference method differs from the reading that it follows.
    of_level = _level_rows(posterior)[:, columns.first_level : columns.first_face]
    measured = np.tile(of_level[catalogue.reference].sum(axis=0), (count, 1))
    tried = np.flatnonzero(design.arm_wearer == wearer)
    # Of a configuration measured by several methods the arm that tells most stands last.
    tried = tried[np.argsort(posterior.shrinkage[tried], kind="stable")]
    shrinkage[design.arm_configuration[tried]] = posterior.shrinkage[tried]
    centred[design.arm_configuration[tried]] = posterior.arm_reading[tried]
    read_by = np.zeros_like(measured)
    read_by[design.arm_configuration[tried]] = of_level[design.arm_levels[tried]].sum(axis=1)
    measured -= shrinkage[:, None] * read_by

    rows = np.zeros((count, columns.size))
    rows[:, 0] = 1
    rows[np.arange(count), 1 + catalogue.style] = scales.style
    rows[:, columns.first_hack : columns.first_bridge] = scales.hack * catalogue.parts
    rows[:, columns.first_bridge : columns.first_level] = (
        scales.hack_bridge * design.wearers.bridge[wearer] * catalogue.parts
    )
    rows[:, columns.face] = scales.face * features
    for style in range(columns.styles):
        rows[np.ix_(catalogue.style == style, columns.face_style(style))] = scales.face_style * features
    rows[:, columns.first_wearer + wearer] = sd

    mean, known, same_mask = shrinkage * centred + design.centre, np.zeros(count), np.zeros(count)
    mask_loadings = []
    for number, (ours, block, mask) in enumerate(zip(catalogue.of_mask, design.blocks, posterior.masks, strict=True)):
        own, left = own_rows(posterior, number, features[:MASK_FEATURES]), (1 - shrinkage[ours])[:, None]
        group = np.flatnonzero(block.wearers == wearer)
        variance, offset = untried, 0.0
        if group.size:
            one = int(group[0])
            variance = float(mask.kappa[one])
            offset = variance * float(mask.group_sum[one])
            own = own - variance * mask.weighted_rows[one, : block.own]
            rows[ours.start : ours.stop, block.shared] -= variance * mask.weighted_rows[one, block.own :]
            rows[ours, columns.first_wearer + wearer] = sd * (1 - variance * mask.group_precision[one])
        own, rows[ours] = left * own, left * rows[ours]
        rows[ours, columns.first_level : columns.first_face] += measured[ours]
        mean[ours] += left[:, 0] * offset + own @ posterior.own[number] + rows[ours] @ posterior.shared
        rows[ours.start : ours.stop, mask.index] -= own @ mask.gain
        own = own @ mask.half.T
        known[ours] = (own**2).sum(axis=1) + left[:, 0] ** 2 * variance
        same_mask[ours] = left[:, 0] * np.sqrt(variance)
        mask_loadings.append((np.arange(ours.start, ours.stop), own))
    loading = shared_loading(posterior, rows)
    alone = scales.wearer_configuration**2 * (1 - shrinkage)
    return Outlook(
        mean=mean,
        known=known + np.einsum("ij,ij->i", loading, loading) + alone,
        own=np.zeros(count),
        redonning=scales.redonning,
        loading=loading,
        mask_loadings=tuple(mask_loadings),
        mask=catalogue.mask,
        style=catalogue.style,
        common=0.0,
        same_style=0.0,
        same_mask=same_mask,
        alone=alone,
    )


def shared_loading(posterior: Posterior, rows: FloatArray) -> FloatArray:
    """The shared loadings of rows (…, R) of coefficients."""
    flat = rows.reshape(-1, rows.shape[-1])
    solved = solve_triangular(posterior.factor, flat.T, lower=True, check_finite=False)
    return np.ascontiguousarray(solved.T).reshape(rows.shape)
