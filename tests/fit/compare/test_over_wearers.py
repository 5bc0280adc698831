"""What several wearers say together, with and without limits."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from builder.fit.compare.contrasts import Contrast, Told, told_by
from builder.fit.compare.methods import MethodEffects
from builder.fit.compare.over_wearers import over_wearers
from builder.fit.compare.pooling import Pooled
from builder.fit.compare.verdicts import UNKNOWN, Judgement
from tests.fit.tables import ONE_METHOD, compared, contrast, readings, scatter_of_all, tidy

SCATTER = scatter_of_all(0.1)
CEILING = 200.0

Readings = Sequence[float]


def said(*wearers: tuple[Readings, Readings]) -> tuple[Judgement, Pooled | None, tuple[Contrast, ...]]:
    """Over wearers with readings of A and of B; those of 200 and more are at the ceiling."""
    effects = MethodEffects.unknown([ONE_METHOD])
    sides = [[readings(np.log(y), SCATTER, [v >= CEILING for v in y]) for y in both] for both in wearers]
    return over_wearers([told_by([a], [b], SCATTER, effects, wearer=f"w{i}") for i, (a, b) in enumerate(sides)])


def test_without_limits_it_is_the_comparison() -> None:
    judgement, pooled, rests_on = said(([20], [60]), ([20], [50]), ([50], [90, 80]))
    rows = [("a", "w0", 20.0), ("b", "w0", 60.0), ("a", "w1", 20.0), ("b", "w1", 50.0)]
    rows += [("a", "w2", 50.0), ("b", "w2", 90.0), ("b", "w2", 80.0)]
    expected = compared(tidy(rows), "a", "b", SCATTER)
    assert vars(judgement).items() <= vars(expected).items()
    assert pooled is not None
    assert pooled.tau == expected.tau
    assert len(rests_on) == 3


def test_limits_in_both_directions_have_a_ratio() -> None:
    judgement, pooled, rests_on = said(([20], [200]), ([30], [200]), ([200], [150]), ([25], [90]), ([40], [200]))
    assert pooled is not None
    assert (judgement.bound, len(rests_on)) == ("none", 5)
    assert judgement.ratio is not None
    assert judgement.low90 is not None
    assert judgement.high90 is not None
    assert 1.2 < judgement.low90 < judgement.ratio < judgement.high90 < 15
    assert (judgement.verdict, judgement.direction) == ("likely", "b-higher")
    assert judgement.donnings_needed is None


def test_limits_all_one_way_leave_the_other_side_open() -> None:
    judgement, _, _ = said(([20], [200]), ([30], [200]), ([60], [200]))
    assert (judgement.bound, judgement.high90, judgement.high99) == ("at_least", None, None)
    assert judgement.ratio is not None
    assert judgement.low90 is not None
    assert judgement.low90 <= judgement.ratio
    assert (judgement.verdict, judgement.direction) == ("clear", "b-higher")
    mirror, _, _ = said(([200], [20]), ([200], [30]), ([200], [60]))
    assert (mirror.bound, mirror.low90) == ("at_most", None)
    assert mirror.ratio == pytest.approx(1 / judgement.ratio)
    assert mirror.direction == "a-higher"


def test_many_wearers_at_the_ceiling_say_more_than_their_limits() -> None:
    few, many = (said(*[([100, 110], [200, 200])] * count)[0].ratio for count in (2, 12))
    assert few is not None
    assert many is not None
    assert few < many


def test_wearers_without_an_exact_reading_say_nothing() -> None:
    assert said(([200], [200]), ([200], [200])) == (UNKNOWN, None, ())
    judgement, pooled, rests_on = said(([200], [200]), ([20], [60]))
    assert pooled is None
    assert [c.wearer for c in rests_on] == ["w1"]
    assert judgement.ratio == pytest.approx(3)


def test_more_donnings_are_only_asked_for_where_they_would_tell() -> None:
    told = said(*[([50], [60]), ([60], [75]), ([40], [50]), ([80], [90])])[0]
    assert (told.verdict, told.donnings_needed) == ("cannot-tell", 0)
    limited = said(([50], [70]), ([60], [50]), ([190], [200]))[0]
    assert (limited.verdict, limited.donnings_needed) == ("cannot-tell", None)


def test_errors_that_wearers_share_do_not_average_out() -> None:
    sides = [[readings([level], SCATTER) for level in (3.0, 3.0 + effect)] for effect in (0.8, 0.9, 1.0, 0.9, 0.7)]
    found = [contrast(a, b, SCATTER) for a, b in sides]
    apart = over_wearers([Told(replace(c, variance=c.variance + 0.25)) for c in found])[0]
    together = over_wearers([Told(replace(c, variance=c.variance + 0.25), shared=(0.5,)) for c in found])[0]
    others = [Told(replace(c, variance=c.variance + 0.25), shared=(0.5,)) for c in found[1:]]
    mixed = over_wearers([Told(found[0]), *others])[0]
    assert apart.low90 is not None
    assert together.low90 is not None
    assert together.low90 < apart.low90
    assert mixed.low90 is not None
    assert together.low90 < mixed.low90
