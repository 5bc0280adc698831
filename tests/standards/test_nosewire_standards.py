"""Nose wires against handbook formulas and against the bending integral itself."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from builder.fit.nose_wire import MATERIALS, NoseWire, holding


def strip(thickness: float) -> NoseWire:
    return NoseWire("annealed-aluminium", "strip", width_mm=5, thickness_mm=thickness)


def wire(diameter: float) -> NoseWire:
    return NoseWire("annealed-steel", "round", diameter_mm=diameter)


PIECES = [strip(0.5), strip(0.8), strip(1.0), wire(0.4), wire(0.5), wire(0.8)]


@pytest.mark.parametrize(
    ("piece", "stiffness", "moment", "kept"),
    [
        (strip(0.5), 3588.5, 10.62, 0.9704),
        (strip(0.8), 14698.7, 27.20, 0.9815),
        (strip(1.0), 28708.3, 42.50, 0.9852),
        (wire(0.4), 251.3, 2.67, 0.8941),
        (wire(0.5), 613.6, 5.21, 0.9152),
        (wire(0.8), 4021.2, 21.33, 0.9470),
    ],
)
def test_pieces(piece: NoseWire, stiffness: float, moment: float, kept: float) -> None:
    """Roark, App. A (read, second hand); M_p = σ_y Z_p; spring-back after a bend to 10 mm (computed)."""
    result = holding(piece, bend_radius_mm=10)
    assert result.ei_n_mm2 == pytest.approx(stiffness, abs=0.051)
    assert result.moment_n_mm == pytest.approx(moment, abs=0.0051)
    assert result.kept_curvature == pytest.approx(kept, abs=5.1e-5)


@pytest.mark.parametrize("piece", PIECES)
@pytest.mark.parametrize("radius", [5.0, 10.0, 40.0])
def test_spring_back_by_quadrature(piece: NoseWire, radius: float) -> None:
    """Unloading takes M/EI off the curvature, M integrated over an elastic, perfectly plastic section."""
    metal = MATERIALS[piece.material]
    half_depth = (piece.thickness_mm or piece.diameter_mm or math.nan) / 2

    def moment_at(height: float) -> float:
        stress = min(metal.yield_strength, metal.youngs_modulus * height / radius)
        if piece.shape == "strip":
            return stress * height * (piece.width_mm or math.nan)
        return stress * height * 2 * math.sqrt(half_depth**2 - height**2)

    elastic_height = metal.yield_strength * radius / metal.youngs_modulus
    moment = 2 * quad(moment_at, 0, half_depth, points=[elastic_height], epsabs=1e-10)[0]
    result = holding(piece, radius)
    assert result.kept_curvature == pytest.approx(1 - moment / result.ei_n_mm2 * radius, abs=1e-7)


@pytest.mark.parametrize(("piece", "factor"), [(strip(0.5), 1.5), (wire(0.5), 16 / (3 * math.pi))])
def test_shape_factor(piece: NoseWire, factor: float) -> None:
    """Plastic over elastic moment: 1.5 for a rectangle, 16/(3π) = 1.698 for a circle (Roark, App. A)."""
    half_depth = (piece.thickness_mm or piece.diameter_mm or math.nan) / 2
    metal = MATERIALS[piece.material]
    elastic_moment = metal.yield_strength * holding(piece).ei_n_mm2 / metal.youngs_modulus / half_depth
    assert holding(piece).moment_n_mm / elastic_moment == pytest.approx(factor)


def test_material_constants() -> None:
    """Aluminum Association typical values of 1100-O (read); annealed steel wire (values from memory)."""
    constants = np.array([[metal.youngs_modulus, metal.yield_strength] for metal in MATERIALS.values()])
    np.testing.assert_array_equal(constants, [[68_900, 34], [200_000, 250]])
