"""What one tester's donnings of one mask tell, as an expert would say it: what lies where, a verdict, a next step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.findings.dataset import Dataset
from builder.findings.wearer_run import Donned, Parted, WearerRun, times_again
from builder.fit.compare.two_configurations import Comparison
from builder.words.catalogue import count, say
from builder.words.chances import chance_text
from builder.words.labels import change_label, configuration_label, part_label, wearer_label
from builder.words.numbers import figure, fit, times


@dataclass(frozen=True)
class WearerRunWords:
    """What is said of a run: what was seen, what that is worth, and what to don next."""

    wearer: str
    seen: str
    verdict: str
    next_step: str

    @property
    def text(self) -> str:
        """The three as one paragraph."""
        return " ".join(said for said in (self.seen, self.verdict, self.next_step) if said)


def wearer_run_words(data: Dataset, run: WearerRun) -> WearerRunWords:
    """Put a run into words."""
    parted = [_parted(data, run.parted)] if run.parted else []
    low, high = (change_label(data, _parts(configuration)) for configuration in run.again.configurations)
    donnings = count("more_donning", run.again.times)
    return WearerRunWords(
        wearer_label(run),
        " ".join([*parted, _reached(data, run)]),
        _verdict(data, run),
        say("wearer_run.next_single" if run.single else "wearer_run.next", low=low, high=high, donnings=donnings),
    )


def _parted(data: Dataset, parted: Parted) -> str:
    high, low = (parted.with_it, parted.without) if parted.above else (parted.without, parted.with_it)
    return say(
        "wearer_run.above" if parted.above else "wearer_run.below",
        with_it=len(parted.with_it),
        part=part_label(data, parted.part),
        without=len(parted.without),
        high=_span(high),
        low=_span(low),
        luck=_luck(parted),
    )


def _luck(parted: Parted) -> str:
    """Say how often luck does this; where several parts could have been named, how often it does it with any."""
    if parted.by_luck > 2 / parted.orders + 1e-9:
        return say("wearer_run.luck_parts_some", orders=parted.orders, some=chance_text(parted.by_luck))
    return say("wearer_run.luck_parts", orders=parted.orders)


def _span(donned: Sequence[Donned]) -> str:
    lowest, highest = (choose(donned, key=lambda one: one.fit_factor) for choose in (min, max))
    return say("figure.between", low=_figure(lowest), high=_figure(highest))


def _reached(data: Dataset, run: WearerRun) -> str:
    tried, best = count("configuration", len(run.donned)), run.donned[0]
    if run.reached:
        label = change_label(data, _parts(best.configuration))
        return say("wearer_run.reached", reached=len(run.reached), tried=tried, best=label, figure=_figure(best))
    if run.reference is None:
        return say("wearer_run.none_reached", tried=tried)
    reference = configuration_label(data, run.reference.configuration)
    return say("wearer_run.none_but", tried=tried, reference=reference, figure=_figure(run.reference))


def _verdict(data: Dataset, run: WearerRun) -> str:
    told = [part for part in run.parts if part.verdict in ("clear", "likely")]
    luck = [part_label(data, part.part) for part in run.parts if part.verdict not in ("clear", "likely")]
    if not told and run.parted is None:
        return say("wearer_run.nothing_told")
    said = []
    if not told and run.parted:
        part = part_label(data, run.parted.part)
        said.append(say("wearer_run.hint", part=part))
        luck.remove(part)
    for one in told:
        higher = one.ratio is not None and one.ratio > 1
        if one.verdict == "clear":
            verdict = say("verdict_words.clear_higher" if higher else "verdict_words.clear_lower")
        else:
            verdict = say("verdict_words.likely_higher" if higher else "verdict_words.likely_lower")
        part = part_label(data, one.part)
        said.append(
            say("wearer_run.told", verdict=verdict[:1].upper() + verdict[1:], part=part, ratio=times(one.ratio))
        )
    return " ".join([*said, *([say("wearer_run.luck", parts=", ".join(luck))] if luck else [])])


def again_sentence(found: Comparison) -> str:
    """Say what one tester should don next to tell two apart; "" where they are, or several tried both."""
    if len(found.wearers) != 1 or found.verdict != "cannot-tell":
        return ""
    return say("wearer_run.again", donnings=count("more_donning", times_again(found.donnings_for_seen)))


def _figure(one: Donned) -> str:
    return fit(one.fit_factor, one.at_least) if one.at_least else figure(one.fit_factor)


def _parts(configuration: str) -> str:
    return configuration.partition("+")[2]
