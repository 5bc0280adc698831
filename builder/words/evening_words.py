"""What one wearer's evening with one mask tells: every donning, each change against as sold, what one more would do."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from builder.findings.dataset import Dataset
from builder.fit.levels import WORTH_ONE_MORE
from builder.fit.plan.evening import Evening, JudgedChange
from builder.fit.plan.one_more import WorthIt
from builder.words.catalogue import count, say
from builder.words.chances import chance_text
from builder.words.comparisons import ratio_label, set_up_phrase, told_interval, verdict_words
from builder.words.labels import change_label, configuration_label
from builder.words.numbers import figure, fit
from builder.words.which_part import wearer_parts


def donning_rows(data: Dataset, takes: pd.DataFrame) -> list[tuple[str, str]]:
    """Each configuration with its fit factors in the order of the takes, as sold first; those set aside in brackets."""
    rows = []
    for configuration, own in sorted(takes.groupby("configuration", sort=True), key=lambda item: str(item[0])):
        label = change_label(data, str(configuration).partition("+")[2])
        figures = zip(own["fit_factor"], own["at_least"], own["counted"], strict=True)
        rows.append((label, ", ".join(_figure(value, limit, counted) for value, limit, counted in figures)))
    return rows


def _figure(value: float, at_least: bool, counted: bool) -> str:
    shown = fit(value, at_least) if at_least else figure(value)
    return shown if counted else say("evening.set_aside", figure=shown)


def evening_sentences(data: Dataset, found: Evening) -> tuple[str, ...]:
    """Say what the evening tells: each change, with what one more donning is likely to do, then which part did it."""
    if not found.changes:
        return (say("evening.nothing"),)
    return (*(_change(data, found, change) for change in found.changes), *_parts(data, found))


def _change(data: Dataset, found: Evening, change: JudgedChange) -> str:
    comparison = change.rung.comparison
    clear = comparison.verdict == "clear"
    verdict = verdict_words(comparison)
    told = say(
        "evening.change_clear" if clear else "evening.change",
        change=change_label(data, change.rung.parts),
        verdict=verdict,
        ratio=ratio_label(comparison),
        interval=told_interval(comparison),
    )
    if change.worth is None:
        return f"{told} {say('evening.worth_open')}"
    return f"{told} {worth_sentence(data, found.mask, change.rung.configuration, change.worth)}"


def worth_sentence(data: Dataset, mask: str, configuration: str, worth: WorthIt) -> str:
    """Say whether one more donning is worth it, of which of the two, and what a difference as seen would take."""
    which = mask if worth.fewer == "a" else configuration
    donning = set_up_phrase(data, which, mask)
    worthy = worth.next.chance >= WORTH_ONE_MORE
    said = say(
        "evening.worth_it" if worthy else "evening.not_worth_it",
        donning=donning,
        chance=chance_text(worth.next.chance),
        each=chance_text(worth.each.chance),
    )
    if worth.a.now[0] != "cannot-tell" or not worth.for_seen:
        return said
    return f"{said} {say('evening.for_seen', donnings=count('more_donning', worth.for_seen))}"


def _parts(data: Dataset, found: Evening) -> Iterator[str]:
    if found.parts is None:
        return
    for wearer in wearer_parts(data, [found.parts]):
        rows = (say("evening.part", part=row.part, ratio=row.ratio, interval=row.interval) for row in wearer.rows)
        yield say("evening.parts", tried=wearer.tried, parts="; ".join(rows))


def take_sentence(data: Dataset, number: int, configuration: str, row: pd.Series) -> str:
    """Name the take that was just made."""
    shown = fit(row["fit_factor"], row["at_least"])
    label = configuration_label(data, configuration)
    said = say("evening.take", number=number, configuration=label, wearer=row["wearer"], figure=shown)
    return f"{said} {say('evening.aside', reason=row['set_aside'])}" if row["set_aside"] else said
