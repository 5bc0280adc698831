"""What a change does, in words and figures: sentences for hack pages and verdicts for the list of a mask."""

from __future__ import annotations

from builder.fit.compare.factorial import ConditionalEffect
from builder.fit.compare.hack_effects import HackContrast, HackEffect
from builder.fit.compare.verdicts import Judgement
from builder.fit.levels import SHOWN_LEVEL
from builder.words.numbers import between, level, plural, times


def ratio_text(contrast: HackContrast) -> str:
    """Print one contrast: its ratio, or the limit that it is, and its 95 % interval."""
    if contrast.bound == "both":
        return "both sides are lower limits: cannot tell"
    limit = {"at_least": "at least ", "at_most": "at most "}.get(contrast.bound, "")
    return f"{limit}{times(contrast.ratio)} [{between(contrast.low95, contrast.high95)}]"


def effect_sentence(effect: HackEffect) -> str:
    """Say what a part did, and over how many faces."""
    faces = plural(len({c.wearer for c in effect.contrasts}), "face")
    masks = plural(len({c.mask for c in effect.contrasts}), "mask")
    if not effect.contrasts:
        return "nobody has tried it with and without on the same face, so its effect is not known."
    limits = f" {plural(effect.limits, 'more comparison')} only give a limit." if effect.limits else ""
    if effect.mean_ratio is None:
        exact = [c for c in effect.contrasts if c.bound == "none"]
        if not exact:
            return f"the {plural(effect.limits, 'comparison')} on {faces} only give a limit."
        return f"{ratio_text(exact[0])} on {exact[0].wearer} and {exact[0].mask} alone: one face is no rule.{limits}"
    return (
        f"on average {times(effect.mean_ratio)} ({level(SHOWN_LEVEL)} {between(effect.low95, effect.high95)}), "
        f"over {plural(effect.k, 'comparison')} on {faces} and {masks}.{limits}"
    )


def expectation_sentence(effect: HackEffect) -> str:
    """Say what to expect on a face that has not tried the part; "" where nothing can be said."""
    if effect.predict_low95 is None or effect.chance_helps is None:
        return ""
    chance = min(95, max(5, 5 * round(20 * effect.chance_helps)))
    bound = {95: "at least ", 5: "at most "}.get(chance, "about ")
    return (
        f"On a new face expect {between(effect.predict_low95, effect.predict_high95)} ({level(SHOWN_LEVEL)}); "
        f"the chance that it helps at all is {bound}{chance} %. The effect {_spread(effect)}."
    )


def _spread(effect: HackEffect) -> str:
    words = effect.heterogeneity or ""
    if words.startswith("too few"):
        return f"was tried on {words}"
    return f"is {words}" if words.startswith("much the same") else words


def interaction_sentence(place: str, effect: ConditionalEffect, name: str, other: str) -> str:
    """Say how a part acts where another one is fitted; `place` names the wearer and the mask."""
    apart, together = effect.apart, effect.together
    return (
        f"On {place}, {name} gave {times(apart.ratio)} without {other} "
        f"({between(apart.low95, apart.high95)}) and {times(together.ratio)} with it "
        f"({between(together.low95, together.high95)})."
    )


def verdict_words(judged: Judgement) -> str:
    """Say a verdict on B beside A in a few words."""
    if judged.verdict == "alike":
        return "about the same"
    if judged.verdict == "cannot-tell":
        return "cannot tell"
    how = "clearly" if judged.verdict == "clear" else "likely"
    return f"{how} {'higher' if judged.direction == 'b-higher' else 'lower'}"
