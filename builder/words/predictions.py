"""What chances rest on, and why there are none, in plain sentences."""

from __future__ import annotations

from builder.findings.advice import Advice
from builder.findings.dataset import Dataset
from builder.findings.forecast import NoModel
from builder.fit.facemodel.reference import REFERENCE
from builder.fit.panel import LEAST_LENGTH_MM, LEAST_WIDTH_MM
from builder.records.vocabulary import Instrument, Protocol, SizeSelection
from builder.words.catalogue import count, say
from builder.words.numbers import plain, score
from builder.words.vocabulary_words import within


def no_model_sentence(why: NoModel) -> str:
    """Say why no chances are predicted."""
    if why.reason == "few-wearers":
        return say("no_model.few_wearers", needed=why.needed, wearers=why.wearers)
    if why.reason == "only-limits":
        return say("no_model.only_limits")
    return say("no_model.no_better")


def why_sentence(data: Dataset, advice: Advice) -> str:
    """Say what a list of what to try rests on."""
    if advice.small:
        return small_face_sentence(*advice.small)
    said = [say("prediction.outside")] if advice.outside_panel else []
    if advice.basis == "summaries":
        assert data.no_model is not None  # with a model there would be chances
        near = say("prediction.near_cell" if advice.by_cell else "prediction.near_wearers")
        whose = near if advice.near_only else say("prediction.all_wearers")
        said += [no_model_sentence(data.no_model), say("prediction.ranked", whose=whose)]
    else:
        assert data.validation is not None  # a model that is used has been checked
        ours, simple = data.validation.model.brier, data.validation.configuration_mean.brier
        if advice.wearer:
            said.append(say("prediction.given", wearer=advice.wearer))
        scores = {"model": score(ours), "mean": score(simple)}
        said.append(say("prediction.model", **scores) if ours < simple else say("prediction.model_as_well", **scores))
        said.append(reference_sentence())
    return " ".join(said)


def reference_sentence() -> str:
    """Say which method of measuring chances are stated for."""
    return say(
        "prediction.reference",
        protocol=within(Protocol(REFERENCE.protocol)),
        instrument=within(Instrument(REFERENCE.instrument)),
        sizes=within(SizeSelection(REFERENCE.size_selection)),
    )


def small_face_sentence(length_mm: float, width_mm: float) -> str:
    """Say why there is no list for a face below the panel's limits."""
    size = say("face.size", length=plain(length_mm), width=plain(width_mm))
    return say("face.small", size=size, length=plain(LEAST_LENGTH_MM), width=plain(LEAST_WIDTH_MM))


def list_check(data: Dataset) -> str:
    """Say how lists of three did on wearers left out; "" where nobody has tried three."""
    if data.validation is None or not data.validation.first_three.wearers:
        return ""
    three = data.validation.first_three
    passed = round(three.came_true * three.wearers)
    return say("prediction.check", wearers=three.wearers, claimed=f"{100 * three.claimed:.0f}", passed=passed)


def own_check_sentence(data: Dataset) -> str:
    """Say how much better chances were after own results of wearers left out; "" where nobody has told enough."""
    checks = data.validation.own_results if data.validation is not None else ()
    if len(checks) < 2:
        return ""
    none, one, last = checks[0], checks[1], checks[-1]
    scores = {name: score(check.model.brier) for name, check in (("none", none), ("one", one), ("last", last))}
    wearers = count("wearer", none.wearers)
    return say("prediction.own_check", wearers=wearers, told=last.told, **scores)
