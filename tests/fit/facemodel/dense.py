"""The face model written out as one covariance over all tests: slow, plain, and independent of the elimination."""

from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.facemodel.design import Design
from builder.fit.facemodel.engine import Readings
from builder.fit.facemodel.kernel import MASK_FEATURES, Embedding
from builder.fit.facemodel.scales import Scales


@dataclass(frozen=True)
class Points:
    """Wearers in configurations: who (numbers below 0 for people without tests), what, and the face's features."""

    wearer: np.ndarray
    configuration: np.ndarray
    features: FloatArray
    missing: FloatArray
    missing_mask: FloatArray
    bridge: FloatArray
    levels: np.ndarray
    """Levels of the method, (n, 3)."""


def tested(design: Design) -> Points:
    """The wearer and configuration of each test."""
    wearer = design.arm_wearer[design.arm]
    return points(design, wearer, design.arm_configuration[design.arm], design.arm_levels[design.arm])


def points(design: Design, wearer: np.ndarray, configuration: np.ndarray, levels: np.ndarray | None = None) -> Points:
    """Known wearers in these configurations, by the reference method unless its levels are given."""
    who = design.wearers
    by = np.tile(design.catalogue.reference, (len(wearer), 1)) if levels is None else levels
    return Points(
        wearer,
        configuration,
        who.features[wearer],
        who.missing[wearer],
        who.missing_mask[wearer],
        who.bridge[wearer],
        by,
    )


def stranger(design: Design, face: Embedding, configuration: np.ndarray, levels: np.ndarray | None = None) -> Points:
    """One person without tests in these configurations, by the reference method unless its levels are given."""
    n = len(configuration)
    lost, lost_mask = face.truncated + face.spread, face.truncated_mask + face.spread
    return Points(
        np.full(n, -1),
        configuration,
        np.tile(face.features, (n, 1)),
        np.full(n, lost),
        np.full(n, lost_mask),
        np.full(n, face.bridge),
        np.tile(design.catalogue.reference, (n, 1)) if levels is None else levels,
    )


def covariance(design: Design, scales: Scales, a: Points, b: Points) -> FloatArray:
    """Prior covariance of true ln fit factors, without the intercept."""
    catalogue = design.catalogue
    same_wearer = a.wearer[:, None] == b.wearer
    same_configuration = a.configuration[:, None] == b.configuration
    same_mask = catalogue.mask[a.configuration][:, None] == catalogue.mask[b.configuration]
    same_style = catalogue.style[a.configuration][:, None] == catalogue.style[b.configuration]
    parts = catalogue.parts.astype(float)
    shared_parts = parts[a.configuration] @ parts[b.configuration].T
    sds = {"protocol": scales.protocol, "instrument": scales.instrument, "size_selection": scales.size_selection}
    of_level = np.array([sds[name] ** 2 / 2 for name, _ in catalogue.levels])
    methods = (of_level[a.levels][:, None] * (a.levels[:, None] == b.levels)).sum(axis=2)
    # What is a wearer's own in a configuration is taken anew for each method.
    same_method = (a.levels[:, None] == b.levels).all(axis=2)
    kernel = a.features @ b.features.T
    kernel_mask = a.features[:, :MASK_FEATURES] @ b.features[:, :MASK_FEATURES].T
    of_wearer = scales.wearer**2 + scales.face**2 * a.missing[:, None]
    of_pair = (
        scales.wearer_mask**2
        + scales.face_style**2 * a.missing[:, None]
        + scales.face_mask**2 * a.missing_mask[:, None]
    )
    return np.asarray(
        scales.style**2 * same_style
        + scales.mask**2 * same_mask
        + scales.configuration**2 * same_configuration
        + scales.hack**2 * shared_parts
        + scales.hack_bridge**2 * shared_parts * np.outer(a.bridge, b.bridge)
        + methods
        + scales.face**2 * kernel
        + scales.face_style**2 * kernel * same_style
        + scales.face_mask**2 * kernel_mask * same_mask
        + same_wearer * of_wearer
        + same_wearer * same_mask * of_pair
        + same_wearer * same_configuration * same_method * scales.wearer_configuration**2
    )


def log_evidence(design: Design, scales: Scales, readings: Readings) -> float:
    """Restricted log likelihood: the intercept is integrated over a flat prior."""
    at = tested(design)
    total = covariance(design, scales, at, at) + np.diag(1 / readings.precision)
    inverse = np.linalg.inv(total)
    weight = inverse.sum()
    away = readings.location - (inverse @ readings.location).sum() / weight
    return -0.5 * float(
        away @ inverse @ away + np.linalg.slogdet(total)[1] + np.log(weight) + (len(away) - 1) * np.log(2 * np.pi)
    )


def posterior(design: Design, scales: Scales, readings: Readings, targets: Points) -> tuple[FloatArray, FloatArray]:
    """Mean and covariance of the targets' true ln fit factors (universal kriging)."""
    at = tested(design)
    total = covariance(design, scales, at, at) + np.diag(1 / readings.precision)
    inverse = np.linalg.inv(total)
    across = covariance(design, scales, targets, at)
    mean = (inverse @ readings.location).sum() / inverse.sum()
    left = 1 - across @ inverse.sum(axis=1)
    return (
        mean + across @ inverse @ (readings.location - mean),
        covariance(design, scales, targets, targets)
        - across @ inverse @ across.T
        + np.outer(left, left) / inverse.sum(),
    )
