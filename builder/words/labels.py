"""What things are called: labels instead of ids."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.fit.compare.contrasts import Contrast
from builder.fit.compare.factorial import Factorial
from builder.records.models import Mask
from builder.records.vocabulary import FacialHair, Instrument, Leak, NoseBridge, Protocol, Slot


def mask_label(mask: Mask) -> str:
    """Name a mask: its model, and its size where it has one."""
    return f"{mask.model} {mask.size}" if mask.size else mask.model


def part_label(data: Dataset, token: str) -> str:
    """Name a part of a configuration, or say what was taken out."""
    part = data.part(token)
    if part is not None:
        return part.name
    slot = Slot(token.removeprefix("no-"))
    return f"no {slot.label.lower()}"


def change_label(data: Dataset, parts: str) -> str:
    """Name a configuration beside its mask: "as sold", or the changed parts."""
    if not parts:
        return "as sold"
    return " + ".join(part_label(data, token) for token in parts.split("+"))


def configuration_label(data: Dataset, configuration: str) -> str:
    """Name a configuration in full."""
    mask, _, parts = configuration.partition("+")
    name = mask_label(data.entries.masks[mask].mask)
    return f"{name}, {change_label(data, parts)}"


def cell_label(cell: str) -> str:
    """Name a face cell."""
    return f"cell {cell}" if cell.isdigit() else {"outside": "outside the panel"}.get(cell, "not measured")


def bridge_label(bridge: str) -> str:
    """Name a nose bridge."""
    return f"{NoseBridge(bridge).label.lower()} bridge" if bridge in set(NoseBridge) else "bridge not judged"


def protocol_label(protocol: str) -> str:
    """Name a protocol."""
    return Protocol(protocol).label


def instrument_label(instrument: str) -> str:
    """Name a kind of instrument."""
    return Instrument(instrument).label


def leaks_label(leaks: str) -> str:
    """Name the places of a test's leaks."""
    return ", ".join(Leak(leak).label.lower() for leak in leaks.split("+"))


def wearer_label(worn: Contrast | Factorial) -> str:
    """Name a wearer, and the facial hair where there was some."""
    if worn.facial_hair == FacialHair.NONE.value:
        return worn.wearer
    return f"{worn.wearer} ({FacialHair(worn.facial_hair).label.lower()})"
