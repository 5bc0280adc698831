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

from builder.fit.compare.aligned_arms import AlignedArms
from builder.fit.compare.grid import Grid
from builder.fit.compare.interactions import INTERACTION_SD, AveragedArms, pair_weights
from builder.fit.compare.linear import LinearFit, inverse, least_squares
from builder.fit.compare.measured_arms import UNIT, MeasuredArms, arm_parts
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.verdicts import holm
from builder.fit.levels import CLEAR_INTERACTION_P, SHOWN_LEVEL, tails


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
    """What two parts together do beyond the product of their effects, shrunk towards nothing.

    Its p-value is that of plain least squares, Holm-adjusted in the factorial.
    """

    part: str
    other: str
    effect: Effect


@dataclass(frozen=True)
class ConditionalEffect:
    """What `part` does where `other` is absent (`apart`) and where it is fitted (`together`).

    Given where their interaction is clear, so that one effect for both would mislead; both shrunk towards each other.
    """

    part: str
    other: str
    apart: Effect
    together: Effect


@dataclass(frozen=True)
class Factorial:
    """The configurations of one mask that one wearer tried, with one kind of facial hair.

    Those `left_out` hold "at least" readings; those `moved` were measured by another method than most, and what the
    methods differ by was taken out.
    `complete` says that each combination of the parts tried was tried; `interactions` are those that the arms can
    tell, `conditional` the effects to show for the clear ones. `gsd` and `df` are the moderated scatter.
    """

    wearer: str
    facial_hair: str
    mask: str
    configurations: tuple[str, ...]
    left_out: tuple[str, ...]
    moved: tuple[str, ...]
    complete: bool
    effects: tuple[MainEffect, ...]
    interactions: tuple[Interaction, ...]
    conditional: tuple[ConditionalEffect, ...]
    gsd: float
    df: float


def all_factorials(table: pd.DataFrame, arms: MeasuredArms, slots: Sequence[str]) -> tuple[Factorial, ...]:
    """The factorial of each wearer and mask with parts to tell apart, sorted by wearer and mask.

    These are the ones with a configuration of two changed parts: one part at a time is a plain comparison. `slots` as
    in `arm_parts`.
    """
    places = arm_parts(table, slots)
    keys = zip(places["configuration"], places["wearer"], places["facial_hair"], strict=True)
    exact = places[np.array([any(arm.exact for arm in arms.readings[key]) for key in keys], dtype=bool)]
    changed = exact.assign(changed=(exact[list(slots)] != "").sum(axis=1)).groupby(UNIT)["changed"].agg(["size", "max"])
    several = changed.index[(changed["size"] >= 2) & (changed["max"] >= 2)]
    units = places[places.set_index(UNIT).index.isin(several)]
    return tuple(factorial_of(own, arms, slots) for _, own in units.groupby(UNIT))


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


def factorial_of(places: pd.DataFrame, arms: MeasuredArms, slots: Sequence[str]) -> Factorial:
    """The factorial from the rows of `arm_parts`, with the same `slots`, of one `UNIT`.

    ValueError where every configuration holds an "at least" reading.
    """
    aligned = AlignedArms.of(places, arms)
    grid = Grid.of(aligned.rows, slots, aligned.error)
    variance, df = _common_scatter(aligned, arms.scatter)
    interactions, conditional = _interactions(grid, df)
    wearer, facial_hair, mask = (str(value) for value in places[UNIT].iloc[0])
    return Factorial(
        wearer=wearer,
        facial_hair=facial_hair,
        mask=mask,
        configurations=grid.configuration,
        left_out=aligned.left_out,
        moved=aligned.moved,
        complete=grid.complete,
        effects=_main_effects(grid, df),
        interactions=interactions,
        conditional=conditional,
        gsd=float(np.exp(np.sqrt(variance))),
        df=df,
    )


def _common_scatter(aligned: AlignedArms, scatter: NestedScatter) -> tuple[float, float]:
    """One variance for all arms of the wearer and mask, the mean of theirs, and its degrees of freedom."""
    shares = (aligned.donnings / aligned.donnings.sum())[:, None]
    own_df = aligned.rows["df"].to_numpy(np.float64)[:, None]
    degrees = scatter.degrees(shares, own_df, [str(aligned.rows["wearer"].iloc[0])])
    variance = aligned.donnings.sum() / (1 / aligned.rows["n"].to_numpy(np.float64)).sum()
    return float(variance), float(degrees[0])


def fit_main_effects(grid: Grid) -> LinearFit:
    """Coefficients for the columns of the grid's design.

    An incomplete grid is fitted by generalised least squares with a random deviation of each arm, a complete one by
    plain least squares on its arm means: there the deviations are part of what the average is over.
    """
    even = np.eye(len(grid.y))
    if grid.complete:
        return least_squares(grid.design, grid.y, even, grid.error)
    total = grid.error + INTERACTION_SD**2 * even
    return least_squares(grid.design, grid.y, inverse(total), total)


def fit_interaction(grid: Grid, first: int, second: int) -> LinearFit:
    """The same with the product of two columns of the grid added at the end, and no random deviation."""
    product = grid.fitted[:, first] * grid.fitted[:, second]
    return least_squares(np.column_stack([grid.design, product]), grid.y, inverse(grid.error), grid.error)


def _main_effects(grid: Grid, df: float) -> tuple[MainEffect, ...]:
    fit = fit_main_effects(grid)
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


def _interactions(grid: Grid, df: float) -> tuple[tuple[Interaction, ...], tuple[ConditionalEffect, ...]]:
    """The interactions that can be told, one at a time beside the main effects, and what follows from clear ones.

    Whether one is clear goes by plain least squares; what is shown of it is shrunk.
    """
    shrunk = AveragedArms.of(grid)
    found = []
    for first, second in combinations(range(len(grid.columns)), 2):
        weights = pair_weights(grid, first, second)
        other = pair_weights(grid, second, first)
        if weights is None or other is None:
            continue
        parts = grid.columns[first][1], grid.columns[second][1]
        conditional = [
            ConditionalEffect(*names, *(_effect(*shrunk.estimate(one), df) for one in (own.apart, own.together)))
            for names, own in ((parts, weights), (parts[::-1], other))
        ]
        fit = fit_interaction(grid, first, second)
        plain = _effect(*fit.estimate(np.eye(2 + len(grid.columns))[-1]), df)
        effect = replace(_effect(*shrunk.estimate(weights.beyond), df), p_value=plain.p_value)
        found.append((Interaction(*parts, effect), conditional))
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
