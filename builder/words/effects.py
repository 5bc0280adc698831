"""What a part does, in words and figures."""

from __future__ import annotations

import math

from builder.fit.compare.factorial import ConditionalEffect
from builder.fit.compare.hack_contrasts import HackContrast
from builder.fit.compare.hack_effects import HackEffect
from builder.words.catalogue import count, say
from builder.words.chances import in_people
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
    """Say what a part did, over how many comparisons and faces, and how many more only give a limit."""
    if not effect.contrasts:
        return say("effect.not_known")
    comparisons, faces, masks = rests_on(effect)
    interval = between(effect.low95, effect.high95)
    exact = effect.exact
    if effect.mean_ratio is not None:
        ratio = times(effect.mean_ratio)
        said = say("effect.mean", ratio=ratio, interval=interval, comparisons=comparisons, faces=faces, masks=masks)
    elif effect.pooled:
        said = say("effect.mean_limit", interval=interval, comparisons=comparisons, faces=faces, masks=masks)
    elif exact:
        said = say("effect.one_face", ratio=ratio_text(exact[0]), wearer=exact[0].wearer, mask=exact[0].mask)
    elif effect.limits:
        said = say("effect.only_limits", comparisons=comparisons, faces=faces)
    else:
        return say("effect.only_unknown", comparisons=comparisons, faces=faces)
    unknown = len(effect.contrasts) - effect.k - effect.limits
    more = [count("more_limit", effect.limits)] if exact and effect.limits else []
    more += [count("more_unknown", unknown)] if unknown else []
    mixed = sum(one.method == "mixed" for one in effect.contrasts)
    more += [count("mixed_method", mixed)] if mixed else []
    return " ".join([said, *more])


def rests_on(effect: HackEffect) -> tuple[str, str, str]:
    """Count comparisons, faces and masks behind the figures: of those that give a ratio, else of the limits."""
    rest = effect.exact or effect.one_sided or effect.contrasts
    faces, masks = len({one.wearer for one in rest}), len({one.mask for one in rest})
    return count("comparison", len(rest)), count("face", faces), count("mask", masks)


def expectation_sentence(effect: HackEffect) -> str:
    """Say what to expect on a face that has not tried the part; "" where nothing can be said."""
    if effect.chance_helps is None or effect.chance_helps_new_mask is None or effect.between_faces is None:
        return ""
    spread = effect.between_faces.interval
    chance, new_chance = in_people(effect.chance_helps), in_people(effect.chance_helps_new_mask)
    return say(
        "effect.expectation",
        interval=between(effect.predict_low95, effect.predict_high95),
        masks=count("listed_mask", len({one.mask for one in (*effect.exact, *effect.one_sided)})),
        new_mask=between(effect.predict_new_mask_low95, effect.predict_new_mask_high95),
        chance=chance if chance == new_chance else say("effect.chances", chance=chance, new_chance=new_chance),
        spread=heterogeneity_words(effect),
        low=times(math.exp(spread.low)),
        high=times(math.exp(spread.high)),
    )


def heterogeneity_words(effect: HackEffect) -> str | None:
    """Say how much a part's effect differs between faces; None where nothing is pooled."""
    if effect.heterogeneity is None:
        return None
    return say(f"heterogeneity.{effect.heterogeneity}")


def method_text(contrast: HackContrast) -> str:
    """Say what was taken out between ways of measuring; "" where both sides were measured alike."""
    return "" if contrast.method_factor is None else say("effect.mixed_method", factor=times(contrast.method_factor))


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
