"""Whether the face model has earned its place on this data: it predicts people left out better than plain means do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import pandas as pd

from builder.findings.kept_check import as_bytes, from_bytes
from builder.findings.kept_table import fingerprint
from builder.fit.compare.methods import METHOD
from builder.fit.facemodel import FaceModel, TooLittleDataError, Validation, fit_face_model, leave_wearers_out
from builder.fit.shared_work import Runs, one_by_one
from builder.records.pieces import Pieces

FOLDS = 8
"""Parts that the wearers are split into, each predicted from the others. More of them cost time at every build."""


@dataclass(frozen=True)
class NoModel:
    """Why no chances are predicted: too few `wearers` of the `needed`, only limits, or simpler means do as well."""

    reason: Literal["few-wearers", "only-limits", "no-better"]
    wearers: int = 0
    needed: int = 0


@dataclass(frozen=True)
class Forecast:
    """The model to predict with, or why there is none; how well it predicts, if known."""

    model: FaceModel | None
    validation: Validation | None
    no_model: NoModel | None = None
    check_is_older: bool = False
    """Whether the check was made on the tests before the last change, and is still to be made on these."""


_made: dict[bytes, Forecast] = {}


_READ = [
    *("test", "wearer", "face_length_mm", "face_width_mm", "cell", "nose_bridge"),
    *("configuration", "mask", "style", "parts", *METHOD),
    *("fit_factor", "at_least", "counting_sd", "counted"),
]
"""The columns of the tidy table that the model is made of: it is given no others."""


def forecast(
    table: pd.DataFrame, *, hasty: bool = False, pieces: Pieces | None = None, run: Runs = one_by_one
) -> Forecast:
    """Fit the model to a tidy table and check it on wearers left out.

    The last result is kept: while a site is served it is built again at every save, mostly from the same tests. In
    haste the check of the tests as they were before stands in for one of these, which takes most of the time, and the
    search for the model's scales begins at theirs. A check that is among the `pieces` is not made again. `run` runs the
    parts of the check.
    """
    table = table[_READ]
    digest = fingerprint(table)
    made = _made.get(digest)
    if made is None and hasty and (before := list(_made.values())):
        return _hasty_forecast(table, before[-1], pieces or Pieces(), run)
    if made is None:
        made = _made[digest] = _forecast(table, pieces or Pieces(), run)
        for other in [other for other in _made if other != digest]:
            _made.pop(other, None)
    return made


def _hasty_forecast(table: pd.DataFrame, before: Forecast, pieces: Pieces, run: Runs) -> Forecast:
    if before.model is None:
        return replace(before, check_is_older=True)
    try:
        model = fit_face_model(table, start=before.model.scales)
        return replace(before, model=replace(model, alike_weight=before.model.alike_weight), check_is_older=True)
    except TooLittleDataError:
        return _forecast(table, pieces, run)  # which says so at once


def _forecast(table: pd.DataFrame, pieces: Pieces, run: Runs) -> Forecast:
    try:
        model = fit_face_model(table)
        validation = _check(model, table, pieces, run)
    except TooLittleDataError as error:
        return Forecast(None, None, NoModel(error.reason, error.wearers, error.needed))
    if validation.behind:
        return Forecast(None, validation, NoModel("no-better"))
    return Forecast(replace(model, alike_weight=validation.alike_weight), validation)


def _check(model: FaceModel, table: pd.DataFrame, pieces: Pieces, run: Runs) -> Validation:
    """Check the model on wearers left out, unless that was done before: it takes far longer than to fit it."""
    made_of = b"check of the face model " + fingerprint(table)
    return pieces.kept(
        made_of, lambda: leave_wearers_out(model, table, folds=FOLDS, run=run), write=as_bytes, read=from_bytes
    )
