"""Whether the face model has earned its place on this data: it predicts people left out better than plain means do."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal

import pandas as pd

from builder.fit.facemodel import FaceModel, TooLittleDataError, Validation, fit_face_model, leave_wearers_out

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


_made: dict[bytes, Forecast] = {}


def forecast(table: pd.DataFrame) -> Forecast:
    """Fit the model to a tidy table and check it on wearers left out.

    The last result is kept: while a site is served it is built again at every save, mostly from the same tests.
    """
    digest = hashlib.sha256(pd.util.hash_pandas_object(table).to_numpy().tobytes()).digest()
    if digest not in _made:
        _made.clear()
        _made[digest] = _forecast(table)
    return _made[digest]


def _forecast(table: pd.DataFrame) -> Forecast:
    try:
        model = fit_face_model(table)
        validation = leave_wearers_out(model, table, folds=FOLDS)
    except TooLittleDataError as error:
        return Forecast(None, None, NoModel(error.reason, error.wearers, error.needed))
    if not validation.beats_baselines:
        return Forecast(None, validation, NoModel("no-better"))
    return Forecast(model, validation)
