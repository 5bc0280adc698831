"""Entries made from texts."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.entry_keys import fields_of
from builder.records.from_texts import FieldFault, build
from builder.records.models import Part, Test
from builder.records.vocabulary import Leak, Slot, WireShape

TEST = {
    "mask": "drum-cup",
    "date": "2026-09-12",
    "contributor": "grey-bench",
    "wearer": "blue-heron",
    "facial_hair": "none",
    "protocol": "free",
    "fit_factor": "64",
}


def faults_of(**texts: str) -> list[FieldFault]:
    found = build(Test, (TEST | texts).items())
    return found if isinstance(found, list) else []


def test_texts_become_values() -> None:
    texts = TEST | {"comfort": "4", "length_mm": "117.5", "width_mm": " 138 ", "fogging": "no", "leaks": "nose + chin"}
    test = build(Test, [*texts.items(), ("leaks", "left-cheek"), ("notes", ""), ("nose-wire", "broad-strip")])
    assert isinstance(test, Test)
    assert test.date == dt.date(2026, 9, 12)
    assert (test.face.length_mm, test.face.width_mm, test.observations.comfort) == (117.5, 138, 4)
    assert test.observations.fogging is False
    assert test.observations.leaks == (Leak.NOSE, Leak.CHIN, Leak.LEFT_CHEEK)
    assert test.observations.notes is None
    assert test.configuration.part_in(Slot.NOSE_WIRE) == "broad-strip"


def test_names_of_tables_that_a_key_needs() -> None:
    texts = {
        "name": "Wire",
        "slot": "nose-wire",
        "material": "steel",
        "fitting": "Taped + pressed.",
        "can_be_undone": "yes",
    }
    section = {"section_shape": "round", "section_material": "annealed-steel", "section_diameter_mm": "0.8"}
    part = build(Part, [*(texts | section).items(), ("cautions", "Sharp + hot."), ("cautions", "Cover it.")])
    assert isinstance(part, Part)
    assert part.section is not None
    assert part.section.shape is WireShape.ROUND
    assert part.cautions == ("Sharp + hot.", "Cover it.")


def test_what_is_no_field_comes_beside() -> None:
    exercises = [{"name": "talking", "fit_factor": 12.0}]
    test = build(Test, (TEST | {"fit_factor": ""}).items(), {"result": {"exercise": exercises}})
    assert isinstance(test, Test)
    assert test.result.exercise[0].fit_factor == 12
    wrong = build(Test, TEST.items(), {"result": {"exercise": [{"name": "talkin", "fit_factor": 12.0}]}})
    assert isinstance(wrong, list)
    assert wrong[0].remedy.startswith('Did you mean "talking"?')


@pytest.mark.parametrize(
    ("name", "text", "problem"),
    [
        ("date", "12.9.2026", '"12.9.2026" is no date.'),
        ("fit_factor", "6,4", '"6,4" is no number.'),
        ("fit_factor", "1_000", '"1_000" is no number.'),
        ("fit_factor", "nan", "Expected a number, found nan."),
        ("fit_factor", "0.5", "0.5 is below 1."),
        ("comfort", "4.5", '"4.5" is no whole number.'),
        ("comfort", "9" * 5000, f'"{"9" * 60}…" is no whole number.'),
        ("fogging", "maybe", '"maybe" is neither yes nor no.'),
        ("leaks", "nose+ear", '"ear" is not one of the words for leaks.'),
        ("wearer", "", "wearer is missing."),
        ("mask", "../x", '"../x" is no id: small letters and digits, single hyphens between.'),
        ("contributor", "@heron", "contributor looks like a handle."),
    ],
)
def test_each_fault_is_named_at_its_field(name: str, text: str, problem: str) -> None:
    [fault] = faults_of(**{name: text})
    assert (fault.name, fault.problem) == (name, problem)


def test_a_value_that_cannot_be_read_is_one_fault() -> None:
    assert [fault.name for fault in faults_of(length_mm="x", width_mm="138")] == ["length_mm"]
    assert [fault.problem for fault in faults_of(width_mm="138")] == ["Face length and face width come together."]


@given(st.dictionaries(st.sampled_from([field.name for field in fields_of(Test)]), st.text(max_size=12)))
def test_any_texts_give_a_test_or_faults(texts: dict[str, str]) -> None:
    found = build(Test, texts.items())
    assert isinstance(found, Test) or all(fault.problem and fault.remedy for fault in found)
