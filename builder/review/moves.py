"""Published figures that differ: medians, verdicts beside the mask as sold, and what to try first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from builder.findings.dataset import Dataset
from builder.findings.forecast import NoModel
from builder.fit.facemodel import FaceDescription, FaceModel, TooLittleDataError, fit_face_model
from builder.fit.panel import CELLS
from builder.words.comparisons import verdict_words
from builder.words.numbers import fit
from builder.words.predictions import no_model_sentence

NO_FIGURE = ["path", "contributor", "leaks", "comfort", "touches_eyes", "fogging", "notes", "link", "invented"]
"""Columns of the tidy table that no figure here rests on."""

MEDIAN = ["median_fit_factor", "median_at_least", "tests", "wearers"]
FIRST = 3
"""Length of the lists of what to try first, as the site shows them."""


@dataclass(frozen=True)
class ConfigurationMedian:
    """The median of a configuration, over how many tests that count of how many wearers."""

    fit_factor: float
    at_least: bool
    tests: int
    wearers: int


@dataclass(frozen=True)
class MedianMove:
    """A configuration whose median or number of tests differs; None where it has no test that counts."""

    configuration: str
    before: ConfigurationMedian | None
    after: ConfigurationMedian | None


@dataclass(frozen=True)
class Verdict:
    """What a change does beside the mask as sold, in words; the ratio is None where nothing bounds it."""

    words: str
    ratio: float | None
    wearers: int


@dataclass(frozen=True)
class VerdictMove:
    """A changed configuration whose verdict differs; None where there was or is none."""

    configuration: str
    before: Verdict | None
    after: Verdict | None


@dataclass(frozen=True)
class ListMove:
    """What the model says to try first on any face of the panel (`cell` "") or one in a cell, where that differs."""

    cell: str
    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True)
class Moves:
    """All of them. `no_model` says why no lists are compared, "" where they are."""

    medians: tuple[MedianMove, ...] = ()
    verdicts: tuple[VerdictMove, ...] = ()
    lists: tuple[ListMove, ...] = ()
    no_model: str = ""


def moves(old: Dataset, new: Dataset) -> Moves:
    """Compare what is published of two datasets. Without a changed figure in the tests nothing is computed anew."""
    if old.table.drop(columns=NO_FIGURE).equals(new.table.drop(columns=NO_FIGURE)):
        return Moves()
    lists, no_model = _lists(old, new)
    return Moves(median_moves(old, new), verdict_moves(old, new), lists, no_model)


def median_moves(old: Dataset, new: Dataset) -> tuple[MedianMove, ...]:
    """Compare the medians as they are printed, and how many tests and wearers they rest on."""
    before, after = (data.summary[data.summary["tests"] > 0].set_index("configuration")[MEDIAN] for data in (old, new))
    both = before.index.union(after.index)
    sides = [side.reindex(both) for side in (before, after)]
    alike = (sides[0][["tests", "wearers"]] == sides[1][["tests", "wearers"]]).all(axis=1)
    alike &= _printed(sides[0]) == _printed(sides[1])
    shown = [[_median(*row) for row in side[~alike].itertuples(index=False)] for side in sides]
    return tuple(MedianMove(str(c), a, b) for c, a, b in zip(both[~alike], *shown, strict=True))


def verdict_moves(old: Dataset, new: Dataset) -> tuple[VerdictMove, ...]:
    """Compare the verdicts on every mask's ladder, which more scatter anywhere can change everywhere."""
    before, after = (_verdicts(data) for data in (old, new))
    return tuple(
        VerdictMove(configuration, before.get(configuration), after.get(configuration))
        for configuration in sorted(before.keys() | after.keys())
        if _words(before.get(configuration)) != _words(after.get(configuration))
    )


def list_moves(old: FaceModel, new: FaceModel) -> tuple[ListMove, ...]:
    """Compare what to try first on any face, and on a face in each cell of the panel."""
    found = []
    for cell in ("", *(cell.name for cell in CELLS)):
        before, after = (_first(model, cell) for model in (old, new))
        if before != after:
            found.append(ListMove(cell, before, after))
    return tuple(found)


def _lists(old: Dataset, new: Dataset) -> tuple[tuple[ListMove, ...], str]:
    """Compare the lists, or say why not.

    Whether the model predicts well enough to be used is checked on the entries afterwards alone, as it takes many fits.
    """
    if new.no_model is not None:
        return (), f"After: {no_model_sentence(new.no_model)}"
    assert new.model is not None
    try:
        before = fit_face_model(old.table)
    except TooLittleDataError as error:
        return (), f"Before: {no_model_sentence(NoModel(error.reason, error.wearers, error.needed))}"
    return list_moves(before, new.model), ""


def _printed(side: pd.DataFrame) -> pd.Series[str]:
    texts = [fit(*row) for row in side[["median_fit_factor", "median_at_least"]].itertuples(index=False)]
    return pd.Series(texts, index=side.index, dtype=object)


def _median(fit_factor: float, at_least: object, tests: float, wearers: float) -> ConfigurationMedian | None:
    return None if np.isnan(tests) else ConfigurationMedian(float(fit_factor), bool(at_least), int(tests), int(wearers))


def _verdicts(data: Dataset) -> dict[str, Verdict]:
    return {
        rung.configuration: Verdict(verdict_words(rung.comparison), rung.comparison.ratio, len(rung.comparison.wearers))
        for rungs in data.ladders.values()
        for rung in rungs
    }


def _words(verdict: Verdict | None) -> str:
    return "" if verdict is None else verdict.words


def _first(model: FaceModel, cell: str) -> tuple[str, ...]:
    face = FaceDescription(cell=cell) if cell else FaceDescription()
    return tuple(choice.configuration for choice in model.try_first(face, FIRST))
