"""What a part does, in words and figures."""

from __future__ import annotations

from builder.fit.compare.factorial import ConditionalEffect
from builder.fit.compare.hack_effects import HackContrast, HackEffect
from builder.words.catalogue import count, say
from builder.words.chances import chance_text
from builder.words.numbers import between, times


def ratio_text(contrast: HackContrast) -> str:
    """Print one contrast: its ratio, or the limit that it is, and its 95 % interval."""
    if contrast.bound == "both":
        return say("effect.both_limits")
    ratio, interval = times(contrast.ratio), between(contrast.low95, contrast.high95)
    if contrast.bound == "at_least":
        return say("effect.ratio_at_least", ratio=ratio, interval=interval)
    return say(
        "effect.ratio_at_most" if contrast.bound == "at_most" else "effect.ratio", ratio=ratio, interval=interval
    )


def effect_sentence(effect: HackEffect) -> str:
    """Say what a part did, and over how many faces."""
    faces = count("face", len({c.wearer for c in effect.contrasts}))
    masks = count("mask", len({c.mask for c in effect.contrasts}))
    if not effect.contrasts:
        return say("effect.not_known")
    exact = [c for c in effect.contrasts if c.bound == "none"]
    if effect.mean_ratio is not None:
        interval = between(effect.low95, effect.high95)
        comparisons = count("comparison", effect.k)
        ratio = times(effect.mean_ratio)
        said = say("effect.mean", ratio=ratio, interval=interval, comparisons=comparisons, faces=faces, masks=masks)
    elif exact:
        said = say("effect.one_face", ratio=ratio_text(exact[0]), wearer=exact[0].wearer, mask=exact[0].mask)
    else:
        return say("effect.only_limits", comparisons=count("comparison", effect.limits), faces=faces)
    return f"{said} {count('more_limit', effect.limits)}" if effect.limits else said


def expectation_sentence(effect: HackEffect) -> str:
    """Say what to expect on a face that has not tried the part; "" where nothing can be said."""
    if effect.predict_low95 is None or effect.chance_helps is None:
        return ""
    interval = between(effect.predict_low95, effect.predict_high95)
    return say("effect.expectation", interval=interval, chance=chance_text(effect.chance_helps), spread=_spread(effect))


def interaction_sentence(place: str, effect: ConditionalEffect, name: str, other: str) -> str:
    """Say how a part acts where another one is fitted; `place` names the wearer and the mask."""
    apart, together = effect.apart, effect.together
    return say(
        "effect.interaction",
        place=place,
        part=name,
        other=other,
        apart=times(apart.ratio),
        apart_interval=between(apart.low95, apart.high95),
        together=times(together.ratio),
        together_interval=between(together.low95, together.high95),
    )


def _spread(effect: HackEffect) -> str:
    words = effect.heterogeneity or ""
    if words.startswith("too few"):
        return say("effect.tried_on", spread=words)
    return say("effect.spread", spread=words) if words.startswith("much the same") else words
