"""What a comparison of two configurations says, in sentences. The compare page's script chooses the same ones."""

from __future__ import annotations

from collections.abc import Iterable

from builder.findings.dataset import Dataset
from builder.fit.compare.two_configurations import Comparison
from builder.fit.compare.verdicts import Judgement
from builder.fit.levels import FEW_FACES
from builder.words.catalogue import count, say
from builder.words.labels import change_label, mask_label
from builder.words.numbers import between, figure, small_n, times


def set_up_phrase(data: Dataset, configuration: str, beside: str) -> str:
    """Name a configuration within a sentence that compares it: the mask only where the two have different ones."""
    mask, _, parts = configuration.partition("+")
    change = change_label(data, parts)
    phrase = say("set_up.changed", change=change) if parts else change
    if mask == beside.partition("+")[0]:
        return phrase
    return say("set_up.other_mask", mask=mask_label(data.entries.masks[mask].mask), set_up=phrase)


def verdict_sentence(found: Comparison, a: str, b: str) -> str:
    """Say what is known of B beside A, both named as by `set_up_phrase`."""
    further = _further_sentence(found) if found.same_wearers else say("verdict.nobody_both")
    return f"{_judgement_sentence(found, a, b)} {further}".rstrip()


def prediction_sentence(found: Comparison) -> str:
    """Say what to expect on a new face; "" where too few wearers tried both."""
    if found.predict_low95 is None and found.predict_high95 is None:
        return ""
    return say("verdict.prediction", interval=between(found.predict_low95, found.predict_high95))


def further_sentences(found: Comparison, a: str, b: str) -> tuple[str, ...]:
    """Say how it was measured, what draws the ratio, what to expect on a new face and who tried one; "" for nothing."""
    return (
        measured_sentence(found),
        shrunk_sentence(found),
        prediction_sentence(found),
        only_sentence(found, a, b),
    )


def measured_sentence(found: Comparison) -> str:
    """Say how many wearers were measured alike, and what was taken out for the rest; "" where nothing needs saying."""
    taken = found.method_adjustment
    out = (
        ""
        if taken is None
        else say("measured.taken_out", factor=times(taken.factor), interval=between(taken.low90, taken.high90))
    )
    same, mixed = found.wearers_same_method, found.wearers_mixed_method
    if not found.same_wearers:
        return say("measured.other_faces", taken=out) if out else ""
    if not mixed:
        return say("measured.alike", wearers=count("wearer", same))
    if not out:
        return say("measured.nothing_told", wearers=count("wearer", mixed))
    if not same:
        return say("measured.differently", wearers=count("wearer", mixed), taken=out)
    return say("measured.some_alike", alike=count("wearer", same), others=count("wearer", mixed), taken=out)


def shrunk_sentence(found: Comparison) -> str:
    """Say that the ratio is drawn towards 1, where few wearers stand behind it."""
    if found.ratio is None or found.bound != "none" or not 1 < found.pooled < FEW_FACES:
        return ""
    return say("verdict.shrunk", wearers=count("wearer", found.pooled))


def shrunk_list_sentence(shown: Iterable[Comparison]) -> str:
    """Say the same of those of a list that it is true of; "" where it is of none."""
    return say("mask.shrunk_list") if any(shrunk_sentence(found) for found in shown) else ""


def only_sentence(found: Comparison, a: str, b: str) -> str:
    """Say how many wearers tried only one of the two; "" for none."""
    one_sided = ((found.only_a, a), (found.only_b, b))
    only = "; ".join(say("verdict.only", set_up=name, wearers=count("wearer", n)) for n, name in one_sided if n)
    return say("verdict.tested", only=only) if only else ""


def verdict_words(judged: Judgement) -> str:
    """Say a verdict on B beside A in a few words."""
    if judged.verdict == "alike":
        return say("verdict_words.alike")
    if judged.verdict == "cannot-tell":
        return say("verdict_words.cannot_tell")
    higher = judged.direction == "b-higher"
    if judged.verdict == "clear":
        return say("verdict_words.clear_higher" if higher else "verdict_words.clear_lower")
    return say("verdict_words.likely_higher" if higher else "verdict_words.likely_lower")


def ratio_label(judged: Judgement) -> str:
    """Print a ratio, marked where it is a limit: "≥ ×2.1"; "–" for none."""
    ratio = times(judged.ratio)
    if judged.bound == "at_least":
        return say("figure.at_least", figure=ratio)
    return say("figure.at_most", figure=ratio) if judged.bound == "at_most" else ratio


def told_interval(found: Comparison) -> str:
    """Print the interval that a verdict rests on: the wider one where it is clear."""
    clear = found.verdict == "clear"
    return between(found.low99, found.high99) if clear else between(found.low90, found.high90)


def _judgement_sentence(found: Comparison, a: str, b: str) -> str:
    who = _who(found)
    if found.ratio is None:
        return say("verdict.open", who=who)
    interval = between(found.low90, found.high90)
    if found.verdict == "alike":
        return say("verdict.alike", a=a, b=b, ratio=times(found.ratio), interval=interval, who=who)
    ratio = _ratio_words(found.ratio, found.bound)
    if found.verdict == "cannot-tell":
        return say("verdict.cannot_tell", a=a, b=b, ratio=ratio, interval=interval, who=who)
    return _difference_sentence(found, ratio, a, b)


def _difference_sentence(found: Comparison, ratio: str, a: str, b: str) -> str:
    clear = found.verdict == "clear"
    filled = {"b": b, "ratio": ratio, "interval": told_interval(found), "who": _who(found)}
    if found.direction == "b-higher":
        return say("verdict.clear_higher" if clear else "verdict.likely_higher", **filled)
    return say("verdict.clear_lower" if clear else "verdict.likely_lower", a=a, **filled)


def _further_sentence(found: Comparison) -> str:
    """Say what would tell more, where nobody can tell; otherwise how little few wearers tell."""
    if found.verdict != "cannot-tell":
        return small_n(_wearers(found))
    if found.bound != "none":
        return ""
    needed = found.donnings_needed
    if needed is None:
        return say("verdict.wearers_tell")
    if needed == 0:
        return f"{say('verdict.would_have_shown')} {_seen_sentence(found)}".rstrip()
    donnings = count("more_donning", needed)
    told = say("verdict.donnings_each_tell" if found.pooled > 1 else "verdict.donnings_tell", donnings=donnings)
    return f"{told} {_seen_sentence(found)}".rstrip()


def _seen_sentence(found: Comparison) -> str:
    """Say what the difference actually seen would take; "" where it is none."""
    if found.ratio == 1:
        return ""
    if found.donnings_for_seen is None:
        return say("verdict.seen_too_many")
    donnings = count("more_donning", found.donnings_for_seen)
    return say("verdict.seen_each_tell" if found.pooled > 1 else "verdict.seen_tell", donnings=donnings)


def _ratio_words(ratio: float, bound: str) -> str:
    if bound == "at_least":
        return say("ratio.at_least", ratio=figure(ratio))
    return say("ratio.at_most" if bound == "at_most" else "ratio.about", ratio=figure(ratio))


def _who(found: Comparison) -> str:
    if not found.same_wearers:
        return say("verdict.other_wearers")
    return say("verdict.same_wearers", wearers=count("tried_both", _wearers(found)))


def _wearers(found: Comparison) -> int:
    return len({c.wearer for c in found.wearers})
