"""What measuring in another way does to the invented fit factors."""

from __future__ import annotations

import numpy as np
import pytest

from builder.demo.loggers import CHEAP_SENSOR, LOGGERS, LONG_TEST, NARROW_BAND, OPTICAL_COUNTS, SHORT_TEST
from builder.demo.method_effects import REFERENCE, effects, passing


def test_the_reference_method_changes_nothing() -> None:
    assert REFERENCE is LONG_TEST
    assert effects([REFERENCE]) == [0]


def test_the_protocol_follows_from_its_exercises() -> None:
    """Normal breathing alone against the harmonic mean of seven, and that of the four hard ones against it."""
    seven = 7 / (1 + 1 / 0.92 + 1 / 0.8 + 1 / 0.67 + 1 / 0.56 + 1 / 0.62 + 1)
    four = 4 / (1 / 0.62 + 1 / 0.56 + 1 / 0.8 + 1 / 0.67)
    assert np.exp(effects([SHORT_TEST])) == pytest.approx(four / seven)
    assert np.exp(effects([NARROW_BAND]) - effects([SHORT_TEST])) == pytest.approx(np.exp(0.2))
    assert np.exp(effects([OPTICAL_COUNTS]) - 0.3) == pytest.approx(1 / seven)
    assert np.exp(effects([CHEAP_SENSOR]) + 0.25) == pytest.approx(1 / seven)


def test_a_narrow_band_sees_little_of_what_passes_the_filter() -> None:
    assert passing(LOGGERS).tolist() == [1, 0.2, 1, 1, 1]
