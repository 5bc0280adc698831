import math

import pytest

from builder.fit.nose_wire import MATERIALS, NoseWire, holding

STRIP = NoseWire("annealed-aluminium", "strip", width_mm=5, thickness_mm=0.5)


def test_wires_side_by_side_add_up() -> None:
    pair = holding(NoseWire("annealed-aluminium", "strip", width_mm=5, thickness_mm=0.5, count=2))
    assert pair.ei_n_mm2 == 2 * holding(STRIP).ei_n_mm2
    assert pair.moment_n_mm == 2 * holding(STRIP).moment_n_mm
    assert pair.kept_curvature == holding(STRIP).kept_curvature


def test_two_strips_are_as_good_as_one_of_twice_the_width() -> None:
    wide = holding(NoseWire("annealed-aluminium", "strip", width_mm=10, thickness_mm=0.5))
    assert holding(NoseWire("annealed-aluminium", "strip", width_mm=5, thickness_mm=0.5, count=2)) == wide


@pytest.mark.parametrize(
    "wire", [STRIP, NoseWire("annealed-steel", "round", diameter_mm=0.5)], ids=["aluminium strip", "round steel"]
)
def test_a_sharper_bend_keeps_more(wire: NoseWire) -> None:
    kept = [holding(wire, radius).kept_curvature for radius in (5, 10, 50, 200, 1000)]
    assert kept == sorted(kept, reverse=True)
    assert all(0 <= share < 1 for share in kept)


@pytest.mark.parametrize(
    "wire", [STRIP, NoseWire("annealed-steel", "round", diameter_mm=0.5)], ids=["aluminium strip", "round steel"]
)
def test_an_elastic_bend_springs_back_whole(wire: NoseWire) -> None:
    metal = MATERIALS[wire.material]
    depth = wire.thickness_mm or wire.diameter_mm or math.nan
    first_yield = metal.youngs_modulus * depth / 2 / metal.yield_strength
    assert holding(wire, 1.01 * first_yield).kept_curvature == 0
    assert holding(wire, 0.999 * first_yield).kept_curvature == pytest.approx(0, abs=1e-4)


def test_impossible_wires_are_refused() -> None:
    with pytest.raises(ValueError, match="annealed-aluminium or annealed-steel, not of glass"):
        NoseWire("glass", "round", diameter_mm=1)
    with pytest.raises(ValueError, match="1 or more"):
        NoseWire("annealed-steel", "round", diameter_mm=1, count=0)
    for wrong in (
        {"shape": "strip", "width_mm": 5.0},
        {"shape": "strip", "width_mm": 5.0, "thickness_mm": 0.0},
        {"shape": "strip", "width_mm": 5.0, "thickness_mm": 0.5, "diameter_mm": 1.0},
        {"shape": "round"},
        {"shape": "round", "diameter_mm": 1.0, "width_mm": 5.0},
    ):
        with pytest.raises(ValueError, match="a round wire a diameter"):
            NoseWire("annealed-steel", **wrong)
