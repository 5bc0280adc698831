"""Masks as sold, best first, each with the people who tried it: who reached the level, and how long their faces are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from builder.findings.dataset import Dataset, Row, rows_of
from builder.findings.standing import standing
from builder.findings.tried import triers
from builder.fit.panel import CELLS


class FaceLength(StrEnum):
    """Which half of the panel a face lies in: the middle of its lengths divides the cells."""

    SHORTER = "shorter"
    LONGER = "longer"
    UNKNOWN = "unknown"
    """Of a face that was not measured, or that no cell of the panel is for."""


DIVIDING_MM = 118.5
"""The limit of length between cells that halves the panel's population best."""

_LENGTHS = {cell.name: FaceLength.SHORTER if cell.length_high <= DIVIDING_MM else FaceLength.LONGER for cell in CELLS}


@dataclass(frozen=True)
class Tried:
    """One wearer of a mask: the length of the face, and whether the wearer's median reaches the level.

    `reached` is None where the reading is "at least" something lower.
    """

    length: FaceLength
    reached: bool | None


@dataclass(frozen=True)
class MaskWearers:
    """A mask as sold: its row of the summary, and its wearers, those who reached the level first."""

    row: Row
    wearers: tuple[Tried, ...]

    def counts(self, length: FaceLength | None = None) -> tuple[int, int]:
        """Give how many wearers reached the level, and of how many that is known; of one length of face, or of all."""
        known = [one for one in self.wearers if one.reached is not None and length in (None, one.length)]
        return sum(one.reached is True for one in known), len(known)


def masks_best_first(data: Dataset) -> tuple[MaskWearers, ...]:
    """Give every mask that was tested as sold, in the order of lists that begin with the best."""
    cells = dict(zip(data.counted["wearer"], data.counted["cell"], strict=True))
    people: dict[str, list[Tried]] = {}
    for one in triers(data.counted):
        length = _LENGTHS.get(str(cells[one.wearer]), FaceLength.UNKNOWN)
        for configuration, reached in one.tried.items():
            people.setdefault(configuration, []).append(Tried(length, reached))
    as_sold = rows_of(data.summary[(data.summary["parts"] == "") & (data.summary["tests"] > 0)])
    ranked = sorted(as_sold, key=standing, reverse=True)
    return tuple(MaskWearers(row, tuple(sorted(people[row["configuration"]], key=_order))) for row in ranked)


def _order(one: Tried) -> tuple[int, int]:
    return (True, False, None).index(one.reached), list(FaceLength).index(one.length)
