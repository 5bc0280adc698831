"""Which configuration comes first in lists that begin with the best, and which change leads a mask's page."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from builder.findings.dataset import Row, rows_of
from builder.fit.compare.ladders import Rung
from builder.fit.levels import RANKED_FACES


def standing(row: Row) -> tuple[bool, float, float]:
    """Rank a configuration: by the lower limit of the share of its wearers who reach 100, so that luck does not lead.

    Those that fewer than `RANKED_FACES` wearers tried come last; where limits are the same, the wearers' median tells.
    """
    if not row["tests"]:
        return False, 0.0, 0.0
    limit = row["share_at_100_low"] if row["share_wearers"] else 0.0
    return row["wearers"] >= RANKED_FACES, limit, row["wearer_median_fit_factor"]


def best_first(summary: pd.DataFrame) -> pd.DataFrame:
    """Order the rows of a summary by their standing, those without a test that counts last."""
    rows = rows_of(summary)
    order = sorted(range(len(rows)), key=lambda place: (rows[place]["tests"] > 0, standing(rows[place])), reverse=True)
    return summary.iloc[order]


def leading(rungs: Iterable[Rung]) -> Rung | None:
    """Choose the change that a mask is introduced with, of those whose comparison tells something.

    The one that surely does most on the wearers of both, a clear one before a likely one; where none does more, one
    that does the same, else one that does less. None where nothing is told on the same wearers.
    """
    telling = [rung for rung in rungs if rung.comparison.same_wearers and rung.comparison.verdict != "cannot-tell"]
    return max(telling, key=_telling, default=None)


def _telling(rung: Rung) -> tuple[bool, bool, bool, float, float]:
    found = rung.comparison
    higher = found.direction == "b-higher"
    surely = found.low90 or 0.0
    return higher, found.verdict == "alike", found.verdict == "clear", surely, found.ratio or 0.0
