"""Schedules as a person gives them."""

from __future__ import annotations

import pytest

from builder.fit.counts.run_log import Purge
from builder.fit.counts.sampled_air import KINDS
from builder.fit.counts.schedule import RunSchedule
from builder.records.logs.log_said import EXERCISES
from builder.records.logs.schedules import protocol_schedule, schedule_of
from builder.records.vocabulary import Protocol


def schedule_text(schedule: RunSchedule) -> str:
    """Write a schedule as it may be given."""
    return ", ".join(
        f"{' '.join(filter(None, (KINDS[phase.kind], EXERCISES[phase.exercise])))} {phase.seconds:g}"
        for phase in schedule.phases
    )


def test_a_list_in_free_words() -> None:
    schedule = schedule_of("Room air 20 s; purge 4, mask bending-over 0.5 min, Talk 30,mask 30\n ambient 9")
    assert schedule_text(schedule) == ("ambient 20, purge 4, mask bending-over 30, mask talking 30, mask 30, ambient 9")
    assert schedule_of(schedule_text(schedule)) == schedule


def test_a_protocol_has_its_published_times() -> None:
    """84 FR 50739, Table A-2; the ambient times are values from memory, the purges common practice."""
    assert schedule_text(schedule_of("Short four exercise")) == (
        "ambient 20, purge 11, mask bending-over 30, mask talking 30, mask head-side-to-side 30, "
        "mask head-up-and-down 30, purge 4, ambient 9"
    )
    assert schedule_text(protocol_schedule(Protocol.ONE_EXERCISE, Purge(0, 6))) == (
        "ambient 10, purge 6, mask normal-breathing 60, ambient 10"
    )


def test_room_air_between_the_exercises() -> None:
    """29 CFR 1910.134 App. A."""
    text = schedule_text(schedule_of("eight-exercise"))
    assert text.startswith("ambient 5, purge 11, mask normal-breathing 60, purge 4, ambient 5, purge 11, mask deep-")
    assert text.count("ambient 5") == 9


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            "free",
            "The protocol free has no times of its own: give a list of phases, or one of "
            "eight-exercise, short-four-exercise, one-exercise.",
        ),
        ("short-for-exercise", '"short-for-exercise" is no protocol. Did you mean short-four-exercise?'),
        ("ambient 20, musk 30", '"musk" is no phase. Did you mean mask?'),
        (
            "ambient 20, xyz 30, mask",
            '"xyz" is no phase. Write ambient, purge, or mask and an exercise. "mask" has no seconds: write mask 30.',
        ),
        ("ambient 20, mask 0", '"mask 0": a phase is longer than 0 s and at most a day.'),
        ("ambient 20", "It needs ambient and mask phases, such as: ambient 20, purge 11, mask talking 30, ambient 9."),
        ("", "It needs ambient and mask phases, such as: ambient 20, purge 11, mask talking 30, ambient 9."),
    ],
)
def test_what_is_no_schedule(text: str, problem: str) -> None:
    with pytest.raises(ValueError) as error:
        schedule_of(text)
    assert str(error.value) == problem
