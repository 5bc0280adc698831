"""The stated truth behind the invented tests, in ln fit factor: effects, a smooth part of the face, and scatter.

ln FF of the seal = level + style + straps as sold + mask + configuration + parts + pairs of parts
+ f(face) + f of the style + f of the mask + wearer + wearer × mask + wearer × configuration + re-donning.
What passes the filter adds to what leaks past the seal, where a mask states its penetration. A reading differs from
that by how it was measured, on every wearer a little differently, by the specimen, and by how often that was worn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from builder.demo.loggers import LOGGERS
from builder.demo.mask_list import DemoConfiguration, Stocked
from builder.demo.method_effects import WEARER_METHOD, effects
from builder.demo.wearers import DemoWearers
from builder.fit.arrays import FloatArray
from builder.fit.panel import standardise
from builder.records.vocabulary import Slot, Style

LEVEL = float(np.log(45))
"""A flat-fold mask on a middling face."""

STYLES = {
    Style.FLAT_FOLD: 0.0,
    Style.THREE_PANEL: 0.25,
    Style.CUP: -0.1,
    Style.DUCKBILL: 0.35,
    Style.PLEATED: -1.0,
    Style.ELASTOMERIC: 0.8,
}
STRAPS_AS_SOLD = {"ear-loops": -0.3, "headbands": 0.4}
PARTS = {
    "crossed-band": 0.75,
    "loop-clip": 0.35,
    "broad-strip": 0.5,
    "paired-wire": 0.0,
    "foam-strip": 0.4,
    "no-nose-foam": -0.25,
    "edge-tape": 1.0,
    "wire-brace": 0.8,
    "inner-bracket": -0.5,
}
"""What a part multiplies the fit factor by, as ln: the same on every mask and wearer."""

PAIRS = {("crossed-band", "broad-strip"): 0.45}
"""What two parts do together beyond each by itself: a stiff strip holds better under a band that pulls."""

MASK, CONFIGURATION = 0.58, 0.23
FACE, FACE_STYLE, FACE_MASK = 0.35, 0.41, 0.28
WEARER, WEARER_MASK, WEARER_CONFIGURATION = 0.58, 0.41, 0.23
"""Standard deviations of what is drawn at random."""

SPECIMEN = 0.15
"""Standard deviation between masks of one box, on one wearer."""
WEAR = 0.03
"""What every donning before takes from a specimen."""

BRIDGE_SLOPE = 0.3
"""Gain from a low to a middling bridge, and from there to a high one."""
BRIDGE_STEP = 0.6
LENGTH_SCALE = 1.25
WAVES = 200


@dataclass(frozen=True)
class Truth:
    """What every test is drawn from, in the order of the wearers and configurations it was drawn for."""

    seal: FloatArray
    """ln fit factor of the seal, without re-donning scatter; wearer × configuration."""
    scatter: FloatArray
    """Standard deviation of ln fit factor between donnings, one a wearer."""
    penetration: FloatArray
    """Fraction that passes the filter, one a configuration; 0 where the mask does not state it."""
    method: FloatArray
    """What measuring by another than the reference method adds to ln fit factor; wearer × place in LOGGERS."""


@dataclass(frozen=True)
class FaceEffects:
    """Smooth random functions of the face: a sum of cosine waves for everybody, each style and each mask.

    Waves with normal frequencies and amplitudes draw from a Gaussian process with a squared-exponential kernel
    (Rahimi & Recht, Advances in Neural Information Processing Systems 20, 2007).
    """

    frequencies: FloatArray
    phases: FloatArray
    amplitudes: FloatArray
    """Wave × configuration, everybody's, the style's and the mask's added up."""

    def __call__(self, length_mm: ArrayLike, width_mm: ArrayLike, bridge: ArrayLike) -> FloatArray:
        """Evaluate on faces; face × configuration."""
        length, width = standardise(np.asarray(length_mm, dtype=float), np.asarray(width_mm, dtype=float))
        step = np.asarray(bridge, dtype=float) - 1
        faces = np.column_stack((length, width, BRIDGE_STEP * step))
        waves = np.sqrt(2 / WAVES) * np.cos(faces @ self.frequencies + self.phases)
        effects: FloatArray = waves @ self.amplitudes + BRIDGE_SLOPE * step[:, None]
        return effects


def draw_truth(
    wearers: DemoWearers,
    masks: Sequence[Stocked],
    configurations: Sequence[DemoConfiguration],
    rng: np.random.Generator,
) -> Truth:
    """Draw what is random and add what is stated."""
    w, m, c = len(wearers.ids), len(masks), len(configurations)
    mask = np.array([configuration.mask for configuration in configurations])
    style = np.array([list(Style).index(stocked.record.style) for stocked in masks])
    sold = [
        STYLES[s.record.style] + STRAPS_AS_SOLD.get(s.record.as_sold.part_in(Slot.STRAPS) or "", 0.0) for s in masks
    ]
    fixed = LEVEL + (np.array(sold) + rng.normal(0, MASK, m))[mask] + rng.normal(0, CONFIGURATION, c)
    fixed += [_parts(configuration.parts) for configuration in configurations]
    faces = FaceEffects(
        frequencies=rng.normal(0, 1 / LENGTH_SCALE, (3, WAVES)),
        phases=rng.uniform(0, 2 * np.pi, WAVES),
        amplitudes=(
            rng.normal(0, FACE, (WAVES, 1))
            + rng.normal(0, FACE_STYLE, (WAVES, len(Style)))[:, style]
            + rng.normal(0, FACE_MASK, (WAVES, m))
        )[:, mask],
    )
    own = rng.normal(0, WEARER, (w, 1)) + rng.normal(0, WEARER_MASK, (w, m))[:, mask]
    own += rng.normal(0, WEARER_CONFIGURATION, (w, c))
    stated = [s.record.filter.penetration_percent / 100 if s.record.filter else 0.0 for s in masks]
    return Truth(
        seal=fixed + faces(wearers.length_mm, wearers.width_mm, wearers.bridge) + own,
        scatter=wearers.scatter,
        penetration=np.array(stated)[mask],
        method=effects(LOGGERS) + rng.normal(0, WEARER_METHOD, (w, len(LOGGERS))),
    )


def through_filter(seal: FloatArray, penetration: FloatArray) -> FloatArray:
    """Give ln fit factor from that of the seal and the filter's penetration P: 1/FF = L + P(1 − L), never below 1."""
    leak = np.exp(-np.maximum(seal, 0.0))
    return np.asarray(-np.log(leak + penetration * (1 - leak)), dtype=float)


def _parts(parts: tuple[str, ...]) -> float:
    pairs = (gain for (one, other), gain in PAIRS.items() if one in parts and other in parts)
    return sum(PARTS[part] for part in parts) + sum(pairs)
