"""Which configuration comes first where only the best are named."""

from __future__ import annotations

from builder.findings.dataset import Row
from builder.fit.levels import RANKED_FACES


def standing(row: Row) -> tuple[bool, float]:
    """Rank a configuration where only the best are named: one face alone never beats what several wearers measured."""
    return row["wearers"] >= RANKED_FACES, row["median_fit_factor"]
