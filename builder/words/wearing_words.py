"""What it was like to wear each configuration of a mask, and which faces still need a tester, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.findings.dataset import Dataset, Row
from builder.findings.wearing import RATES, SEATS
from builder.records.vocabulary import Exercise
from builder.words.catalogue import language, say
from builder.words.labels import change_label
from builder.words.numbers import figure, none
from builder.words.vocabulary_words import within


@dataclass(frozen=True)
class WearingRow:
    """A configuration beside its mask: a rate for each of `RATES` as text, and what is known of exercises and panel."""

    label: str
    rates: tuple[str, ...]
    lowest: str
    filled: str
    passing: str
    still_open: str


def wearing_rows(data: Dataset, rows: Sequence[Row]) -> list[WearingRow]:
    """Give the configurations of a mask with a test that counts, in the order of the rows of its summary."""
    return [
        _row(change_label(data, row["parts"]), data.wearing_by_id[row["configuration"]])
        for row in rows
        if row["configuration"] in data.wearing_by_id
    ]


def _row(label: str, found: Row) -> WearingRow:
    exercise = found["lowest_exercise"]
    return WearingRow(
        label=label,
        rates=tuple(rate_text(found[rate], found[f"{rate}_tests"]) for rate in RATES),
        lowest=say(
            "wearing.lowest",
            exercise=within(Exercise(exercise)),
            fit_factor=figure(found["lowest_exercise_fit_factor"]),
        )
        if exercise
        else none(),
        filled=say("wearing.of", n=found["seats_filled"], of=SEATS),
        passing=say("wearing.of", n=found["seats_at_100"], of=SEATS),
        still_open=open_seats(found["seats_open"]),
    )


def rate_text(share: float, tests: int) -> str:
    """Say a share with the donnings it is of: "60 % of 5"."""
    if not tests or math.isnan(share):
        return none()
    percent = language().number.percent.format(percent=f"{100 * share:.0f}")
    return say("wearing.rate", percent=percent, tests=tests)


def open_seats(seats: str) -> str:
    """Say which cells still need testers: "2 in cell 1, 3 in cell 4"; that none does where the panel is full."""
    left: Iterable[tuple[str, str, str]] = (seat.partition("×") for seat in filter(None, seats.split("+")))
    return ", ".join(say("wearing.open", cell=cell, n=n) for cell, _, n in left) or say("wearing.full")
