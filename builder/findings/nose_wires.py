"""Nose wires whose cross-section an entry describes, as the science takes them."""

from __future__ import annotations

from builder.fit.nose_wire import Holding, NoseWire, holding
from builder.records.models import Part


def wire_holding(part: Part) -> Holding | None:
    """Estimate how a nose wire with a described section holds its bend; None for any other part."""
    if part.section is None:
        return None
    wire = part.section
    return holding(
        NoseWire(
            material=wire.material.value,
            shape=wire.shape.value,  # type: ignore[arg-type]
            width_mm=wire.width_mm,
            thickness_mm=wire.thickness_mm,
            diameter_mm=wire.diameter_mm,
            count=wire.count,
        )
    )
