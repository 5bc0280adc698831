"""Part of a factorial on one wearer and one mask: which part of a change did it.

A linear model on the mean ln FF of each configuration tried. Effects of parts are taken to multiply, but where
combinations are missing each arm may miss that by a random deviation, so that an untested combination widens the
interval instead of being assumed away. In a complete grid the deviations average out and plain least squares is exact.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import pandas as pd
from scipy.special import stdtr, stdtrit

from builder.fit.compare.arms import UNIT, arms_with_slots
from builder.fit.compare.grid import Grid
from builder.fit.compare.linear import LinearFit, least_squares
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.verdicts import holm
from builder.fit.levels import CLEAR_INTERACTION_P, SHOWN_LEVEL, tails

INTERACTION_SD = 0.23
"""How far two parts together miss the product of their effects, ln units: ×÷1.26; no published source."""


@dataclass(frozen=True)
class Effect:
    """Ratio that an effect multiplies the fit factor by, with its 95 % interval and two-sided p-value."""

    ratio: float
    low95: float
    high95: float
    p_value: float


@dataclass(frozen=True)
class MainEffect:
    """What `part` does against `against` ("" is as sold), averaged over the other slots.

    `effect` is None where the configurations tried cannot tell it from the parts in `aliases`.
    """

    slot: str
    part: str
    against: str
    effect: Effect | None
    aliases: tuple[str, ...]


@dataclass(frozen=True)
class Interaction:
    """What two parts together do beyond the product of their effects; its p-value is Holm-adjusted in the factorial."""

    part: str
    other: str
    effect: Effect


@dataclass(frozen=True)
class ConditionalEffect:
    """What `part` does where `other` is absent (`apart`) and where it is fitted (`together`).

    Given where their interaction is clear, so that one effect for both would mislead.
    """

    part: str
    other: str
    apart: Effect
    together: Effect


@dataclass(frozen=True)
class Factorial:
    """The configurations of one mask that one wearer tried, with one kind of facial hair.

    Those `left_out` hold "at least" readings.
    `complete` says that each combination of the parts tried was tried; `interactions` are those that the arms can
    tell, `conditional` the effects to show for the clear ones. `gsd` and `df` are the moderated scatter.
    """

    wearer: str
    facial_hair: str
    mask: str
    configurations: tuple[str, ...]
    left_out: tuple[str, ...]
    complete: bool
    effects: tuple[MainEffect, ...]
    interactions: tuple[Interaction, ...]
    conditional: tuple[ConditionalEffect, ...]
    gsd: float
    df: float


def all_factorials(table: pd.DataFrame, scatter: NestedScatter, slots: Sequence[str]) -> tuple[Factorial, ...]:
    """The factorial of each wearer and mask with parts to tell apart, sorted by wearer and mask.

    These are the ones with a configuration of two changed parts: one part at a time is a plain comparison. `slots` as
    in `arms_with_slots`.
    """
    arms = arms_with_slots(table, scatter, slots)
    exact = arms[~arms["any_at_least"]]
    changed = exact.assign(changed=(exact[list(slots)] != "").sum(axis=1)).groupby(UNIT)["changed"].agg(["size", "max"])
    several = changed.index[(changed["size"] >= 2) & (changed["max"] >= 2)]
    units = arms[arms.set_index(UNIT).index.isin(several)]
    return tuple(factorial_of(own, scatter, slots) for _, own in units.groupby(UNIT))


def clear_interactions(factorials: Iterable[Factorial], part: str) -> list[tuple[Factorial, ConditionalEffect]]:
    """Where a part acts differently beside another, clear even in the list of all its interactions; clearest first."""
    found = [(one, i) for one in factorials for i in one.interactions if part in (i.part, i.other)]
    adjusted = holm([interaction.effect.p_value for _, interaction in found])
    clear = [
        (one, {i.part, i.other}, p) for (one, i), p in zip(found, adjusted, strict=True) if p < CLEAR_INTERACTION_P
    ]
    return [
        (one, effect)
        for one, pair, _ in sorted(clear, key=lambda item: item[2])
        for effect in one.conditional
        if effect.part == part and {effect.part, effect.other} == pair
    ]


def factorial_of(arms: pd.DataFrame, scatter: NestedScatter, slots: Sequence[str]) -> Factorial:
    """The factorial from the rows of `arms_with_slots`, with the same `slots`, of one `UNIT`.

    ValueError where every configuration holds an "at least" reading.
    """
    exact = arms[~arms["any_at_least"]]
    if exact.empty:
        raise ValueError("every configuration holds an at-least reading")
    grid = Grid.of(exact, slots)
    variance, df = _shared_scatter(exact, scatter)
    interactions, conditional = _interactions(grid, variance, df)
    wearer, facial_hair, mask = (str(value) for value in exact[UNIT].iloc[0])
    return Factorial(
        wearer=wearer,
        facial_hair=facial_hair,
        mask=mask,
        configurations=grid.configuration,
        left_out=tuple(arms.loc[arms["any_at_least"], "configuration"]),
        complete=grid.complete,
        effects=_main_effects(grid, variance, df),
        interactions=interactions,
        conditional=conditional,
        gsd=float(np.exp(np.sqrt(variance))),
        df=df,
    )


def _shared_scatter(arms: pd.DataFrame, scatter: NestedScatter) -> tuple[float, float]:
    """One variance for all arms of the wearer and mask: the mean of theirs, moderated, and its degrees of freedom."""
    n = arms["n"].to_numpy(np.float64)
    errors = arms["moderated"].to_numpy(np.float64) / n
    shares = (errors / errors.sum())[:, None]
    df = scatter.degrees(shares, arms["df"].to_numpy(np.float64)[:, None], [str(arms["wearer"].iloc[0])])
    return float(errors.sum() / (1 / n).sum()), float(df[0])


def fit_main_effects(grid: Grid, variance: float) -> LinearFit:
    """Coefficients for the columns of the grid's design; `variance` (ln²) is that of one donning.

    An incomplete grid is fitted by generalised least squares with a random deviation of each arm, a complete one by
    plain least squares on its arm means: there the deviations are part of what the average is over.
    """
    sampling = variance / grid.n
    if grid.complete:
        return least_squares(grid.design, grid.y, np.ones_like(sampling), sampling)
    total = sampling + INTERACTION_SD**2
    return least_squares(grid.design, grid.y, 1 / total, total)


def fit_interaction(grid: Grid, first: int, second: int, variance: float) -> LinearFit:
    """The same with the product of two columns of the grid added at the end, and no random deviation."""
    product = grid.fitted[:, first] * grid.fitted[:, second]
    sampling = variance / grid.n
    return least_squares(np.column_stack([grid.design, product]), grid.y, 1 / sampling, sampling)


def _main_effects(grid: Grid, variance: float, df: float) -> tuple[MainEffect, ...]:
    fit = fit_main_effects(grid, variance)
    unit = np.eye(1 + len(grid.columns))
    effects = []
    for column, (slot, part) in enumerate(grid.columns, start=1):
        estimable = fit.estimable(unit[column])
        effects.append(
            MainEffect(
                slot=slot,
                part=part,
                against=grid.options[slot][0],
                effect=_effect(*fit.estimate(unit[column]), df) if estimable else None,
                aliases=tuple(grid.columns[j - 1][1] for j in fit.aliases(column) if j > 0),
            )
        )
    return tuple(effects)


def _interactions(
    grid: Grid, variance: float, df: float
) -> tuple[tuple[Interaction, ...], tuple[ConditionalEffect, ...]]:
    """The interactions that can be told, one at a time beside the main effects, and what follows from clear ones."""
    found = []
    for first, second in combinations(range(len(grid.columns)), 2):
        fit = fit_interaction(grid, first, second, variance)
        unit = np.eye(2 + len(grid.columns))
        beyond = unit[-1]
        alone = unit[1 + first], unit[1 + second]
        if all(fit.estimable(combination) for combination in (beyond, *alone)):
            parts = grid.columns[first][1], grid.columns[second][1]
            conditional = [
                ConditionalEffect(
                    part, other, _effect(*fit.estimate(own), df), _effect(*fit.estimate(own + beyond), df)
                )
                for part, other, own in zip(parts, parts[::-1], alone, strict=True)
            ]
            found.append((Interaction(*parts, _effect(*fit.estimate(beyond), df)), conditional))
    adjusted = holm([interaction.effect.p_value for interaction, _ in found])
    interactions = tuple(
        replace(interaction, effect=replace(interaction.effect, p_value=float(p)))
        for (interaction, _), p in zip(found, adjusted, strict=True)
    )
    clear = (pair for (_, pair), p in zip(found, adjusted, strict=True) if p < CLEAR_INTERACTION_P)
    return interactions, tuple(effect for pair in clear for effect in pair)


def _effect(estimate: float, se: float, df: float) -> Effect:
    half = float(stdtrit(df, tails(SHOWN_LEVEL)[1])) * se
    return Effect(
        ratio=float(np.exp(estimate)),
        low95=float(np.exp(estimate - half)),
        high95=float(np.exp(estimate + half)),
        p_value=2 * float(stdtr(df, -abs(estimate) / se)),
    )
