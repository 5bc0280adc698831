"""Pooling over masks and wearers: one spread as a special case, mirrors, limits, what is predicted."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from builder.fit.compare.crossed_model import Layout, Spreads
from builder.fit.compare.crossed_pooling import CrossedPool, pool_crossed
from builder.fit.compare.crossed_sites import settle
from builder.fit.compare.joint_difference import JointDifference
from builder.fit.compare.limits import LimitedArm, LimitedDifference
from builder.fit.compare.pooling import MEAN_SD

CEILING = math.log(200)


def above(fit_factor: float, donnings: int = 1) -> JointDifference:
    known, limited = LimitedArm(donnings, math.log(fit_factor), (), 0.2), LimitedArm(0, 0.0, (CEILING,), 0.2)
    return JointDifference(0.0, math.inf, (LimitedDifference(known, limited),))


def below(fit_factor: float) -> JointDifference:
    (one,) = above(fit_factor).limited
    return JointDifference(0.0, math.inf, (LimitedDifference(one.b, one.a),))


def exact(*effects: float, variance: float = 0.1) -> list[JointDifference]:
    return [JointDifference(effect, variance) for effect in effects]


def width(pool: CrossedPool) -> float:
    interval = pool.mean.interval(0.95)
    return interval.high - interval.low


def test_contrasts_of_one_wearer_tell_less_of_the_mean() -> None:
    effects = exact(0.5, 0.9, 1.0, 0.4, 0.8, 0.6)
    masks = [f"m{i}" for i in range(6)]
    apart = pool_crossed(effects, masks, [f"w{i}" for i in range(6)])
    same = pool_crossed(effects, masks, ["w"] * 6)
    assert width(same) > 1.3 * width(apart)
    assert (same.masks, same.wearers, same.exact, same.limits) == (6, 1, 6, 0)
    # Nothing but the prior says how much wearers differ.
    assert same.between_wearers.mean > apart.between_wearers.mean


def test_a_mask_never_tried_is_less_certain() -> None:
    found = pool_crossed(exact(0.2, 0.3, 1.4, 1.5), ["m", "m", "n", "n"], ["a", "b", "a", "b"])
    listed, other = found.new_face.interval(0.95), found.new_mask.interval(0.95)
    assert other.low < listed.low < listed.high < other.high
    assert found.by_mask["m"].mean < found.mean.mean < found.by_mask["n"].mean
    assert found.chance_helps > found.chance_helps_new_mask
    assert found.between_masks.mean > found.between_wearers.mean
    assert found.between_masks.interval.low < found.between_masks.mean < found.between_masks.interval.high


def test_mirror_image() -> None:
    masks, wearers = ["m", "n", "n", "m"], ["a", "a", "b", "c"]
    there = pool_crossed([*exact(0.5, 1.5, 0.1), above(50)], masks, wearers)
    back = pool_crossed([*exact(-0.5, -1.5, -0.1), below(50)], masks, wearers)
    assert there.mean.mean == pytest.approx(-back.mean.mean, abs=1e-6)
    assert there.new_mask.interval(0.9).low == pytest.approx(-back.new_mask.interval(0.9).high, abs=1e-6)


def test_shared_errors_do_not_average_out() -> None:
    effects, masks = exact(*[0.7] * 12, variance=0.05), [f"m{i}" for i in range(12)]
    wearers = [f"w{i}" for i in range(12)]
    alone = pool_crossed(effects, masks, wearers)
    common = pool_crossed(effects, masks, wearers, shared=np.full((12, 1), 0.5))
    none = pool_crossed(effects, masks, wearers, shared=np.zeros((12, 1)))
    assert width(common) > 1.5 * width(alone)
    assert none.mean.mean == pytest.approx(alone.mean.mean, abs=1e-9)


def test_one_limit_at_given_spreads_against_integration() -> None:
    """With one mask and wearer each, d ~ N(μ, a² + b² + c²); the limit is a normal integral."""
    spreads = Spreads(np.array([0.3]), np.array([0.4]), np.array([0.2]))
    layout = Layout(np.array([0, 1]), np.array([0, 1]), 2, 2, np.zeros((2, 0)))
    solved, log_evidence = settle(layout, spreads, [JointDifference(0.4, 0.1), above(60)])
    mu = np.arange(-8, 8, 0.001)
    spread2 = 0.3**2 + 0.4**2 + 0.2**2
    density = norm.pdf(mu, 0, MEAN_SD) * norm.pdf(0.4, mu, math.sqrt(spread2 + 0.1))
    density = density * norm.cdf((math.log(60) + mu - CEILING) / math.sqrt(0.4 + spread2))
    mass = density.sum() * 0.001
    mean = (mu @ density) * 0.001 / mass
    assert solved.beta[0, 0] == pytest.approx(mean, abs=1e-3)
    variance = ((mu - mean) ** 2 @ density) * 0.001 / mass
    assert solved.covariance(np.array([0]))[0, 0, 0] == pytest.approx(variance, rel=5e-3)
    # Up to constants of the exact contrast and of the limit's likelihood.
    other, evidence = settle(layout, spreads, [JointDifference(0.4, 0.1), above(140)])
    again = norm.pdf(mu, 0, MEAN_SD) * norm.pdf(0.4, mu, math.sqrt(spread2 + 0.1))
    again = again * norm.cdf((math.log(140) + mu - CEILING) / math.sqrt(0.4 + spread2))
    difference = float(log_evidence[0] - evidence[0])
    assert other.beta[0, 0] < solved.beta[0, 0]
    assert difference == pytest.approx(math.log(mass / (again.sum() * 0.001)), abs=2e-3)


def test_limits_raise_the_mean_and_bound_it() -> None:
    masks, wearers = ["m", "n", "m", "n"], ["a", "b", "c", "d"]
    without = pool_crossed(exact(0.4, 0.6), masks[:2], wearers[:2])
    with_limits = pool_crossed([*exact(0.4, 0.6), above(50), above(60)], masks, wearers)
    assert with_limits.mean.mean > without.mean.mean
    assert (with_limits.exact, with_limits.limits, with_limits.bound) == (2, 2, "none")
    only = pool_crossed([above(50), above(60)], masks[:2], wearers[:2])
    assert only.bound == "at_least"
    assert pool_crossed([above(50), below(60)], masks[:2], wearers[:2]).bound == "none"


def test_one_set_of_sites_serves_many_contrasts(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(2)
    masks, wearers = [f"m{i % 6}" for i in range(40)], [f"w{i % 13}" for i in range(40)]
    contrasts = [
        above(float(np.exp(rng.normal(4, 0.5)))) if i % 4 == 0 else exact(rng.normal(0.7, 0.5))[0] for i in range(40)
    ]
    each = pool_crossed(contrasts, masks, wearers)
    monkeypatch.setattr("builder.fit.compare.crossed_sites.MANY_CONTRASTS", 10)
    one = pool_crossed(contrasts, masks, wearers)
    assert one.mean.mean == pytest.approx(each.mean.mean, abs=0.02)
    assert width(one) == pytest.approx(width(each), rel=0.05)


def test_nothing_to_pool() -> None:
    with pytest.raises(ValueError, match="nothing to pool"):
        pool_crossed([], [], [])


CONTRASTS = st.lists(
    st.tuples(st.floats(-3, 3), st.sampled_from("mno"), st.sampled_from("abc"), st.sampled_from(["", "up", "down"])),
    min_size=1,
    max_size=8,
)


@settings(deadline=None, max_examples=25)
@given(CONTRASTS)
def test_any_contrasts_give_a_proper_posterior(drawn: list[tuple[float, str, str, str]]) -> None:
    contrasts = [
        above(200 / math.exp(effect)) if kind == "up" else below(200 * math.exp(effect)) if kind else exact(effect)[0]
        for effect, _, _, kind in drawn
    ]
    found = pool_crossed(contrasts, [mask for _, mask, _, _ in drawn], [wearer for _, _, wearer, _ in drawn])
    mean, new = found.mean.interval(0.95), found.new_mask.interval(0.95)
    assert -8 < new.low < mean.low < mean.high < new.high < 8
    assert 0 < found.chance_helps_new_mask < 1
    assert sum(one.weights.sum() for one in found.by_mask.values()) == pytest.approx(len(found.by_mask))
