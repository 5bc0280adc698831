"""What wearers of the invented bench noticed: leaks, comfort, fogging, and now and then a sentence."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.fit.arrays import BoolArray, FloatArray
from builder.records.circumstances import Observations
from builder.records.vocabulary import Leak

COMFORT = {
    "crossed-band": -0.3,
    "loop-clip": 0.3,
    "broad-strip": -0.3,
    "foam-strip": 0.5,
    "no-nose-foam": -0.6,
    "edge-tape": -1.3,
    "wire-brace": -0.9,
    "inner-bracket": 0.4,
}

EFFORT = {"edge-tape": 0.8, "wire-brace": 0.3, "inner-bracket": -0.4}
"""What a part adds to the effort of breathing."""

SET_ASIDE = (
    "The probe hose came off during the run",
    "The ambient level fell by half before the end",
    "A strap slipped off and was put back during the run",
    "The mask was adjusted between two exercises",
    "Ventilation was switched on halfway through",
    "The wearer had a coughing fit and lifted the mask",
)
STUBBLE = "Stubble where the mask seals"

ALIKE = "Read the same as an earlier take of the day, after a new donning."

SENTENCES: tuple[tuple[str, str], ...] = (
    ("low bridge, nose", "A gap stays on both sides of the nose however hard the wire is pressed."),
    ("low bridge, nose", "Air blew up into the eyes whenever the head was bent forward."),
    ("nose", "The wire sprang back a little after each exercise."),
    ("nose", "Cold air beside the nose on every breath in."),
    ("cheek", "The rim stood off the cheek when the head turned; a finger there stopped the hiss."),
    ("nose", "Pressing the wire with two fingers of each hand helped more than pinching it."),
    ("nose", "A hand held above the nose felt warm air with every breath out."),
    ("cheek", "Turning to the far side opens a gap in front of the ear."),
    ("cheek", "Smile lines seem to lift the edge."),
    ("chin", "It crept over the chin while talking and had to be caught before bending over."),
    ("chin", "The lower edge lets go when the mouth opens wide."),
    ("chin", "Pulled down under the chin once more before the next donning."),
    ("fogging", "Glasses had to come off to read the exercise cards."),
    ("fogging", "Glasses fogged from the first breath."),
    ("tight", "No leak to be felt anywhere, and the mask pulled in on every breath."),
    ("tight", "Sat well at once; the seal check was quiet."),
    ("sore", "The wearer was glad to take it off after ten minutes."),
    ("sore", "Left a red line across the bridge of the nose."),
    ("easy", "Forgot about it while filling in the log."),
    ("crossed-band", "The band slid up at the back of the head until it was moved under the hair."),
    ("crossed-band", "Needed two tries to set the cord lock equally on both sides."),
    ("edge-tape", "The tape held through all exercises; it took some patience to get off the cheeks."),
    ("edge-tape", "Tape came loose under the chin and was pressed on again before the run."),
    ("wire-brace", "The brace was bent anew for this face before the first run."),
    ("broad-strip", "The strip kept its bend when the mask was laid down between donnings."),
    ("foam-strip", "On a second specimen, since the foam cannot be taken off again."),
    ("inner-bracket", "Easier to talk, but the rim stands off at the jaw."),
    ("paired-wire", "The pair springs back much as the single wire did."),
    ("loop-clip", "Third notch; the second one was too loose for this head."),
)
"""When a sentence may stand, and the sentence."""


@dataclass(frozen=True)
class Takes:
    """The takes that remarks are about, as columns."""

    ln_fit_factor: FloatArray
    parts: list[tuple[str, ...]]
    bridge: NDArray[np.int64]
    length_mm: FloatArray
    width_mm: FloatArray
    glasses: BoolArray
    mask_comfort: FloatArray
    mask_upper_edge: FloatArray
    """How high the mask reaches on the face, in SD of masks."""


def observe(takes: Takes, rng: np.random.Generator) -> list[Observations]:
    """Draw what was noticed. Poor fits leak in more places; where they leak hangs on the face."""
    count = len(takes.parts)
    looseness = 1.1 * (np.log(60) - takes.ln_fit_factor)
    small, narrow = (118.5 - takes.length_mm) / 8, (139.5 - takes.width_mm) / 8
    odds = np.column_stack(
        (
            looseness + np.choose(takes.bridge, (1.2, 0.0, -0.9)),
            looseness - 1.2 + 0.6 * narrow,
            looseness - 1.2 + 0.6 * narrow,
            looseness - 0.9 + 0.7 * small,
        )
    )
    leaks = rng.uniform(size=odds.shape) < 1 / (1 + np.exp(-odds))
    comfort = 3.4 + takes.mask_comfort + rng.normal(0, 0.6, count)
    comfort += [sum(COMFORT.get(part, 0.0) for part in parts) for parts in takes.parts]
    rating = np.clip(np.round(comfort), 1, 5).astype(int)
    eyes = 0.8 * takes.mask_upper_edge + 0.7 * small + rng.normal(0, 0.4, count) > 1.2
    fogging = takes.glasses & (rng.uniform(size=count) < np.where(leaks[:, 0], 0.75, 0.1))
    noted = rng.uniform(size=(count, 4)) < (0.75, 0.7, 0.55, 0.18)
    sentence = rng.uniform(size=count)
    effort = 1.8 + rng.normal(0, 0.6, count)
    effort += [sum(EFFORT.get(part, 0.0) for part in parts) for parts in takes.parts]
    breathing, told = np.clip(np.round(effort), 1, 5).astype(int), rng.uniform(size=count) < 0.4
    places = list(Leak)
    return [
        Observations(
            leaks=tuple(place for place, leaking in zip(places, leaks[i], strict=True) if leaking)
            if noted[i, 0]
            else (),
            comfort=int(rating[i]) if noted[i, 1] else None,
            breathing_effort=int(breathing[i]) if told[i] else None,
            touches_eyes=bool(eyes[i]) if noted[i, 2] else None,
            fogging=bool(fogging[i]) if noted[i, 2] and takes.glasses[i] else None,
            notes=_sentence(_circumstances(takes, i, leaks[i], rating[i], bool(fogging[i])), sentence[i])
            if noted[i, 3]
            else None,
        )
        for i in range(count)
    ]


def _circumstances(takes: Takes, i: int, leaks: BoolArray, comfort: int, fogging: bool) -> set[str]:
    nose, left, right, chin = leaks
    found = {
        "nose": nose,
        "low bridge, nose": nose and takes.bridge[i] == 0,
        "cheek": left or right,
        "chin": chin,
        "fogging": fogging,
        "tight": takes.ln_fit_factor[i] > np.log(150) and not leaks.any(),
        "sore": comfort <= 2,
        "easy": comfort == 5,
    }
    return {*takes.parts[i], *(name for name, holds in found.items() if holds)}


def _sentence(circumstances: set[str], draw: float) -> str | None:
    fitting = [sentence for when, sentence in SENTENCES if when in circumstances]
    return fitting[int(draw * len(fitting))] if fitting else None
