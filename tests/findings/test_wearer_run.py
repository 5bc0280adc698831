"""What is said of one tester's donnings claims no more than luck leaves over."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import numpy as np
import pytest

from builder.findings.wearer_run import MOST_BY_LUCK, Donned, set_apart, some_side_leads

Parts = tuple[tuple[str, ...], ...]

ONE: Parts = ((), (), (), ("wire",), ("wire",), ("wire",))
SEVERAL: Parts = ((), ("band",), ("wire",), ("band", "wire"), ("wire", "foam"), ("band", "wire", "foam"))
RUNS = 4000


def donned(parts: Parts, fit_factors: Sequence[float]) -> tuple[Donned, ...]:
    rows = enumerate(zip(parts, fit_factors, strict=True))
    return tuple(Donned(f"mask-{place}", own, 1, float(fit_factor), False) for place, (own, fit_factor) in rows)


@pytest.mark.parametrize(("parts", "orders"), [(ONE, {"wire": 20}), (SEVERAL, {"band": 20, "foam": 15, "wire": 15})])
def test_a_hint_by_luck_comes_as_often_as_is_said(parts: Parts, orders: dict[str, int]) -> None:
    """Donnings that differ by their scatter alone, many times over: whatever is named then, luck named."""
    rng = np.random.default_rng(20261126)
    readings = np.exp(rng.normal(3.5, 0.6, (RUNS, len(parts))))
    named = [one for row in readings if (one := set_apart(donned(parts, row.tolist())))]
    assert {one.part: one.orders for one in named} == orders
    three_errors = 3 * (0.25 / RUNS) ** 0.5
    (by_luck,) = {one.by_luck for one in named}
    assert by_luck == pytest.approx(len(named) / RUNS, abs=three_errors)
    # A part that was named before anyone donned is set apart in 2 of its orders, and one of several more often.
    for part, ways in orders.items():
        assert sum(one.part == part for one in named) / RUNS <= 2 / ways + three_errors
    assert (by_luck > 2 / min(orders.values()) + three_errors) == (len(orders) > 1)


def test_luck_is_counted_over_all_orders() -> None:
    everything = set("abcdef")
    halves = [set("abc"), set("ab"), set("cdef"), set("bdf")]
    sides = [*halves, *(everything - half for half in halves)]
    led = sum(any(set(order[: len(side)]) == side for side in sides) for order in permutations("abcdef"))
    assert some_side_leads(sides) == pytest.approx(led / 720, rel=1e-12)
    assert some_side_leads([]) == 0


def test_where_luck_does_it_every_second_time_no_part_is_named() -> None:
    parts: Parts = (("a", "b", "c"), ("a", "d", "e"), ("b", "d"), ("c", "e"), (), ())
    sides = [
        {str(place) for place, own in enumerate(parts) if (part in own) is with_it}
        for part in "abcde"
        for with_it in (True, False)
    ]
    assert some_side_leads(sides) > MOST_BY_LUCK
    assert set_apart(donned(parts, [90, 80, 12, 11, 10, 9])) is None
    assert set_apart(donned(tuple(tuple(set(own) & {"a"}) for own in parts), [90, 80, 12, 11, 10, 9])) is not None
