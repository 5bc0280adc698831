"""What a comparison of two configurations says, in sentences; the compare page's script writes the same ones."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.fit.compare.contrasts import Comparison
from builder.fit.compare.verdicts import Judgement
from builder.fit.levels import LIKELY_LEVEL, SHOWN_LEVEL
from builder.words.labels import change_label, mask_label
from builder.words.numbers import between, figure, level, plural, small_n, times

LIMIT = {"at_least": "at least", "at_most": "at most"}
"""Words for a ratio that is only a limit."""

NOBODY_BOTH = "Nobody tried both on the same face: faces differ, and so the difference may be theirs."


def set_up_phrase(data: Dataset, configuration: str, beside: str) -> str:
    """Name a configuration within a sentence that compares it: the mask only where the two have different ones."""
    mask, _, parts = configuration.partition("+")
    change = change_label(data, parts)
    phrase = f"with {change}" if parts else change
    return phrase if mask == beside.partition("+")[0] else f"in {mask_label(data.entries.masks[mask].mask)} {phrase}"


def verdict_sentence(found: Comparison, a: str, b: str) -> str:
    """Say what is known of B beside A, both named as by `set_up_phrase`."""
    who = _who(found)
    if found.ratio is None:
        said = f"Cannot tell: readings of “at least” leave the ratio open {who}."
    elif found.verdict in ("clear", "likely"):
        said = _difference(found, a, b, who)
    elif found.verdict == "alike":
        said = f"Alike: {b} and {a} the fit factor was much the same ({_within90(found)}) {who}."
    else:
        about = f"{LIMIT.get(found.bound, 'about')} {figure(found.ratio)} times what it was {a}"
        fits = f"{between(found.low90, found.high90)} fits these tests too ({level(LIKELY_LEVEL)})"
        said = f"Cannot tell: {b} the fit factor was {about} {who}, but {fits}."
    further = _further_sentence(found) if found.same_wearers else NOBODY_BOTH
    return f"{said} {further}".rstrip()


def prediction_sentence(found: Comparison) -> str:
    """Say what to expect on a new face; "" where too few wearers tried both."""
    if found.predict_low95 is None and found.predict_high95 is None:
        return ""
    return f"On a new face expect {between(found.predict_low95, found.predict_high95)} ({level(SHOWN_LEVEL)})."


def only_sentence(found: Comparison, a: str, b: str) -> str:
    """Say how many wearers tried only one of the two; "" for none."""
    one_sided = ((found.only_a, a), (found.only_b, b))
    said = "; ".join(f"only {phrase}: {plural(n, 'wearer')}" for n, phrase in one_sided if n)
    return f"Tested {said}." if said else ""


def ratio_label(judged: Judgement) -> str:
    """Print a ratio, marked where it is a limit: "≥ ×2.1"; "–" for none."""
    return {"at_least": "≥\u202f", "at_most": "≤\u202f"}.get(judged.bound, "") + times(judged.ratio)


def _further_sentence(found: Comparison) -> str:
    """Say what would tell more, where nobody can tell; otherwise how little few wearers tell."""
    if found.verdict != "cannot-tell":
        return small_n(_wearers(found))
    if found.bound != "none":
        return ""
    needed = found.donnings_needed
    if needed is None:
        return "More wearers would tell more than more donnings of these."
    if needed == 0:
        return "A doubling would most likely have shown."
    each = "of each by each wearer" if found.pooled > 1 else "of each"
    return f"About {plural(needed, 'more donning')} {each} would show a doubling."


def _difference(found: Comparison, a: str, b: str, who: str) -> str:
    clear = found.verdict == "clear"
    level, low, high = (99, found.low99, found.high99) if clear else (90, found.low90, found.high90)
    ratio = f"{LIMIT.get(found.bound, 'about')} {figure(found.ratio)} times"
    how = f"{ratio} as high" if found.direction == "b-higher" else f"lower, {ratio} what it was {a}"
    interval = f"({level} % interval {between(low, high)})"
    return f"{'Clear' if clear else 'Likely'}: {b} the fit factor was {how} {interval} {who}."


def _within90(found: Comparison) -> str:
    return f"{times(found.ratio)}, {level(LIKELY_LEVEL)} interval {between(found.low90, found.high90)}"


def _who(found: Comparison) -> str:
    if not found.same_wearers:
        return "on different faces"
    return f"on {plural(_wearers(found), 'wearer')} who tried both"


def _wearers(found: Comparison) -> int:
    return len({c.wearer for c in found.wearers})
