"""Nose wires: how stiffly a wire resists being bent, and how well it keeps the bend.

Beam theory for a straight wire of an elastic, perfectly plastic metal. Real metals harden as they are bent, so
these figures compare wires rather than predict forces. A polyethylene sheath adds under 1 % (value from memory)
and is left out. Second moments of area and plastic section moduli: Roark's Formulas for Stress and Strain, App. A.
"""

import math
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Material:
    """A metal: Young's modulus and yield strength in MPa (N/mm²), and where they come from."""

    youngs_modulus: float
    yield_strength: float
    source: str


MATERIALS = {
    "annealed-aluminium": Material(68_900.0, 34.0, "annealed 1100-O, Aluminum Association typical values"),
    "annealed-steel": Material(200_000.0, 250.0, "annealed steel wire, values from memory"),
}


@dataclass(frozen=True)
class NoseWire:
    """`count` equal wires lying side by side.

    A strip needs `width_mm` and `thickness_mm`, a round wire `diameter_mm`. Raises ValueError for a material that is
    not in `MATERIALS` and for measures that are missing, do not belong to the shape, or are not positive.
    """

    material: str
    shape: Literal["strip", "round"]
    width_mm: float | None = None
    thickness_mm: float | None = None
    diameter_mm: float | None = None
    count: int = 1

    def __post_init__(self) -> None:
        if self.material not in MATERIALS:
            raise ValueError(f"A nose wire is made of {' or '.join(MATERIALS)}, not of {self.material}.")
        if self.count < 1:
            raise ValueError("A nose wire counts 1 or more wires.")
        strip, diameter = (self.width_mm, self.thickness_mm), (self.diameter_mm,)
        needed, foreign = (strip, diameter) if self.shape == "strip" else (diameter, strip)
        if any(measure is None or measure <= 0 for measure in needed) or foreign.count(None) < len(foreign):
            raise ValueError("A strip has a width and a thickness, a round wire a diameter: all above 0 mm.")


@dataclass(frozen=True)
class Holding:
    """What a nose wire does on the nose.

    Bending stiffness EI in N·mm²; the moment in N·mm that straightens the bent wire again; the share of the
    curvature that it keeps once let go.
    """

    ei_n_mm2: float
    moment_n_mm: float
    kept_curvature: float


def holding(nose_wire: NoseWire, bend_radius_mm: float = 10.0) -> Holding:
    """Stiffness, holding moment and kept curvature of a nose wire bent to a radius of `bend_radius_mm`.

    With second moment of area I and plastic section modulus Z, each of the wires adds EI and the fully plastic
    moment σ_y Z. The kept curvature is that of one wire: 0 where the bend stays elastic.
    """
    metal = MATERIALS[nose_wire.material]
    if nose_wire.shape == "strip":
        assert nose_wire.width_mm is not None and nose_wire.thickness_mm is not None  # NoseWire has checked
        depth = nose_wire.thickness_mm
        second_moment = nose_wire.width_mm * depth**3 / 12
        plastic_modulus = nose_wire.width_mm * depth**2 / 4
        kept = _kept_by_strip
    else:
        assert nose_wire.diameter_mm is not None  # NoseWire has checked
        depth = nose_wire.diameter_mm
        second_moment = math.pi * depth**4 / 64
        plastic_modulus = depth**3 / 6
        kept = _kept_by_round
    # Height up to which the bent section is still elastic, as a share of half its depth.
    elastic = metal.yield_strength * bend_radius_mm / (metal.youngs_modulus * depth / 2)
    return Holding(
        ei_n_mm2=nose_wire.count * metal.youngs_modulus * second_moment,
        moment_n_mm=nose_wire.count * metal.yield_strength * plastic_modulus,
        kept_curvature=kept(elastic) if elastic < 1 else 0.0,
    )


def _kept_by_strip(elastic: float) -> float:
    """1 − 3X + 4X³ with X = σ_y R/(E t), half the elastic share: textbook spring-back of a strip."""
    half = elastic / 2
    return 1 - 3 * half + 4 * half**3


def _kept_by_round(elastic: float) -> float:
    """The same for a round section: 1 − M/(EI κ), with the stress integrated over the circle in closed form."""
    root = math.sqrt(1 - elastic**2)
    plastic_part = 4 / 3 * root**3
    elastic_part = (math.asin(elastic) - elastic * root * (1 - 2 * elastic**2)) / (2 * elastic)
    return 1 - 4 / math.pi * elastic * (plastic_part + elastic_part)
