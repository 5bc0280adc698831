"""Schedules of a run as a person gives them: the id of a protocol, or a list of phases with their seconds."""

from __future__ import annotations

import re

from builder.fit.counts.run_log import Purge
from builder.fit.counts.sampled_air import AMBIENT, KINDS, MASK, OF_ONE, PURGE
from builder.fit.counts.schedule import PlannedPhase, RunSchedule
from builder.records.logs.log_messages import log_message
from builder.records.logs.log_said import EXERCISES
from builder.records.logs.log_words import said_phase
from builder.records.nearest_words import nearest, plain
from builder.records.problems import quoted
from builder.records.vocabulary import PROTOCOL_TIMES, PURGE_AMBIENT_S, PURGE_MASK_S, Protocol

USUAL_PURGE = Purge(PURGE_AMBIENT_S, PURGE_MASK_S)

_PHASE = re.compile(r"(?P<what>.*?)\s*(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>s|sec|seconds|min|minutes)?", re.IGNORECASE)
LONGEST_PHASE_S = 86_400.0


def schedule_of(text: str, purge: Purge = USUAL_PURGE) -> RunSchedule:
    """Read a schedule; `purge` is how long a protocol's hose is flushed.

    Raises ValueError, its text all that is wrong with it.
    """
    if is_protocol(text):
        return protocol_schedule(Protocol(plain(text)), purge)
    phases: list[PlannedPhase] = []
    faults = []
    for item in filter(None, map(str.strip, re.split(r"[,;\n]", text))):
        phase = _phase(item)
        if isinstance(phase, str):
            faults.append(phase)
        else:
            phases.append(phase)
    if not faults and {AMBIENT, MASK} - {phase.kind for phase in phases}:
        faults.append(log_message("one_air"))
    if faults:
        raise ValueError(" ".join(faults))
    return RunSchedule(tuple(phases))


def is_protocol(text: str) -> bool:
    """Whether a schedule is the id of a protocol."""
    return plain(text) in {protocol.value for protocol in Protocol}


def protocol_schedule(protocol: Protocol, purge: Purge = USUAL_PURGE) -> RunSchedule:
    """Give the published times of a protocol, with the hose flushed at each switch. Raises ValueError for none."""
    if protocol not in PROTOCOL_TIMES:
        timed = ", ".join(PROTOCOL_TIMES)
        raise ValueError(log_message("untimed_protocol", protocol=protocol, timed=timed))
    timing = PROTOCOL_TIMES[protocol]
    phases = [PlannedPhase(AMBIENT, 0, timing.ambient_start_s)]
    for number, step in enumerate(timing.steps):
        if phases[-1].kind == AMBIENT:
            phases.append(PlannedPhase(PURGE, 0, purge.mask))
        phases.append(PlannedPhase(MASK, EXERCISES.index(step.exercise.value), step.seconds))
        last = number == len(timing.steps) - 1
        if timing.ambient_between or last:
            air = timing.ambient_end_s if last else timing.ambient_start_s
            phases += [PlannedPhase(PURGE, 0, purge.ambient), PlannedPhase(AMBIENT, 0, air)]
    return RunSchedule(tuple(phase for phase in phases if phase.seconds > 0))


def _phase(item: str) -> PlannedPhase | str:
    """Read one phase, or say what is wrong with it."""
    match = _PHASE.fullmatch(item)
    if not match:
        if near := nearest(plain(item), [protocol.value for protocol in PROTOCOL_TIMES]):
            return log_message("no_protocol", item=quoted(item), word=near[0])
        return log_message("no_length", item=quoted(item), phase=item[:40])
    said = said_phase(match["what"])
    if said is None or said.phase not in OF_ONE:
        known = (*OF_ONE, *filter(None, EXERCISES))
        near = nearest(plain(match["what"]), known)
        remedy = log_message("meant_remedy", word=near[0]) if near else log_message("no_planned_phase_remedy")
        return f"{log_message('no_planned_phase', item=quoted(match['what']))} {remedy}"
    seconds = float(match["number"]) * (60 if (match["unit"] or "").lower().startswith("m") else 1)
    if not 0 < seconds <= LONGEST_PHASE_S:
        return log_message("odd_length", item=quoted(item))
    exercise = EXERCISES.index(said.exercise) if said.phase == "mask" else 0
    return PlannedPhase(KINDS.index(said.phase), exercise, seconds)
