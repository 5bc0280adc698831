"""What one evening tells, in sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.findings.dataset import Dataset
from builder.findings.table import SLOT_COLUMNS
from builder.fit.levels import WORTH_ONE_MORE
from builder.fit.plan.evening import Evening, evening
from builder.fit.plan.one_more import ExactTakes, worth_it
from builder.words.evening_words import donning_rows, evening_sentences, worth_sentence
from tests.words.evenings import takes_of_parts


@pytest.fixture
def found(demo: Dataset) -> Evening:
    return evening(takes_of_parts(demo), demo.scatter, demo.method_effects, SLOT_COLUMNS)


def test_each_configuration_has_its_figures(demo: Dataset) -> None:
    takes = takes_of_parts(demo)
    rows = donning_rows(demo, takes)
    assert rows[0][0] == "as sold"
    assert len(rows) == takes["configuration"].nunique()
    assert sum(len(figures.split(", ")) for _, figures in rows) == len(takes)


def test_each_change_has_its_verdict_and_parts_come_last(demo: Dataset, found: Evening) -> None:
    *changes, parts = evening_sentences(demo, found)
    assert len(changes) == len(found.changes)
    assert all(" % interval ×" in sentence for sentence in changes)
    assert parts.startswith("Which part did it (")
    assert parts.count("95 % ×") == len([e for e in found.parts.effects if e.effect]) if found.parts else False


def test_whether_one_more_is_worth_it(demo: Dataset, found: Evening) -> None:
    worth = worth_it(ExactTakes.of([80]), ExactTakes.of([90]), demo.scatter.stranger, demo.scatter.arm_df)
    one = replace(worth.next, chance=WORTH_ONE_MORE)
    some = replace(worth, a=one, b=one, each=one, for_seen=3, fewer="a")
    told = worth_sentence(demo, found.mask, found.changes[0].rung.configuration, some)
    assert told.startswith(
        "One more donning as sold is worth it: it changes the verdict with a chance of about 10 %, one of each with "
        "about 10 %."
    )
    little = replace(some, a=replace(one, chance=0.02, now=("cannot-tell", "none")))
    assert worth_sentence(demo, found.mask, found.changes[0].rung.configuration, little) == (
        "One more donning as sold would hardly change that (under 5 %; one of each about 10 %). 3 more donnings of "
        "each would show a difference as large as the one seen, if it is real."
    )


def test_nothing_to_tell(demo: Dataset) -> None:
    assert evening_sentences(demo, Evening("cup", (), None)) == (
        "Nothing can be told yet: it takes a donning as sold and one with a change.",
    )
