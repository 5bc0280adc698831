"""What was noted of a test beside its figure: of the donning, and of how things stood on the day."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup

from builder.records.vocabulary import Check
from builder.words.catalogue import count, say, say_html
from builder.words.numbers import figure
from builder.words.vocabulary_words import within

OF_DONNING = (
    "specimen_label",
    "specimen_lot",
    "specimen_donnings_before",
    "specimen_hours_before",
    "specimen_straps_mm",
    "specimen_straps_notch",
    "order",
    "seal_check",
    "helped",
    "glasses",
    "breathing_effort",
)
"""Columns of the tidy table that differ from donning to donning."""

OF_DAY = ("purge_seconds", "zero_check", "probe_check", "temperature_c", "humidity_percent")
"""Columns that are the same for many donnings."""


def noted_of_donning(test: Mapping[str, Any]) -> Markup:
    """Say what was noted of a donning, from `OF_DONNING` of its row; "" for nothing."""
    return Markup(", ").join(_of_donning(test))


def noted_of_day(test: Mapping[str, Any]) -> Markup:
    """Say how instrument and air were, from `OF_DAY` of a test's row; "" for nothing."""
    return Markup(", ").join(_of_day(test))


def _of_donning(test: Mapping[str, Any]) -> Iterator[str]:
    if label := test["specimen_label"]:
        yield say("noted.specimen", label=label)
    if lot := test["specimen_lot"]:
        yield say_html("noted.lot", lot=Markup("<bdi>{}</bdi>").format(lot))
    if _given(before := test["specimen_donnings_before"]):
        yield count("donning_before", before)
    if _given(hours := test["specimen_hours_before"]):
        yield say("noted.hours", hours=figure(hours))
    if _given(mm := test["specimen_straps_mm"]):
        yield say("noted.straps", mm=figure(mm))
    if _given(notch := test["specimen_straps_notch"]):
        yield say("noted.notch", notch=figure(notch))
    if _given(order := test["order"]):
        yield say("noted.order", order=figure(order))
    if outcome := test["seal_check"]:
        yield say("noted.seal_check", outcome=_label(outcome))
    if helped := test["helped"]:
        yield say("noted.helped" if helped == "yes" else "noted.self_fitted")
    if glasses := test["glasses"]:
        yield say("noted.glasses" if glasses == "yes" else "noted.no_glasses")
    if _given(effort := test["breathing_effort"]):
        yield say("noted.effort", effort=figure(effort))


def _of_day(test: Mapping[str, Any]) -> Iterator[str]:
    if _given(seconds := test["purge_seconds"]):
        yield say("noted.purge", seconds=figure(seconds))
    if outcome := test["zero_check"]:
        yield say("noted.zero_check", outcome=_label(outcome))
    if outcome := test["probe_check"]:
        yield say("noted.probe_check", outcome=_label(outcome))
    if _given(celsius := test["temperature_c"]):
        yield say("noted.temperature", celsius=figure(celsius))
    if _given(percent := test["humidity_percent"]):
        yield say("noted.humidity", percent=figure(percent))


def _label(outcome: str) -> str:
    return within(Check(outcome))


def _given(value: float) -> bool:
    return not math.isnan(value)
