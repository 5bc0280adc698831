"""An outlook given what somebody told of their own face.

The joint covariance K of all true values splits into what is unknown of configurations on such a face and what is this
person's own, K = K_known + K_own. Answers shrink both. What stays of K_own is how much people with this face and these
answers still differ; the rest is how little is known about them, which is what an interval is about.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.facemodel.engine import Posterior, wearer_mask_variance, wearer_variance
from builder.fit.facemodel.kernel import MASK_FEATURES, Embedding
from builder.fit.facemodel.outlook import Outlook, reference_row, shared_loading
from builder.fit.facemodel.own_results import Sites
from builder.fit.facemodel.propagated_sites import gain, settle


@dataclass(frozen=True)
class InformedOutlook(Outlook):
    """An outlook with answers taken in: `mean`, `known` and `own` are as they are afterwards."""

    across: FloatArray
    """Covariance with the answers' true values before they were told, (n, answers)."""
    gain: FloatArray
    """What the answers take off the joint covariance is across · gain · across′."""

    def covariance(self, index: IntArray) -> FloatArray:
        """Joint covariance of some of the n configurations."""
        return np.asarray(super().covariance(index) - self.across[index] @ self.gain @ self.across[index].T)


def inform(outlook: Outlook, targets: IntArray, sites: Sites) -> tuple[InformedOutlook, float]:
    """Take answers about the rows `targets` into an outlook; give it with the log evidence of the answers."""
    own = own_covariance(outlook, targets)
    across = own + _known_covariance(outlook, targets)
    mean, covariance = outlook.mean[targets] + sites.shift, across[targets] + sites.shift_covariance
    found = settle(outlook.mean[targets], across[targets], sites, outlook.redonning**2)
    taken = gain(covariance, found.precision)
    # (K + 1/precision)⁻¹ (location − mean), written so that it holds for a precision of 0 too.
    away = found.weighted - found.precision * mean
    weight = away - taken @ covariance @ away
    left = np.maximum(outlook.variance - np.einsum("ij,ij->i", across @ taken, across), 0.0)
    own_taken = gain(own[targets] + sites.shift_covariance, found.precision)
    own_left = np.clip(outlook.own - np.einsum("ij,ij->i", own @ own_taken, own), 0.0, left)
    after = {"mean": outlook.mean + across @ weight, "known": left - own_left, "own": own_left}
    return InformedOutlook(**(vars(outlook) | after), across=across, gain=taken), found.log_evidence


def own_covariance(outlook: Outlook, targets: IntArray) -> FloatArray:
    """The part of the covariance of all rows (n) with `targets` that is this person's own, (n, targets)."""
    total = outlook.common + outlook.same_style * (outlook.style[:, None] == outlook.style[targets])
    same_mask = outlook.mask[:, None] == outlook.mask[targets]
    total = total + same_mask * np.outer(outlook.same_mask, outlook.same_mask[targets])
    same = np.arange(len(outlook.mean))[:, None] == targets
    return np.asarray(total + same * outlook.alone[targets])


def covariance_with(outlook: InformedOutlook, targets: IntArray) -> FloatArray:
    """Joint covariance of all n configurations with some of them, (n, targets)."""
    before = own_covariance(outlook, targets) + _known_covariance(outlook, targets)
    return np.asarray(before - outlook.across @ outlook.gain @ outlook.across[targets].T)


def _known_covariance(outlook: Outlook, targets: IntArray) -> FloatArray:
    total = outlook.loading @ outlook.loading[targets].T
    place = np.full(len(outlook.mean), -1)
    for members, own in outlook.mask_loadings:
        place[members] = np.arange(len(members))
        of_mask: BoolArray = np.isin(targets, members)
        if of_mask.any():
            columns = np.flatnonzero(of_mask)
            total[np.ix_(members, columns)] += own @ own[place[targets[columns]]].T
    return np.asarray(total)


def with_unlisted(
    outlook: Outlook, posterior: Posterior, styles: Sequence[str], face: Embedding, wearer: int | None = None
) -> Outlook:
    """The outlook of all configurations with rows behind it for masks that the model does not have.

    `styles` has the style of each: all that is known of it. A style that no mask of the model has tells nothing, and
    such masks share nothing but what all do. `wearer` for the outlook of somebody with tests.
    """
    design, scales = posterior.design, posterior.scales
    columns, count = design.columns, len(outlook.mean)
    numbers = {str(name): number for number, name in enumerate(design.catalogue.styles)}
    few = face.features[:MASK_FEATURES]
    rows = np.zeros((len(styles), columns.size))
    rows[:] = reference_row(posterior)
    rows[:, 0] = 1
    rows[:, columns.face] = scales.face * face.features
    style = np.array([numbers.get(name, len(numbers) + sorted(set(styles)).index(name)) for name in styles])
    unknown = np.full(len(styles), scales.mask**2 + scales.configuration**2 + scales.face_mask**2 * (few @ few))
    for row, name in enumerate(styles):
        if name in numbers:
            rows[row, 1 + style[row]] = scales.style
            rows[row, columns.face_style(int(style[row]))] = scales.face_style * face.features
        else:
            unknown[row] += scales.style**2 + scales.face_style**2 * (face.features @ face.features)
    if wearer is None:
        same_mask, of_person = float(outlook.same_mask[0]), float(outlook.own[0])
        beside = (scales.face**2 + scales.face_style**2) * face.truncated + scales.face_mask**2 * face.truncated_mask
    else:
        rows[:, columns.first_wearer + wearer] = np.sqrt(wearer_variance(design, scales)[wearer])
        same_mask, of_person = float(np.sqrt(wearer_mask_variance(design, scales)[wearer])), 0.0
        beside = same_mask**2 + scales.wearer_configuration**2
    loading = shared_loading(posterior, rows)
    by_themselves = tuple((np.array([count + row]), np.array([[np.sqrt(v)]])) for row, v in enumerate(unknown))
    return replace(
        outlook,
        mean=np.concatenate([outlook.mean, rows @ posterior.shared + design.centre]),
        known=np.concatenate([outlook.known, (loading**2).sum(axis=1) + unknown + beside]),
        own=np.concatenate([outlook.own, np.full(len(styles), of_person)]),
        loading=np.concatenate([outlook.loading, loading]),
        mask_loadings=(*outlook.mask_loadings, *by_themselves),
        mask=np.concatenate([outlook.mask, len(design.catalogue.masks) + np.arange(len(styles))]),
        style=np.concatenate([outlook.style, style]),
        same_mask=np.concatenate([outlook.same_mask, np.full(len(styles), same_mask)]),
        alone=np.concatenate([outlook.alone, np.full(len(styles), scales.wearer_configuration**2)]),
    )


def first_rows(outlook: InformedOutlook, count: int) -> InformedOutlook:
    """The outlook without the rows behind the first `count`, which no mask among these shares."""
    rows: dict[str, Any] = {name: value[:count] for name, value in vars(outlook).items() if _is_of_rows(name, value)}
    kept = tuple((members, own) for members, own in outlook.mask_loadings if members[0] < count)
    return replace(outlook, **rows, mask_loadings=kept)


def _is_of_rows(name: str, value: object) -> bool:
    return isinstance(value, np.ndarray) and name != "gain"
