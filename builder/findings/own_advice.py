"""Advice for a reader who told how some masks did on their own face, beside what it was before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from builder.findings.advice import GOALS, Advice, Choice, advise, advise_wearer, best_first, with_the_best
from builder.findings.dataset import Dataset, Row, rows_of
from builder.fit.facemodel import FaceDescription
from builder.fit.facemodel.design import faces_of
from builder.fit.facemodel.own_results import OwnResult
from builder.fit.facemodel.personal import informed


@dataclass(frozen=True)
class OwnAdvice:
    """Advice given own results, with chances of each configuration that go with it; empty without a model."""

    advice: Advice
    before: Mapping[str, float]
    """What each chance was before anything was told."""
    interval: Mapping[str, tuple[float, float]]
    """The 90 % interval of this one reader's chance, much wider than that about people like them."""
    next_tests: Mapping[str, list[Row]]
    """For each of `GOALS` the configurations most worth testing next, as rows of `next_test`."""
    telling: tuple[str, ...]
    """The configurations in which one more fit factor would tell most about this reader, the most telling first."""


def advise_on_own_results(
    data: Dataset,
    face: FaceDescription,
    own: Sequence[OwnResult],
    count: int = 3,
    *,
    as_sold: bool = False,
    wearer: str = "",
) -> OwnAdvice:
    """Say what to try on a face, or next on a `wearer` with tests, given own results, at least one.

    Without a model they change nothing: the advice is what it is without them.
    """

    def unmoved(*, as_sold: bool) -> Advice:
        if wearer:
            return advise_wearer(data, wearer, count, as_sold=as_sold)
        return advise(data, face, count, as_sold=as_sold)

    advice = unmoved(as_sold=False)
    if data.model is None or advice.basis != "model":
        return OwnAdvice(unmoved(as_sold=as_sold), {}, {}, {}, ())
    if wearer:
        face = faces_of(data.counted)[wearer]
    elif advice.outside_panel:
        face = FaceDescription(nose_bridge=face.nose_bridge)
    found = informed(data.model, face, own, wearer=wearer, methods=data.method_effects)
    rows = {row["configuration"]: row for row in rows_of(found.predict())}
    ranked = best_first(
        replace(row, **{name: rows[row.configuration][name] for name in _MOVED}) for row in advice.ranked
    )
    everything = with_the_best(replace(advice, ranked=ranked))
    shown = tuple(row for row in ranked if not as_sold or "+" not in row.configuration)
    names = [row.configuration for row in shown]
    first = found.try_first(count, names)
    return OwnAdvice(
        replace(
            everything,
            ranked=shown,
            as_sold=as_sold,
            try_first=tuple(Choice(one.configuration, one.chance, one.cumulative_chance) for one in first),
        ),
        {name: row["chance_before"] for name, row in rows.items()},
        {name: (row["own_low"], row["own_high"]) for name, row in rows.items()},
        {goal: _untold(data, found.next_test(goal), own, wearer)[:count] for goal in GOALS},
        tuple(found.telling(names)["configuration"].head(count)),
    )


def _untold(data: Dataset, ranked: pd.DataFrame, own: Sequence[OwnResult], wearer: str) -> list[Row]:
    """Leave out what the reader has told of or tested: that is no next test."""
    known = {result.configuration for result in own} | set(
        data.counted.loc[data.counted["wearer"] == wearer, "configuration"]
    )
    return rows_of(ranked[~ranked["configuration"].isin(known)])


_MOVED = ("chance", "low", "high", "little_known", "fit_factor")
"""Figures of a ranked configuration that own results change."""
