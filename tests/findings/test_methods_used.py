"""By which methods tests were measured, and what a database narrowed to one of them keeps of the whole."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.methods_used import measured_by, method_id, methods_used, methods_used_by
from builder.fit.compare.methods import Method

SHORT = Method("short-four-exercise", "condensation-counter", "all-sizes")
SHORT_ID = "short-four-exercise.condensation-counter.all-sizes"


def test_a_method_is_named_by_its_words_also_where_one_is_not_told() -> None:
    assert method_id(SHORT) == SHORT_ID
    assert method_id(Method("one-exercise", "", "")) == "one-exercise.not-told.not-told"


def test_methods_are_counted_the_most_usual_first(demo: Dataset) -> None:
    found = methods_used(demo.table)
    assert [(used.id, used.tests, used.wearers) for used in found.each] == [
        (SHORT_ID, 121, 15),
        ("one-exercise.optical-counter.all-sizes", 113, 14),
        ("eight-exercise.condensation-counter.all-sizes", 76, 11),
        ("one-exercise.particle-sensor.all-sizes", 48, 7),
        ("short-four-exercise.condensation-counter.narrow-band", 43, 9),
    ]
    assert (found.tests, found.wearers, found.mixed) == (len(demo.counted), 16, True)


def test_methods_are_counted_by_the_words_of_a_column(demo: Dataset) -> None:
    found = methods_used_by(demo.table, "mask")
    assert list(found) == sorted(demo.counted["mask"].unique())
    for mask, methods in found.items():
        assert methods == methods_used(demo.table[demo.table["mask"] == mask])
    assert methods_used_by(demo.table[~demo.table["counted"]], "mask") == {}


def test_one_method_is_not_mixed_and_no_test_is_none(demo: Dataset) -> None:
    own = demo.by_method[SHORT_ID]
    assert [used.id for used in own.methods.each] == [SHORT_ID]
    assert not own.methods.mixed
    assert methods_used(demo.table.head(0)).each == ()


def test_a_narrowed_database_has_the_tests_of_its_method_and_the_scatter_of_all(demo: Dataset) -> None:
    assert demo.by_method.keys() == {used.id for used in demo.methods.each}
    own = demo.by_method[SHORT_ID]
    alike = measured_by(demo.table, SHORT)
    assert own.table["test"].tolist() == alike["test"].tolist()
    assert len(alike[~alike["counted"]]) > 0
    assert set(own.summary["configuration"]) == set(alike["configuration"])
    assert own.scatter is demo.scatter
    assert own.method_effects is demo.method_effects
    assert (own.highest, own.model, own.whole) == (demo.highest, demo.model, demo)
    assert sum(len(narrow.counted) for narrow in demo.by_method.values()) == len(demo.counted)


def test_a_narrowed_database_compares_what_was_measured_alike_alone(demo: Dataset) -> None:
    contrasts = [one for own in demo.by_method.values() for effect in own.hacks.values() for one in effect.contrasts]
    assert len(contrasts) > 50
    assert {one.method for one in contrasts} == {"same"}
    whole = {one.wearer for effect in demo.hacks.values() for one in effect.contrasts}
    assert {one.wearer for one in contrasts} <= whole
    assert demo.by_method[SHORT_ID].hacks["broad-strip"].k < demo.hacks["broad-strip"].k
