"""Where values stand on a log scale."""

from __future__ import annotations

import math

import pytest

from builder.pictures.scale import LogScale, covering, powers_of_ten


@pytest.mark.parametrize(
    ("highest", "top"), [(1.0, 1000), (999, 1000), (1000, 1000), (1001, 10_000), (2e5, 1e6), (math.nan, 1000)]
)
def test_the_axis_ends_at_the_power_of_ten_that_holds_all(highest: float, top: float) -> None:
    assert covering(highest) == top


def test_the_axis_is_logarithmic_and_ends_at_its_ends() -> None:
    scale = LogScale(1, 10_000, 5, 155)
    assert [scale.x(value) for value in (0.1, 1, 100, 10_000, 1e6)] == [5, 5, 80, 155, 155]


def test_powers_of_ten_lead_to_the_end() -> None:
    assert powers_of_ten(1000) == [1, 10, 100, 1000]
