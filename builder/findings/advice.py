"""What to try first on a face: by the face model, or by plain summaries where the model is not used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from builder.findings.dataset import Dataset, Row, rows_of
from builder.findings.made_once import made_once
from builder.fit.facemodel import FaceDescription, Suggestion
from builder.fit.facemodel.design import faces_of
from builder.fit.facemodel.kernel import place_mm
from builder.fit.facemodel.model import FaceModel
from builder.fit.levels import BRIDGE_MM, LITTLE_KNOWN, NEAR_MM
from builder.fit.panel import NOSE_BRIDGES, OUTSIDE, below_panel, cell_of
from builder.fit.summary.summaries import summarise
from builder.records.entry_keys import key_at
from builder.records.models import Test

Grounds = Literal["model", "summaries", "none"]
"""The face model, plain summaries, or nothing: there is no list for a face below the panel's limits."""
GOALS: tuple[Literal["pass", "best"], ...] = ("pass", "best")
"""What a next test may be for: to find a mask that passes soonest, or to find the best one."""


@dataclass(frozen=True)
class Choice:
    """One entry of the list to try in order; without chances where there is no model."""

    configuration: str
    chance: float | None
    cumulative_chance: float | None
    """Chance that this one or an earlier one passes on a first donning."""


@dataclass(frozen=True)
class Ranked:
    """A configuration in the list for a face; its chances are None where there is no model."""

    configuration: str
    chance: float | None
    """That one donning reaches a fit factor of 100, with its 90 % interval `low` to `high`."""
    low: float | None
    high: float | None
    wearers: int
    near_wearers: int | None
    """Wearers who tried it, and those of them within 10 mm of this face; None for a face without a place."""
    little_known: bool
    """The interval is wider than 0.5; without a model: fewer than three wearers."""
    fit_factor: float | None
    """Expected on this face, or the median of the wearers' medians."""
    share_at_100: float | None
    share_wearers: int
    """Share of the wearers measured whose own median reaches 100, and how many that is taken over."""

    @property
    def reached(self) -> int | None:
        """How many wearers that share is; None where none was measured."""
        return None if self.share_at_100 is None else round(self.share_at_100 * self.share_wearers)


@dataclass(frozen=True)
class Advice:
    """What to try on a face, and what that rests on."""

    basis: Grounds
    try_first: tuple[Choice, ...]
    ranked: tuple[Ranked, ...]
    """Every configuration there is something to say on, best first."""
    as_sold: bool = False
    """Whether changed masks are left out."""
    best_as_sold: Ranked | None = None
    best_changed: Ranked | None = None
    """The first of each kind among everything, whether or not changed masks are left out."""
    small: tuple[float, float] | None = None
    """Length and width in mm of a face below the panel's limits, for which there is no list."""
    outside_panel: bool = False
    """Whether it is for any face because the panel has no cell for the one that was asked about."""
    wearer: str = ""
    """The wearer whose own tests it takes into account, "" for a face that nobody has tested."""
    by_cell: bool = False
    """Whether the face is a panel cell, so that "near" is near the cell's middle."""
    near_only: bool = False
    """Without a model: whether it ranks by wearers near this face alone."""


def plausible_mm(measure: Literal["length_mm", "width_mm"]) -> tuple[float, float]:
    """Give the limits in mm between which an entry's measure of a face must lie."""
    key = key_at(Test, ("face", measure))
    assert key.least is not None and key.most is not None
    return float(key.least), float(key.most)


@made_once
def advise(data: Dataset, face: FaceDescription, count: int = 3, *, as_sold: bool = False) -> Advice:
    """Say what to try first on a face that nobody has tested, of all configurations or the masks `as_sold`.

    A face without place or cell is any of the panel's. A measured face that lies outside the panel gets the list for
    any face, and is told so; one below the panel's limits gets none.
    """
    if small := _small(face):
        return Advice("none", (), (), as_sold=as_sold, small=small)
    placed, outside = face, False
    if face.length_mm is not None and face.width_mm is not None and cell_of(face.length_mm, face.width_mm) == OUTSIDE:
        placed, outside = FaceDescription(nose_bridge=face.nose_bridge), True
    if as_sold:
        # What to try first of everything is not asked for.
        return _as_sold_only(data, advise(data, face, 0), placed, count)
    advice = _from_summaries(data, placed, count) if data.model is None else _predicted(data, data.model, placed, count)
    by_cell = not placed.measured and _has_place(placed)
    return with_the_best(replace(advice, outside_panel=outside, by_cell=by_cell))


def _predicted(data: Dataset, model: FaceModel, face: FaceDescription, count: int) -> Advice:
    predicted, first = model.predict_and_try_first(face, count) if count else (model.predict(face), ())
    if face == FaceDescription():
        # Averaged over the cells one by one, the interval is sharper than that of the average face; the chances agree.
        predicted[["low", "high"]] = data.population[["low", "high"]]
    predicted["little_known"] = predicted["high"] - predicted["low"] > LITTLE_KNOWN
    return _from_model(data, face, rows_of(predicted), first)


def _as_sold_only(data: Dataset, everything: Advice, face: FaceDescription, count: int) -> Advice:
    """Leave changed masks out of advice on a face, or on the wearer it is for."""
    ranked = tuple(row for row in everything.ranked if "+" not in row.configuration)
    names = [row.configuration for row in ranked]
    if data.model is None or not names:
        first = _without_chances(ranked[:count])
    elif everything.wearer:
        first = _choices(data.model.try_first_wearer(everything.wearer, count, names))
    else:
        first = _choices(data.model.try_first(face, count, names))
    return replace(everything, try_first=first, ranked=ranked, as_sold=True)


def advise_wearer(data: Dataset, wearer: str, count: int = 3, *, as_sold: bool = False) -> Advice:
    """Say what to wear or try on someone with tests that count, given these. KeyError for anyone else."""
    face = faces_of(data.counted)[wearer]
    if small := _small(face):
        return Advice("none", (), (), as_sold=as_sold, small=small, wearer=wearer)
    if data.model is None:
        advice = _from_summaries(data, face, count)
    else:
        rows = rows_of(data.model.predict_wearer(wearer))
        advice = _from_model(data, face, rows, data.model.try_first_wearer(wearer, count))
    everything = replace(with_the_best(advice), wearer=wearer)
    return _as_sold_only(data, everything, face, count) if as_sold else everything


def _small(face: FaceDescription) -> tuple[float, float] | None:
    """Give the millimetres of a face below the panel's limits; None for any other."""
    length, width = face.length_mm, face.width_mm
    return (length, width) if length is not None and width is not None and below_panel(length, width) else None


def with_the_best(advice: Advice) -> Advice:
    """Name the first mask as sold and the first changed one."""
    sold = next((row for row in advice.ranked if "+" not in row.configuration), None)
    return replace(
        advice, best_as_sold=sold, best_changed=next((row for row in advice.ranked if "+" in row.configuration), None)
    )


def chances_by_mask(data: Dataset) -> dict[str, tuple[Ranked, ...]]:
    """Give by mask the rows for any face, best first; nothing where no chances are predicted."""
    by_mask: dict[str, tuple[Ranked, ...]] = {}
    if data.model is not None:
        for row in advise(data, FaceDescription(), 0).ranked:
            mask = row.configuration.partition("+")[0]
            by_mask[mask] = (*by_mask.get(mask, ()), row)
    return by_mask


def _from_model(data: Dataset, face: FaceDescription, rows: list[Row], first: tuple[Suggestion, ...]) -> Advice:
    has_place = _has_place(face)
    ranked = [
        Ranked(
            configuration=row["configuration"],
            chance=row["chance"],
            low=row["low"],
            high=row["high"],
            wearers=row["wearers"],
            near_wearers=row["near_wearers"] if has_place else None,
            little_known=row["little_known"],
            fit_factor=row["fit_factor"],
            **_share(data.summary_by_id[row["configuration"]]),
        )
        for row in rows
    ]
    return Advice(
        "model",
        _choices(first),
        best_first(ranked),
    )


def best_first(ranked: Iterable[Ranked]) -> tuple[Ranked, ...]:
    """Order by the lower limit of the chance, so that what few have tried does not lead by luck."""
    return tuple(sorted(ranked, key=lambda row: (-(row.low or 0.0), -(row.chance or 0.0), row.configuration)))


def _choices(first: tuple[Suggestion, ...]) -> tuple[Choice, ...]:
    return tuple(Choice(one.configuration, one.chance, one.cumulative_chance) for one in first)


def _without_chances(first: tuple[Ranked, ...]) -> tuple[Choice, ...]:
    return tuple(Choice(row.configuration, None, None) for row in first)


def _from_summaries(data: Dataset, face: FaceDescription, count: int) -> Advice:
    """Rank by the lower limit of the share of wearers who reach 100: one lucky face does not lead the list."""
    wearers = faces_of(data.counted)
    places = np.array([place_mm(other) for other in wearers.values()]).reshape(-1, 2)
    steps = np.array([_bridge_steps(face, other) for other in wearers.values()])
    is_near = np.hypot(np.hypot(*(places - place_mm(face)).T), BRIDGE_MM * steps) <= NEAR_MM
    near = data.counted[data.counted["wearer"].isin(np.array(list(wearers), dtype=object)[is_near])]
    near_wearers = near.groupby("configuration")["wearer"].nunique()
    summary = summarise(near if len(near) else data.counted)
    summary = summary.sort_values(
        ["share_at_100_low", "wearer_median_fit_factor", "configuration"], ascending=[False, False, True]
    )
    ranked = tuple(
        Ranked(
            configuration=row["configuration"],
            chance=None,
            low=None,
            high=None,
            wearers=data.summary_by_id[row["configuration"]]["wearers"],
            near_wearers=int(near_wearers.get(row["configuration"], 0)) if _has_place(face) else None,
            little_known=row["wearers"] < 3,
            fit_factor=row["wearer_median_fit_factor"],
            **_share(row),
        )
        for row in rows_of(summary)
    )
    return Advice("summaries", _without_chances(ranked[:count]), ranked, near_only=bool(len(near)))


def _bridge_steps(face: FaceDescription, other: FaceDescription) -> int:
    """Give how far two nose bridges are apart; 0 where one is not known."""
    known = face.nose_bridge in NOSE_BRIDGES and other.nose_bridge in NOSE_BRIDGES
    return abs(NOSE_BRIDGES.index(face.nose_bridge) - NOSE_BRIDGES.index(other.nose_bridge)) if known else 0


def _has_place(face: FaceDescription) -> bool:
    return not np.isnan(place_mm(face)).any()


def _share(summary: Row) -> Row:
    measured = summary["share_wearers"]
    return {"share_at_100": summary["share_at_100"] if measured else None, "share_wearers": measured}
