"""Names of columns, units, phases and exercises."""

from __future__ import annotations

import pytest

from builder.fit.counts.sampled_air import KINDS
from builder.records.logs.log_words import NamedColumn, SaidPhase, is_unit, named_column, said_phase, words
from builder.records.vocabulary import Exercise


@pytest.mark.parametrize(
    ("name", "role", "measure", "factor"),
    [
        ("seconds", "seconds", None, 1),
        ("Time (s)", "seconds", None, 1),
        ("Time [ms]", "seconds", None, 0.001),
        ("Elapsed time, min", "seconds", None, 60),
        ("time_s", "seconds", None, 1),
        ("Time in seconds", "seconds", None, 1),
        ("Time (local)", "seconds", None, 1),
        ("Duration (s)", "duration", None, 1),
        ("Conc. (#/cc)", "concentration", "concentration", 1),
        ("Conc #/cm³", "concentration", "concentration", 1),
        ("Particles per cm3", "concentration", "concentration", 1),
        ("particles/cm³", "concentration", "concentration", 1),
        ("Count (#/L)", "concentration", "concentration", 0.001),
        ("#/cm^3", "concentration", "concentration", 1),
        ("counts/s", "particles", "rate", 1),
        ("Particle count", "particles", "particles", 1),
        ("Dust (µg/m³)", "concentration", "mass", 1),
        ("Flow (L/min)", "flow_cm3_s", None, 1000 / 60),
        ("flow_cm3_s", "flow_cm3_s", None, 1),
        ("Ambient conc. (#/cc)", "outside", "concentration", 1),
        ("In-mask particles", "inside", "particles", 1),
        ("Sensor A (outside)", "outside", "concentration", 1),
        ("C_in", "inside", "concentration", 1),
    ],
)
def test_names_of_columns(name: str, role: str, measure: str | None, factor: float) -> None:
    found = named_column(name)
    assert found is not None
    assert [found.role, found.measure] == [role, measure]
    assert found.factor == pytest.approx(factor)


@pytest.mark.parametrize(
    "name", ["", "Temperature (C)", "Room temperature", "Battery", "Time (#/cc)", "Lot", "Mask fit"]
)
def test_other_columns_mean_nothing(name: str) -> None:
    assert named_column(name) is None


def test_a_unit_may_stand_below_its_name() -> None:
    assert named_column("Conc.", "#/cc") == named_column("Conc. (#/cc)")
    assert named_column("Time", "(min)") == NamedColumn("seconds", None, 60.0, 4)
    assert is_unit("#/cc") and is_unit("[s]") and not is_unit("12")


@pytest.mark.parametrize(
    ("text", "phase", "exercise"),
    [
        ("ROOM", "ambient", ""),
        ("Ambient 2", "ambient", ""),
        ("ambient before", "ambient", ""),
        ("outside", "ambient", ""),
        ("Inside the mask", "mask", ""),
        ("M", "mask", ""),
        ("mask: bending over", "mask", "bending-over"),
        ("Bend", "mask", "bending-over"),
        ("3. Side-to-side", "mask", "head-side-to-side"),
        ("Exercise 2 - talking", "mask", "talking"),
        ("in mask/UP_DOWN", "mask", "head-up-and-down"),
        ("NB1", "mask", "normal-breathing"),
        ("mask purge", "purge", ""),
        ("Flush (ambient)", "purge", ""),
        ("both in room air", "same air", ""),
        ("swapped, talking", "swapped", "talking"),
    ],
)
def test_phases_and_exercises(text: str, phase: str, exercise: str) -> None:
    assert said_phase(text) == SaidPhase(phase, exercise)


@pytest.mark.parametrize("text", ["", "12", "musk", "mask ambient", "mask juggling", "talking bending"])
def test_what_is_not_understood(text: str) -> None:
    assert said_phase(text) is None


def test_every_word_stands_for_something_there_is() -> None:
    assert set(words()["exercises"]) == {exercise.value for exercise in Exercise}
    assert set(words()["phases"]) == set(KINDS)


def test_no_word_stands_for_two_things() -> None:
    for tables in (("columns",), ("phases", "exercises"), ("places",)):
        names = [name for table in tables for some in words()[table].values() for name in some]
        assert sorted(names) == sorted(set(names))
        assert all(name == name.lower().strip() for name in names)


def test_every_word_is_understood_as_what_it_stands_for() -> None:
    for phase, names in words()["phases"].items():
        assert {said.phase for name in names if (said := said_phase(name))} == {phase}
        assert all(map(said_phase, names))
    for exercise, names in words()["exercises"].items():
        assert {said.exercise for name in names if (said := said_phase(name.upper()))} == {exercise}
    for role, names in words()["columns"].items():
        assert {found.role if (found := named_column(name)) else name for name in names} == {role}
