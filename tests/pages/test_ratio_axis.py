"""The axis of ratios that just holds what it shows."""

from __future__ import annotations

import pytest

from builder.site.ratio_axis import fitted_axis


def test_it_holds_the_ratios_and_no_difference_with_a_little_room() -> None:
    low, high, ticks = fitted_axis([2.0, 40.0])
    assert (low, high) == pytest.approx((1 / 1.3, 52.0))
    assert [(tick.label, tick.minor) for tick in ticks] == [
        ("×1", False), ("×2", True), ("×5", True), ("×10", False), ("×20", True), ("×50", True)
    ]  # fmt: skip


def test_it_is_never_so_short_that_nothing_but_one_stands_on_it() -> None:
    low, high, ticks = fitted_axis([1.01])
    assert high / low == pytest.approx(6)
    assert [tick.label for tick in ticks] == ["×0.5", "×1", "×2"]
    assert not any(tick.minor for tick in ticks)


def test_without_a_ratio_it_stands_around_no_difference() -> None:
    low, high, _ = fitted_axis([])
    assert low * high == pytest.approx(1)
