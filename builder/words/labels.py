"""What things are called: labels instead of ids."""

from __future__ import annotations

import typing

from builder.findings.dataset import Dataset
from builder.records.models import Mask
from builder.records.vocabulary import FacialHair, Instrument, Leak, MaskClass, NoseBridge, Protocol, Slot
from builder.words import vocabulary_words
from builder.words.catalogue import say


class Worn(typing.Protocol):
    """Anything that was found on one wearer, in one state of the face."""

    @property
    def wearer(self) -> str:
        """The wearer's pseudonym."""

    @property
    def facial_hair(self) -> str:
        """Hair where the mask seals."""


def mask_label(mask: Mask) -> str:
    """Name a mask: its model, and its size where it has one."""
    return f"{mask.model} {mask.size}" if mask.size else mask.model


def class_label(mask: Mask) -> str:
    """Name a mask's class: as printed on it where it is none of those that have a word."""
    return mask.class_name or vocabulary_words.label(mask.mask_class)


def slot_of(data: Dataset, token: str) -> Slot:
    """Find the slot that a part fills, or was taken out of."""
    part = data.part(token)
    return part.slot if part else Slot(token.removeprefix("no-"))


def kinds_label(data: Dataset, configuration: str) -> str:
    """Name what kind of mask a configuration is of and which slots are changed, for searches: style, class, slots."""
    mask_id, _, parts = configuration.partition("+")
    mask = data.entries.masks[mask_id].mask
    slots = [vocabulary_words.label(slot_of(data, token)) for token in parts.split("+") if token]
    return " ".join((vocabulary_words.label(mask.style), vocabulary_words.label(mask.mask_class), *slots))


def part_label(data: Dataset, token: str) -> str:
    """Name a part of a configuration, or say what was taken out."""
    part = data.part(token)
    if part is not None:
        return part.name
    slot = Slot(token.removeprefix("no-"))
    return say("label.without", slot=vocabulary_words.within(slot))


def change_label(data: Dataset, parts: str) -> str:
    """Name a configuration beside its mask: "as sold", or the changed parts."""
    if not parts:
        return say("label.as_sold")
    return " + ".join(part_label(data, token) for token in parts.split("+"))


def configuration_label(data: Dataset, configuration: str) -> str:
    """Name a configuration in full."""
    mask, _, parts = configuration.partition("+")
    name = mask_label(data.entries.masks[mask].mask)
    return say("label.configuration", mask=name, change=change_label(data, parts))


def is_medical(data: Dataset, configuration: str) -> bool:
    """Whether a configuration is of a medical mask, which is no respirator: that is said beside its figures."""
    return data.entries.masks[configuration.partition("+")[0]].mask.mask_class is MaskClass.MEDICAL


def cell_label(cell: str) -> str:
    """Name a face cell."""
    if cell.isdigit():
        return say("label.cell", cell=cell)
    return say("label.outside" if cell == "outside" else "label.not_measured")


def bridge_label(bridge: str) -> str:
    """Name a nose bridge."""
    if bridge in set(NoseBridge):
        return say("label.bridge", bridge=vocabulary_words.within(NoseBridge(bridge)))
    return say("label.bridge_not_judged")


def protocol_label(protocol: str) -> str:
    """Name a protocol."""
    return vocabulary_words.label(Protocol(protocol))


def method_label(protocol: str, instrument: str) -> str:
    """Name how a test was measured: its protocol, and the kind of instrument where that is known."""
    label = protocol_label(protocol)
    return f"{label}, {vocabulary_words.within(Instrument(instrument))}" if instrument else label


def leaks_label(leaks: str) -> str:
    """Name the places of a test's leaks."""
    return ", ".join(vocabulary_words.within(Leak(leak)) for leak in leaks.split("+"))


def wearer_label(worn: Worn) -> str:
    """Name a wearer, and the facial hair where there was some."""
    if worn.facial_hair == FacialHair.NONE.value:
        return worn.wearer
    return say("label.wearer_with_hair", wearer=worn.wearer, hair=vocabulary_words.within(FacialHair(worn.facial_hair)))
