"""The comparisons that somebody is likely to speak of: each has a page of its own.

Each change of a mask against it as sold, and each mask as sold against the mask that most wearers tried as sold; only
pairs that some wearer tried both of.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from builder.fit.compare.ladders import Rung
from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.two_configurations import Comparison, compare


def most_tried(measured: MeasuredArms) -> str:
    """Name the mask that most wearers tried as sold, the first of equals in the order of ids; "" where none was."""
    wearers = {
        configuration: len({face.wearer for face in faces})
        for configuration, faces in measured.by_configuration.items()
        if "+" not in configuration
    }
    return min(wearers, key=lambda mask: (-wearers[mask], mask), default="")


def likely_pairs(
    measured: MeasuredArms, ladders: Mapping[str, Iterable[Rung]], masks: Iterable[str], reference: str
) -> dict[str, tuple[Comparison, ...]]:
    """Compare the pairs of some masks, by mask: its changes by their ids, then it as sold against the reference.

    Masks without such a pair are left out.
    """
    pairs = {mask: _pairs_of(measured, ladders.get(mask, ()), mask, reference) for mask in masks}
    return {mask: own for mask, own in pairs.items() if own}


def _pairs_of(measured: MeasuredArms, rungs: Iterable[Rung], mask: str, reference: str) -> tuple[Comparison, ...]:
    changes = sorted((rung.alone for rung in rungs if rung.alone.same_wearers), key=lambda found: found.b)
    faces = measured.by_configuration
    if mask == reference or not faces.get(mask, {}).keys() & faces.get(reference, {}).keys():
        return tuple(changes)
    return (*changes, compare(measured, reference, mask))
