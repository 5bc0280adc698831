"""Clock times, dates, seconds since 1970."""

from __future__ import annotations

import numpy as np
import pytest

from builder.records.logs.log_times import Midnights, clock_seconds, is_clock


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("0:05", 5),
        ("12:30.5", 750.5),
        ("14:03:21", 50_601),
        ("14:03:21,5", 50_601.5),
        ("2:03:21 PM", 50_601),
        ("12:00:01 a.m.", 1),
        ("1970-01-02 00:00:01", 86_401),
        ("1970-01-02T02:00:01+02:00", 86_401),
        ("1970-01-01T22:00:01.25-0200", 86_401.25),
        ("02.01.1970 00:00:01", 86_401),
        ("1/2/1970 12:00:01 AM", 86_401),
        ("13/1/1970 0:00:01", 12 * 86_400 + 1),
        ("2026/09/12, 14:03:20Z", 1_789_221_800),
        ("12-Sep-2026 14:03:20", 1_789_221_800),
        ("12. September 2026 14:03:20", 1_789_221_800),
        ("Sat, Sept. 12, 2026 2:03:20 PM", 1_789_221_800),
        ("0:01:05.5", 65.5),
    ],
)
def test_times(text: str, seconds: float) -> None:
    assert is_clock(text)
    assert clock_seconds([text])[0].tolist() == [seconds]


@pytest.mark.parametrize(
    "text", ["", "12", "1:2:3:4", "14:61:00", "14:03:99", "31.02.2026 14:00:00", "noon", "12-Xyz-2026 14:03:20"]
)
def test_what_is_no_time(text: str) -> None:
    assert np.isnan(clock_seconds([text])[0]).all()


def test_midnights_and_noons_are_passed_whatever_the_chunks() -> None:
    clocks = np.array([86_398.0, 86_399, 0, 1, np.nan, 2])
    midnights = Midnights()
    parts = [midnights.unrolled(clocks[:3]), midnights.unrolled(clocks[3:])]
    assert np.concatenate(parts)[[0, 1, 2, 3, 5]].tolist() == [86_398, 86_399, 86_400, 86_401, 86_402]
    assert Midnights().unrolled(np.array([46_799.0, 3600])).tolist() == [46_799, 46_800]
    assert Midnights().unrolled(np.array([50.0, 20])).tolist() == [50, 20]
