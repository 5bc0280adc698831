"""Times of protocols and limits of filter classes, as published."""

import pytest

from builder.records.vocabulary import CLASS_LIMITS, PROTOCOL_TIMES, Exercise, MaskClass, Protocol

MINUTE = 60


def test_eight_exercises_take_a_minute_each_and_the_grimace_fifteen_seconds() -> None:
    """29 CFR 1910.134 App. A; ambient air for 5 s before and after each: value from memory."""
    timing = PROTOCOL_TIMES[Protocol.EIGHT_EXERCISE]
    assert [(step.exercise, step.seconds) for step in timing.steps] == [
        (Exercise.NORMAL_BREATHING, MINUTE),
        (Exercise.DEEP_BREATHING, MINUTE),
        (Exercise.HEAD_SIDE_TO_SIDE, MINUTE),
        (Exercise.HEAD_UP_AND_DOWN, MINUTE),
        (Exercise.TALKING, MINUTE),
        (Exercise.GRIMACE, 15),
        (Exercise.BENDING_OVER, MINUTE),
        (Exercise.NORMAL_BREATHING, MINUTE),
    ]
    assert (timing.ambient_start_s, timing.ambient_end_s, timing.ambient_between) == (5, 5, True)


def test_four_exercises_take_half_a_minute_each() -> None:
    """84 FR 50739, App. A Table A-2; 20 s and 9 s of ambient air: values from memory."""
    timing = PROTOCOL_TIMES[Protocol.SHORT_FOUR_EXERCISE]
    assert [(step.exercise, step.seconds) for step in timing.steps] == [
        (Exercise.BENDING_OVER, 30),
        (Exercise.TALKING, 30),
        (Exercise.HEAD_SIDE_TO_SIDE, 30),
        (Exercise.HEAD_UP_AND_DOWN, 30),
    ]
    assert (timing.ambient_start_s, timing.ambient_end_s, timing.ambient_between) == (20, 9, False)


@pytest.mark.parametrize(
    ("mask_class", "percent"),
    [
        # EN 149:2001+A1:2009, Table 1, second hand.
        (MaskClass.FFP1, 20),
        (MaskClass.FFP2, 6),
        (MaskClass.FFP3, 1),
        # 42 CFR 84 names its classes by what they keep: at least 95 and 99 %.
        (MaskClass.N95, 5),
        (MaskClass.N99, 1),
        (MaskClass.R95, 5),
        # And at least 99.97 %.
        (MaskClass.N100, 0.03),
        (MaskClass.P100, 0.03),
        # GB 2626-2019 and the Korean guideline: 95, 80 and 94 %, values from memory.
        (MaskClass.KN95, 5),
        (MaskClass.KF80, 20),
        (MaskClass.KF94, 6),
        # The Japanese standard for disposable dust masks, class 2: 95 %, value from memory.
        (MaskClass.DS2, 5),
        # EN 143 and AS/NZS 1716, class P3: values from memory.
        (MaskClass.P3, 0.05),
    ],
)
def test_a_class_lets_so_many_percent_through(mask_class: MaskClass, percent: float) -> None:
    assert CLASS_LIMITS[mask_class].penetration_percent == percent
