"""The run sheet: a plan in words, row by row, with what it can tell, how long it takes and what to beware of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from builder.findings.dataset import Dataset
from builder.fit.levels import CHANGE_MINUTES, WEARING_MINUTES
from builder.fit.plan.fractions import AS_SOLD, Combination, Factor
from builder.fit.plan.planned_run import Plan, RunOutlook, outlook
from builder.fit.plan.run_order import Donning, changes
from builder.records.vocabulary import PROTOCOL_TIMES, Protocol, Slot
from builder.words.bench_cautions import bench_cautions
from builder.words.catalogue import say
from builder.words.labels import change_label, mask_label, part_label
from builder.words.plan_words import basis_sentence, cannot_tell_sentences, drift_sentence, telling_sentences
from builder.words.vocabulary_words import within


@dataclass(frozen=True)
class RunSheetLine:
    """One donning: its number in the run, on which specimen, what is worn, and what to change from the row before."""

    number: int
    specimen: int
    configuration: str
    wear: str
    change: str
    purpose: str


@dataclass(frozen=True)
class RunSheet:
    """Everything on the sheet. `minutes` leave out the exercises where the protocol does not say how long they take."""

    mask: str
    mask_label: str
    wearer: str
    protocol: str
    seed: int
    donnings: int
    half: bool
    configurations: int
    specimens: int
    lines: tuple[RunSheetLine, ...]
    minutes: int
    minutes_exercises: bool
    outlook: RunOutlook
    basis: str
    telling: tuple[str, ...]
    cannot_tell: tuple[str, ...]
    drift: str
    specimens_why: str
    cautions: tuple[str, ...]


def run_sheet(data: Dataset, mask: str, plan: Plan, *, wearer: str, protocol: Protocol) -> RunSheet:
    """Put a plan in words. `wearer` is "" where nobody is named yet."""
    found = outlook(plan, data.scatter)
    steps = [changes(before.configuration, after.configuration) for before, after in _neighbours(plan)]
    minutes = len(plan.run) * (WEARING_MINUTES + _sampling_minutes(protocol)) + sum(steps) * CHANGE_MINUTES
    return RunSheet(
        mask=mask,
        mask_label=mask_label(data.entries.masks[mask].mask),
        wearer=wearer,
        protocol=protocol.value,
        seed=plan.seed,
        donnings=plan.donnings,
        half=plan.half,
        configurations=len(plan.configurations),
        specimens=plan.specimens,
        lines=_lines(data, mask, plan),
        minutes=round(minutes),
        minutes_exercises=protocol in PROTOCOL_TIMES,
        outlook=found,
        basis=basis_sentence(data, found),
        telling=telling_sentences(data, found),
        cannot_tell=cannot_tell_sentences(data, plan.cannot_tell),
        drift=drift_sentence(data, found, plan.donnings),
        specimens_why=_specimens_why(data, plan),
        cautions=(
            *run_cautions(),
            *_part_cautions(data, plan.factors),
        ),
    )


def _sampling_minutes(protocol: Protocol) -> float:
    """How long the protocol samples, ambient air included; 0 where it does not say."""
    timing = PROTOCOL_TIMES.get(protocol)
    if timing is None:
        return 0.0
    between = timing.ambient_start_s * (len(timing.steps) - 1) if timing.ambient_between else 0.0
    exercises = sum(step.seconds for step in timing.steps)
    return (timing.ambient_start_s + exercises + between + timing.ambient_end_s) / 60


def _changed_parts(factors: Sequence[Factor], configuration: Combination) -> dict[Slot, str]:
    """The parts of a configuration by slot, in slot order."""
    fitted = {Slot(f.slot): part for f, part in zip(factors, configuration, strict=True) if part != AS_SOLD}
    return {slot: fitted[slot] for slot in Slot if slot in fitted}


def _lines(data: Dataset, mask: str, plan: Plan) -> tuple[RunSheetLine, ...]:
    lines = []
    before = None
    for number, donning in enumerate(plan.run, start=1):
        parts = list(_changed_parts(plan.factors, donning.configuration).values())
        lines.append(
            RunSheetLine(
                number=number,
                specimen=donning.specimen,
                configuration="+".join((mask, *parts)),
                wear=change_label(data, "+".join(parts)),
                change=_change(data, plan, before, donning),
                purpose=donning.purpose,
            )
        )
        before = donning
    return tuple(lines)


def _neighbours(plan: Plan) -> Iterator[tuple[Donning, Donning]]:
    """Rows one after the other on the same specimen."""
    return ((before, after) for before, after in pairwise(plan.run) if before.specimen == after.specimen)


def _change(data: Dataset, plan: Plan, before: Donning | None, after: Donning) -> str:
    if before is None or before.specimen != after.specimen:
        return say("sheet.take_specimen", specimen=after.specimen) if plan.specimens > 1 else say("sheet.take_mask")
    steps = [
        _step(data, old, new, new in factor.lasting)
        for factor, old, new in zip(plan.factors, before.configuration, after.configuration, strict=True)
        if old != new
    ]
    return "; ".join(steps) if steps else say("sheet.nothing")


def _step(data: Dataset, old: str, new: str, lasting: bool) -> str:
    if new == AS_SOLD:
        return say("sheet.take_off", part=part_label(data, old))
    if new not in data.entries.parts:
        slot = Slot(new.removeprefix("no-"))
        return say("sheet.take_out", slot=within(slot))
    fit = say("sheet.fit_for_good" if lasting else "sheet.fit", part=part_label(data, new))
    return fit if old == AS_SOLD else f"{say('sheet.take_off', part=part_label(data, old))}, {fit}"


def _specimens_why(data: Dataset, plan: Plan) -> str:
    """Say which parts stay on for good, and what follows from that; "" where every part comes off again."""
    lasting = [part_label(data, part) for factor in plan.factors for part in factor.parts if part in factor.lasting]
    if not lasting:
        return ""
    cannot = say("sheet.lasting", parts="; ".join(lasting))
    if plan.specimens == 1:
        return cannot
    return f"{cannot} {say('sheet.specimens', specimens=plan.specimens)}"


def run_cautions() -> tuple[str, ...]:
    """Say what to beware of during a run."""
    return (
        say("sheet.caution_seal"),
        say("sheet.caution_straps"),
        say("sheet.caution_one"),
        say("sheet.caution_health"),
        say("sheet.caution_probe"),
        say("sheet.caution_again"),
        *bench_cautions(),
    )


def _part_cautions(data: Dataset, factors: Sequence[Factor]) -> tuple[str, ...]:
    parts = (data.part(token) for factor in factors for token in factor.parts)
    return tuple(dict.fromkeys(caution for part in parts if part for caution in part.cautions))
