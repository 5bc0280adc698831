"""Whether one more donning is worth it: against the site's verdicts, simulation, and published predictive power."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtr, ndtri
from statsmodels.stats.power import TTestIndPower

from builder.fit.compare.nested_scatter import NestedScatter, WearerScatter
from builder.fit.compare.verdicts import Direction, VerdictWord, holm
from builder.fit.levels import CLEAR_LEVEL, beyond
from builder.fit.plan import one_more
from builder.fit.plan.one_more import OUTCOMES, ExactTakes, Side, clear_limits, worth_it
from tests.fit.tables import SURE, contrast, readings, scatter_of_all

VARIANCE, WEARER_DF, ARM_DF = 0.2, 9.0, 12.0
SCATTER = scatter_of_all(VARIANCE, WEARER_DF, ARM_DF)
DRAWS = 900
fit_factors = st.lists(st.floats(2, 2000), min_size=1, max_size=5)


def verdict(a: list[float], b: list[float]) -> tuple[VerdictWord, Direction]:
    """As every comparison of the site has it."""
    found = contrast(readings(np.log(a), SCATTER), readings(np.log(b), SCATTER), SCATTER)
    return found.verdict, found.direction


@given(fit_factors, fit_factors)
def test_the_verdict_now_is_that_of_the_comparison(a: list[float], b: list[float]) -> None:
    found = worth_it(ExactTakes.of(a), ExactTakes.of(b), SCATTER.stranger, ARM_DF)
    assert found.a.now == found.b.now == found.each.now == verdict(a, b)


@given(fit_factors, fit_factors)
def test_chances_are_chances(a: list[float], b: list[float]) -> None:
    found = worth_it(ExactTakes.of(a), ExactTakes.of(b), SCATTER.stranger, ARM_DF)
    for one in (found.a, found.b, found.each):
        assert sum(one.outcomes) == pytest.approx(1, abs=1e-9)
        assert min(one.outcomes) >= -1e-9
        assert one.chance == pytest.approx(1 - one.outcomes[OUTCOMES.index(one.now)], abs=1e-9)


def test_the_other_way_round() -> None:
    a, b = ExactTakes.of([80, 95]), ExactTakes.of([190])
    there, back = (worth_it(*pair, SCATTER.stranger, ARM_DF) for pair in ((a, b), (b, a)))
    assert there.a.outcomes == pytest.approx(back.b.outcomes[::-1][:2] + back.b.outcomes[2:4] + back.b.outcomes[1::-1])
    assert there.fewer == "b"
    assert back.fewer == "a"
    assert there.next is there.b
    assert there.for_seen == back.for_seen


def simulated(
    a: list[float], b: list[float], side: Side, scatter: NestedScatter, now: tuple[VerdictWord, Direction]
) -> float:
    """How often the verdict of the comparison changes: scatter and level drawn from what is known, then what is read.

    A wearer's arms share a variance known with so many degrees of freedom, and each has one of its own around it.
    """
    rng = np.random.default_rng(7)
    changed = 0
    for _ in range(DRAWS):
        of_wearer = scatter.stranger.variance * (scatter.stranger.df / rng.chisquare(scatter.stranger.df))
        arms = []
        for values, taken in ((a, side != "b"), (b, side != "a")):
            y = np.log(values)
            squares = scatter.arm_df * of_wearer + ((y - y.mean()) ** 2).sum()
            sd = math.sqrt(squares / rng.chisquare(scatter.arm_df + len(y) - 1))
            level = rng.normal(y.mean(), sd / math.sqrt(len(y)))
            arms.append(readings([*y, *([rng.normal(level, sd)] if taken else [])], scatter))
        after = contrast(arms[0], arms[1], scatter)
        changed += (after.verdict, after.direction) != now
    return changed / DRAWS


@pytest.mark.parametrize(
    ("a", "b", "side"),
    [
        ([80.0], [150.0], "each"),
        ([80.0, 95.0], [190.0], "b"),
        ([80.0, 60.0, 90.0], [160.0, 100.0], "a"),
        ([50.0, 52.0], [55.0, 50.0], "each"),
    ],
)
@pytest.mark.parametrize("wearer_df", [SURE, WEARER_DF])
@pytest.mark.parametrize("arm_df", [ARM_DF, SURE])
def test_chance_is_how_often_verdicts_change_in_simulation(
    a: list[float], b: list[float], side: Side, wearer_df: float, arm_df: float
) -> None:
    """With arms of their own, with a wearer little known whose arms are alike, and with both: within three points."""
    scatter = scatter_of_all(VARIANCE, wearer_df, arm_df)
    found = getattr(worth_it(ExactTakes.of(a), ExactTakes.of(b), scatter.stranger, arm_df), side)
    error = math.sqrt(max(found.chance * (1 - found.chance), 0.01) / DRAWS)
    assert simulated(a, b, side, scatter, found.now) == pytest.approx(found.chance, abs=3 * error + 0.01)


@pytest.mark.parametrize(("n_a", "n_b", "seen"), [(2, 2, 0.3), (3, 1, 0.5), (6, 4, -0.2)])
@pytest.mark.parametrize("side", ["a", "b", "each"])
def test_published_predictive_power(n_a: int, n_b: int, seen: float, side: Side) -> None:
    """Spiegelhalter, Freedman & Blackburn, Control. Clin. Trials 1986;7:8–17, normal data, flat prior (from memory).

    With z now and the share f of the information after the donning, a one-sided limit z_c is passed with the chance
    Φ((z − z_c √f) / √(1 − f)).
    """
    sure = WearerScatter(VARIANCE, SURE)
    found = getattr(worth_it(ExactTakes(n_a, 0.0, 9.9), ExactTakes(n_b, seen, 9.9), sure, math.inf), side)
    now = VARIANCE * (1 / n_a + 1 / n_b)
    after = VARIANCE * (1 / (n_a + (side != "b")) + 1 / (n_b + (side != "a")))
    z, f = seen / math.sqrt(now), after / now
    for sign, (likely, clear) in ((1, (1, 0)), (-1, (4, 5))):
        told = found.outcomes[likely] + found.outcomes[clear]
        for outcome, level in ((told, 0.95), (found.outcomes[clear], 0.995)):
            power = ndtr((sign * z - ndtri(level) * math.sqrt(f)) / math.sqrt(1 - f))
            assert outcome == pytest.approx(power, abs=1e-6 if side != "each" else 1e-3)


def test_donnings_for_what_was_seen_are_those_of_the_planning_table() -> None:
    """GSD 1.8: a doubling takes 12 donnings each side at 95 % (`test_power`); at 90 % statsmodels says how many."""
    gsd = math.log(1.8)
    sure = WearerScatter(gsd**2, SURE)
    found = worth_it(ExactTakes(1, 0.0, 0.0), ExactTakes(1, math.log(2), 0.0), sure, math.inf)
    each = TTestIndPower()
    needed = next(
        n for n in range(2, 99) if each.power(math.log(2) / gsd, n, 0.05, df=SURE, alternative="larger") > 0.8
    )
    assert found.for_seen == needed - 1


def test_nothing_seen_needs_no_number() -> None:
    assert worth_it(ExactTakes.of([80]), ExactTakes.of([80]), SCATTER.stranger, ARM_DF).for_seen is None


@pytest.mark.parametrize("side", ["a", "b", "each"])
def test_a_finer_grid_changes_little(monkeypatch: pytest.MonkeyPatch, side: Side) -> None:
    pairs = [([80.0], [150.0]), ([80.0, 95.0], [190.0]), ([80.0, 60.0, 90.0], [160.0, 100.0, 210.0])]
    plain = [
        getattr(worth_it(ExactTakes.of(a), ExactTakes.of(b), SCATTER.stranger, ARM_DF), side).chance for a, b in pairs
    ]
    monkeypatch.setattr(one_more, "STEPS", 960)
    fine = [
        getattr(worth_it(ExactTakes.of(a), ExactTakes.of(b), SCATTER.stranger, ARM_DF), side).chance for a, b in pairs
    ]
    assert plain == pytest.approx(fine, abs=0.004 if side == "each" else 1e-6)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=8))
def test_limits_of_a_list_are_those_of_holm(p_values: list[float]) -> None:
    clear = holm(p_values) < beyond(CLEAR_LEVEL)
    assert [p < limit for p, limit in zip(p_values, clear_limits(p_values), strict=True)] == clear.tolist()


def test_a_verdict_of_a_list_needs_more() -> None:
    a, b = ExactTakes.of([80, 85, 90]), ExactTakes.of([460, 600])
    alone, listed = (worth_it(a, b, SCATTER.stranger, ARM_DF, clear_below=limit) for limit in (0.01, 0.0001))
    assert alone.a.now == ("clear", "b-higher")
    assert listed.a.now == ("likely", "b-higher")
