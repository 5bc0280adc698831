"""What a mask is introduced with: what a change did on the wearers of both, before any figure over other faces."""

from __future__ import annotations

from collections.abc import Sequence

from builder.findings.dataset import Dataset, Row
from builder.findings.seal_and_filter import inflow
from builder.findings.standing import leading, standing
from builder.findings.wearer_run import wearer_runs
from builder.fit.compare.ladders import Rung
from builder.fit.compare.two_configurations import Comparison
from builder.words.catalogue import count, say
from builder.words.comparisons import set_up_phrase, verdict_sentence, verdict_words
from builder.words.labels import change_label, mask_label
from builder.words.numbers import figure, fit, small_n, times
from builder.words.vocabulary_words import within
from builder.words.wearer_run_words import WearerRunWords, wearer_run_words

FEWEST_OF_ONE = 3
"""Configurations of one tester that say more together than the best of them beside the mask as sold."""


def mask_lead(data: Dataset, mask: str) -> tuple[str, ...]:
    """Say in sentences what is known of a mask; at most one of them gives a figure over other wearers."""
    rows = [row for row in data.summary_by_mask.get(mask, []) if row["tests"]]
    if not rows:
        return (say("mask.untested"),)
    sold, best = _sold_and_best(rows)
    if sold is None:
        assert best is not None  # there are rows, and none is as sold
        change = change_label(data, best["parts"])
        wearers = count("wearer", best["wearers"])
        return (say("mask.only_changed", change=change, median=_median(best), wearers=wearers),)
    if words := _one_tester(data, mask, rows):
        return words.seen, words.verdict, words.next_step, small_n(1)
    half = say("mask.half", median=_median(sold), wearers=count("wearer", sold["wearers"]))
    if best is None:
        return tuple(said for said in (half, small_n(sold["wearers"])) if said)
    rungs = data.ladders.get(mask, ())
    if rung := leading(rungs):
        found = rung.comparison
        told = verdict_sentence(found, *(set_up_phrase(data, *pair) for pair in _pairs(found)))
        return told, half
    return half, nothing_told(rungs)


def nothing_told(rungs: Sequence[Rung]) -> str:
    """Say that no change of a mask can be told from it as sold, on the wearers of both; or that faces differ."""
    both = [rung.comparison for rung in rungs if rung.comparison.same_wearers]
    if not both:
        return say("mask.other_faces")
    wearers = count("wearers_of_both", len({one.wearer for found in both for one in found.wearers}))
    return say("mask.nothing_told", changes=count("untold_change", len(both)), wearers=wearers)


def _one_tester(data: Dataset, mask: str, rows: list[Row]) -> WearerRunWords | None:
    """Put into words what one wearer's donnings tell, where nobody else tested the mask and they are of several."""
    if len(rows) < FEWEST_OF_ONE:
        return None
    faces = data.measured_arms.by_configuration
    wearers = {face.wearer for row in rows for face in faces[row["configuration"]]}
    runs = wearer_runs(data, mask, rungs=data.ladders.get(mask, ()), most=1) if len(wearers) == 1 else ()
    return wearer_run_words(data, runs[0]) if runs else None


def mask_description(data: Dataset, mask: str) -> str:
    """Introduce a mask in one line, for lists of search engines and previews of links."""
    label = mask_label(data.entries.masks[mask].mask)
    sold, best = _sold_and_best([row for row in data.summary_by_mask.get(mask, []) if row["tests"]])
    if sold is None:
        return say("mask.about_nothing", mask=label)
    figures = {"mask": label, "median": _median(sold), "wearers": count("wearer", sold["wearers"])}
    if best is None:
        return say("mask.about_sold", **figures)
    rungs = data.ladders.get(mask, ())
    if rung := leading(rungs):
        change = say("mask.change", change=change_label(data, rung.parts), did=beside_sold(rung.comparison))
        return say("mask.about", **figures, change=change)
    if any(rung.comparison.same_wearers for rung in rungs):
        return f"{say('mask.about_sold', **figures)} {nothing_told(rungs)}"
    return say("mask.about_other_faces", **figures)


def beside_sold(found: Comparison) -> str:
    """Say how many times the fit factor as sold it gave, on whom and how sure that is; for nobody that faces differ."""
    if not found.same_wearers:
        return say("mask.nobody_both")
    wearers = count("wearers_of_both", len({one.wearer for one in found.wearers}))
    if found.ratio is None:
        return say("mask.open", wearers=wearers)
    ratio = times(found.ratio)
    if found.bound != "none":
        ratio = say("mask.at_least" if found.bound == "at_least" else "mask.at_most", ratio=ratio)
    return say("mask.did", ratio=ratio, wearers=wearers, verdict=verdict_words(found))


def _sold_and_best(rows: list[Row]) -> tuple[Row | None, Row | None]:
    sold = next((row for row in rows if not row["parts"]), None)
    return sold, max((row for row in rows if row["parts"]), key=standing, default=None)


def _pairs(found: Comparison) -> tuple[tuple[str, str], tuple[str, str]]:
    return (found.a, found.b), (found.b, found.a)


def _median(row: Row) -> str:
    return fit(row["median_fit_factor"], row["median_at_least"])


def filter_note(data: Dataset, mask: str) -> str:
    """Say what the filter's penetration means beside the mask's fit factors; "" where none is stated."""
    stated = data.entries.masks[mask].mask.filter
    if stated is None:
        return ""
    if stated.size_selection is None:
        return say("mask.filter_sizes_unknown")
    found = inflow(data, mask)
    sizes = within(stated.size_selection)
    if found is None:
        return say("mask.filter_alone", sizes=sizes)
    return say(
        "mask.filter_and_seal",
        tests=count("test", found.tests),
        sizes=sizes,
        total=figure(100 * found.total),
        through=figure(100 * (found.total - found.seal)),
        seal=figure(100 * found.seal),
        tight=figure(found.tight),
    )
