"""Filled-in forms, drawn at random, and what they stand for: answers by the name of the question."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import Any

from builder.findings.dataset import Dataset
from builder.records.vocabulary import (
    PROTOCOL_TIMES,
    Aerosol,
    Exercise,
    FacialHair,
    Instrument,
    Leak,
    MaskClass,
    NoseBridge,
    Phase,
    Probe,
    Protocol,
    SizeSelection,
    Slot,
    Style,
    Word,
)

NEW = "+new"
Answers = dict[str, Any]

TEXTS = (
    "Plain words.",
    'He said "tight", then \\ and \\n, and a #hash = [table]',
    "Two lines:\nand a tab\there.",
    "ünïcödé, 日本語, emoji 😷🧵, Ω and µm",
    "حافة القناع، אטימה טובה",
    "'''single''' and \"\"\"triple\"\"\" quotes",
    "a\u2028line separator, a no-break\u00a0space, and\u200bnothing",
    "x" * 200,
)


@dataclass
class Draw:
    """Draws a form that the checker has nothing against."""

    data: Dataset
    chance: random.Random

    def form(self) -> Answers:
        """Draw every part of it."""
        mask = self.chance.choice([NEW, *self.data.entries.masks])
        answers = {"test.mask": mask, "test.date": "2024-05-18", "test.number": str(self.chance.randint(700, 900))}
        if mask == NEW:
            answers |= self.mask()
        return answers | self.changes(mask, answers) | self.face() | self.result() | self.rest()

    def maybe(self, answers: Answers) -> Answers:
        """Keep each answer or leave it out."""
        return {name: value for name, value in answers.items() if self.chance.random() < 0.6}

    def word(self, words: type[Word]) -> str:
        """Draw a word of a list."""
        return self.chance.choice(list(words)).value

    def text(self) -> str:
        """Draw a text of at most one line."""
        return self.chance.choice(TEXTS).replace("\n", " ")

    def mask(self) -> Answers:
        """Draw a new mask with what it has as sold."""
        serial = self.chance.randrange(10**6)
        sold = {f"mask.as_sold.{slot}": self.part_for(slot) for slot in Slot}
        return {
            "mask.model": f"Neu {serial}",
            "mask.maker": self.text(),
            "mask.style": self.word(Style),
            "mask.class": self.word(MaskClass),
            **self.maybe(
                {
                    "mask.size": "M/L",
                    "mask.notes": self.chance.choice(TEXTS),
                    "mask.filter.penetration_percent": str(self.chance.choice([0.00005, 0.3, 6, 100])),
                    "mask.source.link": "https://example.org/a?b=c&d=ü",
                    "mask.id": f"neu-{serial}-own",
                }
            ),
            **self.with_parts(self.maybe(sold)),
        }

    def part_for(self, slot: Slot) -> str:
        """Draw a known part of a slot, or a new one."""
        parts = [part for part, record in self.data.entries.parts.items() if record.part.slot is slot]
        return self.chance.choice([NEW, *parts])

    def changes(self, mask: str, answers: Answers) -> Answers:
        """Draw what differs from the mask as sold."""
        drawn: Answers = {}
        for slot in Slot:
            if mask == NEW:
                sold = answers.get(f"mask.as_sold.{slot}")
            else:
                sold = dict(self.data.entries.masks[mask].mask.as_sold.filled()).get(slot)
            part = self.chance.choice([self.part_for(slot), "none" if sold else NEW])
            if part != sold and self.chance.random() < 0.4:
                drawn[f"test.configuration.{slot}"] = part
        return self.with_parts(drawn)

    def with_parts(self, slots: Answers) -> Answers:
        """Add the new parts that some slots ask for."""
        new = [name for name, part in slots.items() if part == NEW]
        return slots | {key: value for name in new for key, value in self.part(f"part.{name}").items()}

    def part(self, name: str) -> Answers:
        """Draw a new part."""
        strip = self.chance.random() < 0.5
        measures = {"width_mm": "5", "thickness_mm": "0.8"} if strip else {"diameter_mm": "0.55"}
        section = {"shape": "strip" if strip else "round", "material": "annealed-steel", "count": "2"} | measures
        wire = name.endswith("nose-wire") and self.chance.random() < 0.7
        return {
            f"{name}.name": f"Teil {self.chance.randrange(10**9)}",
            f"{name}.material": self.text(),
            f"{name}.fitting": self.chance.choice(TEXTS),
            f"{name}.can_be_undone": self.chance.choice(["yes", "no"]),
            **({f"{name}.section.{key}": value for key, value in section.items()} if wire else {}),
            **self.maybe(
                {
                    f"{name}.dimensions": "85 mm, ⌀ 0.5 mm",
                    f"{name}.cautions": "Sharp ends.\n\n  Can slip.  ",
                    f"{name}.notes": self.chance.choice(TEXTS),
                    f"{name}.source.link": "http://example.org/",
                }
            ),
        }

    def face(self) -> Answers:
        """Draw a wearer, known or not, and the face."""
        answers = {"test.face.facial_hair": self.word(FacialHair)}
        if self.chance.random() < 0.4:
            return answers | {"test.face.wearer": self.chance.choice(sorted(set(self.data.table["wearer"])))}
        known = self.chance.choice(["mm", "cell", ""])
        answers |= {"test.face.wearer": f"grey-heron-{self.chance.randrange(10**6)}", "face.known": known}
        if known == "mm":
            answers |= {
                "test.face.length_mm": "117.5",
                "test.face.width_mm": self.chance.choice(["90", "138", "190.0"]),
            }
        if known == "cell":
            answers |= {"test.face.cell": str(self.chance.randint(1, 10))}
        return answers | self.maybe({"test.face.nose_bridge": self.word(NoseBridge)})

    def result(self) -> Answers:
        """Draw an overall value, exercises or counts."""
        protocol = self.chance.choice(list(Protocol))
        kind = self.chance.choice(["overall", "exercise", "counts"])
        answers: Answers = {"test.result.protocol": protocol.value, "result.kind": kind}
        answers |= self.maybe({"test.result.set_aside": self.text()}) if self.chance.random() < 0.4 else {}
        if kind == "overall":
            return answers | {
                "test.result.fit_factor": self.factor(),
                "test.result.at_least": self.chance.random() < 0.3,
            }
        steps = [step.exercise for step in PROTOCOL_TIMES[protocol].steps] if protocol in PROTOCOL_TIMES else []
        exercises = steps or [Exercise.TALKING, *self.chance.choices(list(Exercise), k=2)]
        if kind == "counts":
            return answers | self.counts(
                exercises, between=protocol in PROTOCOL_TIMES and PROTOCOL_TIMES[protocol].ambient_between
            )
        for place, exercise in enumerate(exercises):
            row = f"test.result.exercise.{place}"
            if not steps:
                answers[f"{row}.name"] = exercise.value
            if exercise is not Exercise.GRIMACE or self.chance.random() < 0.5:
                answers |= {f"{row}.fit_factor": self.factor(), f"{row}.at_least": self.chance.random() < 0.2}
        return answers

    def factor(self) -> str:
        """Draw a fit factor."""
        return self.chance.choice(["1", "64", "107.25", "10000000", str(self.chance.randint(2, 5000))])

    def counts(self, exercises: list[Exercise], between: bool) -> Answers:
        """Draw stretches of counts, ambient air at both ends and perhaps between."""
        measure = self.chance.choice(["particles", "concentration"])
        inside = {"particles": ["0", "3", "40"], "concentration": ["0.25", "3", "12.125"]}[measure]
        air = (Phase.AMBIENT, "", "4500")
        stretches = [air]
        for exercise in exercises:
            stretches += [(Phase.MASK, exercise.value, self.chance.choice(inside)), *([air] if between else [])]
        stretches = stretches if between else [*stretches, air]
        answers: Answers = {"counts.measure": measure}
        for place, (phase, name, value) in enumerate(stretches):
            row = f"test.result.counts.{place}"
            answers |= {f"{row}.phase": phase.value, f"{row}.seconds": "30.5", f"{row}.{measure}": value}
            if phase is Phase.MASK:
                answers[f"{row}.exercise"] = name
        return answers

    def rest(self) -> Answers:
        """Draw conditions, observations and who adds it."""
        return {
            "test.contributor": "grey-bench",
            **self.maybe(
                {
                    "test.conditions.instrument": self.word(Instrument),
                    "test.conditions.size_selection": self.word(SizeSelection),
                    "test.conditions.ambient_per_cm3": self.chance.choice(["4200", "0.00001", "812.5"]),
                    "test.conditions.aerosol": self.word(Aerosol),
                    "test.conditions.probe": self.word(Probe),
                    "test.observations.leaks": self.chance.sample([leak.value for leak in Leak], 2),
                    "test.observations.comfort": str(self.chance.randint(1, 5)),
                    "test.observations.touches_eyes": self.chance.choice(["yes", "no"]),
                    "test.observations.fogging": self.chance.choice(["yes", "no"]),
                    "test.observations.notes": self.chance.choice(TEXTS),
                    "test.source.link": "https://example.org/log#1",
                }
            ),
        }
