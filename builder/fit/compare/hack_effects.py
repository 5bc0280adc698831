"""What a hack does: each wearer × mask by itself, pooled over them, and to be expected on a new face."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.special import stdtrit

from builder.fit.compare.arms import UNIT, Arm, arms_with_slots, difference
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.pooling import bayes_pool, heterogeneity_words
from builder.fit.compare.verdicts import Bound
from builder.fit.levels import SHOWN_LEVEL, tails


@dataclass(frozen=True)
class HackContrast:
    """One wearer × mask: the fit factor with the part over that without it, all else equal.

    `backgrounds` are the configurations without the part that it was compared on; several are averaged, weighted by
    what they tell. Where a side holds "at least" readings the ratio is a limit, and open (None) beyond it.
    """

    wearer: str
    facial_hair: str
    mask: str
    backgrounds: tuple[str, ...]
    ratio: float | None
    low95: float | None
    high95: float | None
    n_with: int
    n_without: int
    bound: Bound
    variance: float
    """Of ln ratio: what it weighs when contrasts are pooled."""


@dataclass(frozen=True)
class HackEffect:
    """What the part does over all wearers and masks it was tried on both with and without.

    `k` exact contrasts are pooled, `limits` more with "at least" readings are listed only. Pooled figures are None
    below two. The mean is over wearers and masks, the prediction is for a new face; `tau` is the spread between
    them (ln), `chance_helps` the chance that the ratio is above 1 on a new face.
    """

    part: str
    slot: str
    contrasts: tuple[HackContrast, ...]
    k: int
    limits: int
    mean_ratio: float | None = None
    low95: float | None = None
    high95: float | None = None
    predict_low95: float | None = None
    predict_high95: float | None = None
    tau: float | None = None
    chance_helps: float | None = None
    heterogeneity: str | None = None


def all_hacks(table: pd.DataFrame, scatter: NestedScatter, slots: Sequence[str]) -> tuple[HackEffect, ...]:
    """What each part tried does, in the order of slots and then parts; `slots` as in `arms_with_slots`.

    A part is credited with nothing that another part, changed together with it, may have done.
    """
    arms = arms_with_slots(table, scatter, slots)
    effects = []
    for slot in slots:
        tried = sorted(part for part in set(arms[slot]) if part)
        units = _units(arms, slot, [other for other in slots if other != slot], tried, scatter)
        of_part = dict(tuple(units.groupby("part")))
        effects += [_pooled(part, slot, of_part.get(part, units.iloc[:0])) for part in tried]
    return tuple(effects)


def _units(arms: pd.DataFrame, slot: str, others: list[str], parts: list[str], scatter: NestedScatter) -> pd.DataFrame:
    """One row for each part × wearer × mask (× bound): `estimate` of the ln ratio, its `variance` and `df`.

    With and without differ in the `slot` alone: the `others` are equal.
    """
    pairs = arms[arms[slot].isin(parts)].merge(
        arms[arms[slot] == ""], on=[*UNIT, *others], suffixes=("_with", "_without")
    )
    found = difference(Arm.columns(pairs, "_without"), Arm.columns(pairs, "_with"), scatter, pairs["wearer"].tolist())
    # Different backgrounds share no arm, so they are independent and weigh by their donnings.
    weight = 1 / (1 / pairs["n_with"] + 1 / pairs["n_without"])
    pairs = pairs.assign(
        part=pairs[f"{slot}_with"],
        bound=found.bound,
        weight=weight,
        weighted=weight * found.estimate,
        error=weight**2 * found.variance,
        # Each difference has a share of the error, and so have its degrees of freedom in those of the whole.
        error_df=weight**2 * found.variance * found.df,
    )
    units = pairs.groupby(["part", *UNIT, "bound"], as_index=False).agg(
        backgrounds=("configuration_without", tuple),
        n_with=("n_with", "sum"),
        n_without=("n_without", "sum"),
        weight=("weight", "sum"),
        weighted=("weighted", "sum"),
        error=("error", "sum"),
        error_df=("error_df", "sum"),
    )
    return units.assign(
        estimate=units["weighted"] / units["weight"],
        variance=units["error"] / units["weight"] ** 2,
        df=units["error_df"] / units["error"],
    )


def _pooled(part: str, slot: str, units: pd.DataFrame) -> HackEffect:
    """The effect of a part from its rows of `_units`."""
    half = stdtrit(units["df"], tails(SHOWN_LEVEL)[1]) * np.sqrt(units["variance"])
    rows = units.assign(
        ratio=np.exp(units["estimate"]),
        low95=np.exp(units["estimate"] - half),
        high95=np.exp(units["estimate"] + half),
    )
    contrasts = tuple(
        HackContrast(
            wearer=row["wearer"],
            facial_hair=row["facial_hair"],
            mask=row["mask"],
            backgrounds=row["backgrounds"],
            ratio=None if row["bound"] == "both" else row["ratio"],
            low95=None if row["bound"] in ("at_most", "both") else row["low95"],
            high95=None if row["bound"] in ("at_least", "both") else row["high95"],
            n_with=row["n_with"],
            n_without=row["n_without"],
            bound=row["bound"],
            variance=row["variance"],
        )
        for row in rows.to_dict("records")
    )
    exact = units[units["bound"] == "none"]
    k, limits = len(exact), len(units) - len(exact)
    if k < 2:
        return HackEffect(part, slot, contrasts, k, limits)
    pooled = bayes_pool(exact["estimate"], exact["variance"])
    mean, new = pooled.mean.interval(SHOWN_LEVEL), pooled.new.interval(SHOWN_LEVEL)
    return HackEffect(
        part,
        slot,
        contrasts,
        k,
        limits,
        mean_ratio=float(np.exp(pooled.mean.mean)),
        low95=float(np.exp(mean.low)),
        high95=float(np.exp(mean.high)),
        predict_low95=float(np.exp(new.low)),
        predict_high95=float(np.exp(new.high)),
        tau=pooled.tau,
        chance_helps=pooled.chance_helps,
        heterogeneity=heterogeneity_words(pooled.tau, k),
    )
