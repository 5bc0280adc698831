"""What the page of one comparison says: its title, what it found, what to beware of."""

from __future__ import annotations

import math

from builder.findings.dataset import Dataset
from builder.fit.compare.two_configurations import Comparison
from builder.fit.compare.verdicts import Judgement
from builder.records.vocabulary import Slot
from builder.words.catalogue import count, say
from builder.words.comparisons import further_sentences, ratio_label, set_up_phrase, verdict_sentence, verdict_words
from builder.words.labels import change_label, configuration_label, is_medical, mask_label, slot_of
from builder.words.numbers import between, figure

_HARD_TO_BREATHE = (Slot.EDGE, Slot.BRACE)


def pair_title(data: Dataset, found: Comparison) -> str:
    """Name a comparison of a change with its mask as sold, or of two masks as sold."""
    mask, _, parts = found.b.partition("+")
    label = mask_label(data.entries.masks[mask].mask)
    if parts:
        return say("pair.change", mask=label, change=change_label(data, parts))
    return say("pair.masks", mask=label, other=mask_label(data.entries.masks[found.a].mask))


def pair_sentence(data: Dataset, found: Comparison) -> str:
    """Say what the comparison found."""
    return verdict_sentence(found, *_phrases(data, found))


def pair_description(data: Dataset, found: Comparison) -> str:
    """Say it in the line that previews of links show, and that it is invented where it is."""
    invented = [say("compare.invented")] if data.invented else []
    return " ".join([pair_sentence(data, found), *invented])


def pair_method(data: Dataset, found: Comparison) -> tuple[str, ...]:
    """Say how both were measured, what draws the ratio, what to expect on a new face, and what intervals rest on."""
    gsd = figure(math.exp(math.sqrt(data.scatter.stranger.variance)))
    scatter = say("compare.scatter_planned" if data.scatter.planned else "compare.scatter", gsd=gsd)
    return (*(said for said in further_sentences(found, *_phrases(data, found)) if said), scatter)


def pair_ratio(data: Dataset, found: Comparison) -> str:
    """Say the ratio with both of its intervals; "" where there is none."""
    if found.ratio is None:
        return ""
    likely, clear = between(found.low90, found.high90), between(found.low99, found.high99)
    first = configuration_label(data, found.a)
    return say("compare.ratio", ratio=ratio_label(found), first=first, likely=likely, clear=clear)


def pair_verdict(found: Comparison) -> str:
    """Say the verdict and on how many it rests, in the few words that a picture has room for."""
    wearers = count("wearers_of_both", len({one.wearer for one in found.wearers}))
    verdict = verdict_words(found)
    return say("pair.verdict", verdict=verdict[:1].upper() + verdict[1:], wearers=wearers)


def ratio_figures(judged: Judgement) -> str:
    """Print a ratio with its interval."""
    return say("effect.ratio", ratio=ratio_label(judged), interval=between(judged.low90, judged.high90))


def pair_cautions(data: Dataset, found: Comparison) -> tuple[str, ...]:
    """Give what the parts' own pages warn of, and what a mask of either side is not."""
    tokens = dict.fromkeys(token for side in (found.a, found.b) for token in side.partition("+")[2].split("+") if token)
    cautions = [caution for token in tokens if (part := data.part(token)) for caution in part.cautions]
    if any(slot_of(data, token) in _HARD_TO_BREATHE for token in tokens):
        cautions.append(say("harm.breathing"))
    if any(is_medical(data, side) for side in (found.a, found.b)):
        cautions.append(say("harm.medical"))
    return tuple(dict.fromkeys(cautions))


def _phrases(data: Dataset, found: Comparison) -> tuple[str, str]:
    return set_up_phrase(data, found.a, found.b), set_up_phrase(data, found.b, found.a)
