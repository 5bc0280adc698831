"""The tests that the database most wants: which configuration, on which kind of face."""

from __future__ import annotations

from dataclasses import dataclass

from builder.findings.dataset import Dataset
from builder.findings.forecast import NoModel
from builder.findings.made_once import made_once
from builder.fit.panel import CELLS, population_shares


@dataclass(frozen=True)
class WantedTest:
    """A configuration to test on a face of a panel cell.

    `gain` is the part of what is uncertain in the population's chances, over all configurations, that one such test
    takes away; None without the face model. `cell_wearers` of the cell have tested anything so far, `wearers` of any
    cell this configuration.
    """

    configuration: str
    cell: str
    gain: float | None
    cell_wearers: int
    wearers: int


@dataclass(frozen=True)
class WantedTests:
    """The most wanted first. `no_model` is why the list rests on counts alone, None where the face model made it."""

    tests: tuple[WantedTest, ...]
    no_model: NoModel | None


@made_once
def wanted_tests(data: Dataset, count: int) -> WantedTests:
    """List the tests that would teach the most: by the face model, or the emptiest cells with too little data."""
    if data.model is None:
        return WantedTests(_by_counts(data, count), data.no_model)
    found = data.model.wanted_tests(count)
    pairs = zip(found["configuration"], found["cell"], found["gain"], strict=True)
    return WantedTests(tuple(_test(data, str(c), str(cell), float(gain)) for c, cell, gain in pairs), None)


def _test(data: Dataset, configuration: str, cell: str, gain: float | None) -> WantedTest:
    counted = data.counted
    return WantedTest(
        configuration=configuration,
        cell=cell,
        gain=gain,
        cell_wearers=int(counted.loc[counted["cell"] == cell, "wearer"].nunique()),
        wearers=int(counted.loc[counted["configuration"] == configuration, "wearer"].nunique()),
    )


def _by_counts(data: Dataset, count: int) -> tuple[WantedTest, ...]:
    """In each cell the masks that others know best and the cell least, as sold; the emptiest cell first.

    A mask that many have tested tells most about a new face, for there is much to compare it with.
    """
    sold = data.counted[data.counted["parts"] == ""]
    known = sold.groupby("mask")["wearer"].nunique()
    tried = sold.groupby(["cell", "mask"])["wearer"].nunique()
    wearers = data.counted.groupby("cell")["wearer"].nunique()
    shares = population_shares()
    ranked = []
    for cell in (cell.name for cell in CELLS):
        masks = sorted(data.entries.masks, key=lambda m: (tried.get((cell, m), 0), -known.get(m, 0), m))
        ranked += [(turn, wearers.get(cell, 0), -shares[cell], cell, mask) for turn, mask in enumerate(masks)]
    return tuple(_test(data, mask, cell, None) for *_, cell, mask in sorted(ranked)[:count])
