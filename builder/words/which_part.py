"""Which part of a change did it, wearer by wearer: what mask pages and `sealbook parts` say of a factorial."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.findings.dataset import Dataset
from builder.fit.compare.factorial import Factorial, MainEffect
from builder.words.catalogue import count, say
from builder.words.labels import part_label, wearer_label
from builder.words.numbers import between, none, times


@dataclass(frozen=True)
class PartRow:
    """What one part did by itself, the others held equal, in words and figures."""

    part: str
    ratio: str
    interval: str
    remark: str


@dataclass(frozen=True)
class WearerParts:
    """The parts that one wearer tried on one mask."""

    wearer: str
    tried: str
    """How many configurations that rests on, and what is missing."""
    rows: tuple[PartRow, ...]


def wearer_parts(data: Dataset, factorials: Iterable[Factorial]) -> tuple[WearerParts, ...]:
    """Put the factorials of a mask into words, those of most configurations first."""
    found = sorted(factorials, key=lambda one: (-len(one.configurations), one.wearer, one.facial_hair))
    return tuple(
        WearerParts(wearer_label(one), _tried(one), tuple(_row(data, one, effect) for effect in one.effects))
        for one in found
    )


def _tried(found: Factorial) -> str:
    configurations = count("configuration", len(found.configurations))
    combinations = say("part.every_combination" if found.complete else "part.some_combinations")
    said = say("part.tried", configurations=configurations, combinations=combinations)
    if found.left_out:
        left_out = len(found.left_out)
        said = say("part.tried_but", configurations=configurations, combinations=combinations, left_out=left_out)
    return f"{said}, {count('moved', len(found.moved))}" if found.moved else said


def _row(data: Dataset, found: Factorial, effect: MainEffect) -> PartRow:
    label = part_label(data, effect.part)
    if effect.against:
        label = say("part.against", part=label, other=part_label(data, effect.against))
    if effect.effect is None:
        aliases = say("label.and").join(part_label(data, part) for part in effect.aliases)
        others = aliases or say("part.other_parts")
        return PartRow(label, none(), none(), say("part.cannot_tell", others=others))
    remarks = [
        say(
            "part.beside",
            apart=times(one.apart.ratio),
            other=part_label(data, one.other),
            together=times(one.together.ratio),
        )
        for one in found.conditional
        if one.part == effect.part
    ]
    return PartRow(
        label, times(effect.effect.ratio), between(effect.effect.low95, effect.effect.high95), "; ".join(remarks)
    )
