"""What comes in past a mask's seal and what through its filter, where both were measured on the same particles."""

from __future__ import annotations

from dataclasses import dataclass

from builder.findings.dataset import Dataset
from builder.fit.counts.fit_factor import highest_fit_factor, seal_leak
from builder.fit.summary.censoring import median


@dataclass(frozen=True)
class Inflow:
    """Shares of the particles outside that get into a mask as sold: `total` at its median, past the `seal`."""

    tests: int
    total: float
    seal: float
    tight: float
    """Fit factor if nothing came in past the seal; penetration was measured at one flow, so about."""


def inflow(data: Dataset, mask: str) -> Inflow | None:
    """Tell seal and filter apart on a mask as sold, from the tests that counted the sizes its filter was tested with.

    None where the penetration or its sizes are not told, where no test counted the same, or the median is a limit.
    """
    stated = data.entries.masks[mask].mask.filter
    if stated is None or stated.size_selection is None or stated.penetration_percent >= 100:
        return None
    counted = data.counted
    same = counted[(counted["configuration"] == mask) & (counted["size_selection"] == stated.size_selection.value)]
    if same.empty:
        return None
    reached = median(same["fit_factor"].to_numpy(), same["at_least"].to_numpy(bool))
    if reached.at_least:
        return None
    share = stated.penetration_percent / 100
    return Inflow(len(same), 1 / reached.value, seal_leak(reached.value, share), highest_fit_factor(share))
