"""The order of a run: as sold first, few changes, nothing undone that cannot be."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.plan.fractions import Factor, configurations
from builder.fit.plan.run_order import Donning, changes, run_order

SLOTS = ("straps", "nose-wire", "nose-foam", "edge")


@st.composite
def asked(draw: st.DrawFn, *, lasting: bool = True) -> tuple[Factor, ...]:
    """One to four slots with one or two parts each, some of which cannot be undone."""
    factors = []
    for slot in draw(st.permutations(SLOTS))[: draw(st.integers(1, 4))]:
        parts = tuple(f"{slot}-{number}" for number in range(draw(st.integers(1, 2))))
        kept = draw(st.sets(st.sampled_from(parts))) if lasting else set()
        factors.append(Factor(slot, parts, frozenset(kept)))
    return tuple(factors)


donnings = st.integers(1, 4)
seeds = st.integers(0, 2**32)


def order(factors: tuple[Factor, ...], half: bool, repeats: int, seed: int) -> tuple[Donning, ...]:
    return run_order(factors, half, repeats, np.random.default_rng(seed))


def halvable(factors: tuple[Factor, ...]) -> bool:
    return sum(factor.two_level for factor in factors) >= 3


@given(asked(), st.booleans(), donnings, seeds)
def test_every_configuration_as_often_as_asked(
    factors: tuple[Factor, ...], half: bool, repeats: int, seed: int
) -> None:
    half = half and halvable(factors)
    worn = Counter(d.configuration for d in order(factors, half, repeats, seed) if d.purpose == "design")
    assert worn == dict.fromkeys(configurations(factors, half), repeats)


@given(asked(), st.booleans(), donnings, seeds)
def test_what_cannot_be_undone_stays(factors: tuple[Factor, ...], half: bool, repeats: int, seed: int) -> None:
    run = order(factors, half and halvable(factors), repeats, seed)
    for before, after in pairwise(run):
        if before.specimen == after.specimen:
            for factor, old, new in zip(factors, before.configuration, after.configuration, strict=True):
                assert old not in factor.lasting or new == old


@given(asked(), st.booleans(), donnings, seeds)
def test_each_specimen_begins_as_sold(factors: tuple[Factor, ...], half: bool, repeats: int, seed: int) -> None:
    run = order(factors, half and halvable(factors), repeats, seed)
    numbers = [d.specimen for d in run]
    assert numbers == sorted(numbers)
    assert set(numbers) == set(range(1, max(numbers) + 1))
    for specimen in set(numbers):
        first = next(d for d in run if d.specimen == specimen)
        assert not any(first.configuration)
        assert first.purpose == ("design" if specimen == 1 else "baseline")


@given(asked(lasting=False), donnings, seeds)
def test_one_change_at_a_time_from_as_sold_to_as_sold(factors: tuple[Factor, ...], repeats: int, seed: int) -> None:
    run = order(factors, False, repeats, seed)
    assert not any(run[0].configuration)
    assert not any(run[-1].configuration)
    steps = Counter(changes(one.configuration, other.configuration) for one, other in pairwise(run))
    assert steps.keys() <= {0, 1}
    assert steps[0] == repeats - 1  # where the direction turns
    assert len(run) == repeats * len(configurations(factors)) + repeats % 2


@given(asked(), donnings, seeds)
def test_one_change_at_a_time_inside_a_phase(factors: tuple[Factor, ...], repeats: int, seed: int) -> None:
    def kept(donning: Donning) -> tuple[str, ...]:
        return tuple(
            part if part in factor.lasting else "" for factor, part in zip(factors, donning.configuration, strict=True)
        )

    for before, after in pairwise(order(factors, False, repeats, seed)):
        if before.specimen == after.specimen:
            gained = changes(kept(before), kept(after))
            assert changes(before.configuration, after.configuration) <= max(gained, 1)


@given(st.permutations(SLOTS), donnings, seeds)
def test_a_half_needs_two_changes_a_step(slots: list[str], repeats: int, seed: int) -> None:
    run = order(tuple(Factor(slot, (f"{slot}-0",)) for slot in slots), True, repeats, seed)
    assert {changes(one.configuration, other.configuration) for one, other in pairwise(run)} <= {0, 2}


@given(asked(), st.booleans(), donnings, seeds)
def test_same_seed_same_order(factors: tuple[Factor, ...], half: bool, repeats: int, seed: int) -> None:
    half = half and halvable(factors)
    assert order(factors, half, repeats, seed) == order(factors, half, repeats, seed)


def test_seeds_give_different_orders() -> None:
    factors = (Factor("straps", ("s",)), Factor("nose-wire", ("w", "v")))
    assert len({order(factors, False, 2, seed) for seed in range(20)}) > 5


def test_two_lasting_parts_need_two_specimens() -> None:
    """Phases none, A, B and AB: one specimen can keep A then AB, B alone needs another."""
    factors = tuple(Factor(name, (name,), frozenset({name})) for name in "AB")
    assert max(d.specimen for d in order(factors, False, 1, 1)) == 2
    same_slot = (Factor("nose-foam", ("thick", "thin"), frozenset({"thick", "thin"})),)
    assert [(d.specimen, d.configuration[0], d.purpose) for d in order(same_slot, False, 2, 1)][2:] == [
        (1, "thick", "design"), (1, "thick", "design"),
        (2, "", "baseline"), (2, "", "baseline"), (2, "thin", "design"), (2, "thin", "design"),
    ]  # fmt: skip


def test_three_lasting_parts_need_as_many_specimens_as_the_widest_layer() -> None:
    """Sperner's theorem: 3 of the 8 sets of parts are the most of which none contains another."""
    factors = tuple(Factor(name, (name,), frozenset({name})) for name in "ABC")
    assert max(d.specimen for d in order(factors, False, 1, 1)) == 3
