"""The words an entry may use, each with its definition.

A word's value is what stands in the file, its label is what a page prints, its meaning is what the methods page,
the form and the JSON Schemas explain. Trade terms keep their trade meaning; the source stands in the text.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Self


class Word(StrEnum):
    """One word of a closed list: equal to the string in the file, with a label and a meaning."""

    label: str
    meaning: str

    def __new__(cls, value: str, label: str = "", meaning: str = "") -> Self:
        """Make the member from its value, keeping label and meaning beside it."""
        word = str.__new__(cls, value)
        word._value_ = value
        word.label = label
        word.meaning = meaning
        return word


class Style(Word):
    """The shape of a mask, which decides where it seals."""

    FLAT_FOLD = (
        "flat-fold",
        "Flat-fold",
        "Folds flat along a vertical seam; opens to a beak in front of the mouth.",
    )
    THREE_PANEL = (
        "three-panel",
        "Three-panel",
        "A middle panel with one above and one below; folds flat sideways.",
    )
    CUP = "cup", "Cup", "Moulded and stiff; keeps its shape off the face."
    DUCKBILL = "duckbill", "Duckbill", "A wide pouch that stands off the mouth; seals along a long edge."
    PLEATED = "pleated", "Pleated", "A rectangle with pleats, as medical masks are."
    ELASTOMERIC = "elastomeric", "Elastomeric half mask", "A rubber face piece with separate filters."
    OTHER = "other", "Other", "None of these; the notes say what it is."


@dataclass(frozen=True)
class ClassLimit:
    """What a filter class promises: its standard, and the highest penetration (percent) that it allows."""

    standard: str
    penetration_percent: float | None
    source: str


class MaskClass(Word):
    """The filter class printed on the mask. It says how well the material filters, not how well the mask fits."""

    FFP1 = "ffp1", "FFP1", "European filtering facepiece, lowest class."
    FFP2 = "ffp2", "FFP2", "European filtering facepiece, middle class."
    FFP3 = "ffp3", "FFP3", "European filtering facepiece, highest class."
    N95 = "n95", "N95", "US filtering facepiece, at least 95 % efficient."
    N99 = "n99", "N99", "US filtering facepiece, at least 99 % efficient."
    N100 = "n100", "N100", "US filtering facepiece, at least 99.97 % efficient."
    R95 = "r95", "R95", "US filtering facepiece for air with some oil mist, at least 95 % efficient."
    P100 = "p100", "P100", "US filtering facepiece or filter for air with oil mist, at least 99.97 % efficient."
    KN95 = "kn95", "KN95", "Chinese filtering facepiece, at least 95 % efficient."
    KF80 = "kf80", "KF80", "Korean filtering facepiece, at least 80 % efficient."
    KF94 = "kf94", "KF94", "Korean filtering facepiece, at least 94 % efficient."
    DS2 = "ds2", "DS2", "Japanese filtering facepiece, at least 95 % efficient."
    P2 = "p2", "P2", "Australian and New Zealand filtering facepiece, middle class."
    P3 = "p3", "P3", "Particle filter on a rubber face piece, highest class in Europe, Australia and New Zealand."
    MEDICAL = "medical", "Medical", "Medical face mask: tested for what goes out, not for what leaks in."
    OTHER = "other", "Other class", "None of these; class_name says what is printed on it."
    NONE = "none", "No class", "No class claimed."


CLASS_LIMITS: dict[MaskClass, ClassLimit] = {
    MaskClass.FFP1: ClassLimit("EN 149:2001+A1:2009", 20.0, "EN 149, Table 1, second hand"),
    MaskClass.FFP2: ClassLimit("EN 149:2001+A1:2009", 6.0, "EN 149, Table 1, second hand"),
    MaskClass.FFP3: ClassLimit("EN 149:2001+A1:2009", 1.0, "EN 149, Table 1, second hand"),
    MaskClass.N95: ClassLimit("42 CFR 84", 5.0, "value from memory"),
    MaskClass.N99: ClassLimit("42 CFR 84", 1.0, "value from memory"),
    MaskClass.N100: ClassLimit("42 CFR 84", 0.03, "value from memory"),
    MaskClass.R95: ClassLimit("42 CFR 84", 5.0, "value from memory"),
    MaskClass.P100: ClassLimit("42 CFR 84", 0.03, "value from memory"),
    MaskClass.KN95: ClassLimit("GB 2626-2019", 5.0, "value from memory"),
    MaskClass.KF80: ClassLimit("Korean MFDS guideline", 20.0, "value from memory"),
    MaskClass.KF94: ClassLimit("Korean MFDS guideline", 6.0, "value from memory"),
    MaskClass.DS2: ClassLimit("Japanese standard for dust masks", 5.0, "value from memory"),
    MaskClass.P2: ClassLimit("AS/NZS 1716", 6.0, "value from memory"),
    MaskClass.P3: ClassLimit("EN 143, AS/NZS 1716", 0.05, "value from memory"),
    MaskClass.MEDICAL: ClassLimit("EN 14683", None, "no limit on inward leakage"),
    MaskClass.OTHER: ClassLimit("none", None, "not known here"),
    MaskClass.NONE: ClassLimit("none", None, "no class claimed"),
}


class Licence(Word):
    """What others may do with a picture."""

    CC0 = "cc0", "CC0 1.0", "Whoever made it gives it to everybody, for anything, without being named."
    PUBLIC_DOMAIN = "public-domain", "Public domain", "No rights of anybody are left in it, or never were."


class Slot(Word):
    """A place on a mask that a part can fill. The order here is the order of parts in a configuration's id."""

    STRAPS = "straps", "Straps", "What holds the mask on: ear loops, headbands, clips, adjusters."
    NOSE_WIRE = "nose-wire", "Nose wire", "What keeps the shape pressed over the nasal bridge."
    NOSE_FOAM = "nose-foam", "Nose foam", "A cushion between nose and mask."
    EDGE = "edge", "Edge", "A seal along the rest of the rim: foam strip, tape, silicone."
    BRACE = "brace", "Brace", "A frame or sleeve outside the mask that presses its rim to the face."
    OTHER = "other", "Other", "Any other change; the part's file says what it is."

    @property
    def column(self) -> str:
        """Its column in the tidy table, and its name in a record."""
        return self.value.replace("-", "_")


class Exercise(Word):
    """What the wearer does while particles are sampled (29 CFR 1910.134 App. A; 84 FR 50739, Table A-2)."""

    NORMAL_BREATHING = "normal-breathing", "Normal breathing", "Standing still, breathing normally."
    DEEP_BREATHING = "deep-breathing", "Deep breathing", "Slow, deep breaths."
    HEAD_SIDE_TO_SIDE = "head-side-to-side", "Head side to side", "Turning the head slowly to each side."
    HEAD_UP_AND_DOWN = "head-up-and-down", "Head up and down", "Moving the head slowly up and down."
    TALKING = "talking", "Talking", "Reading aloud or counting."
    GRIMACE = "grimace", "Grimace", "Smiling or frowning; left out of the overall fit factor."
    BENDING_OVER = "bending-over", "Bending over", "Bending at the waist, as if to touch the toes."
    JOGGING = "jogging", "Jogging", "Jogging in place, where there is no room to bend over."


STANDS_FOR = {Exercise.JOGGING: Exercise.BENDING_OVER}
"""What a protocol takes in place of an exercise (29 CFR 1910.134 App. A)."""


class Protocol(Word):
    """Which exercises a test holds."""

    EIGHT_EXERCISE = (
        "eight-exercise",
        "Eight exercises",
        "The long protocol of 29 CFR 1910.134 App. A: 60 s each, grimace 15 s and left out of the overall value.",
    )
    SHORT_FOUR_EXERCISE = (
        "short-four-exercise",
        "Short, four exercises",
        "The short protocol for filtering facepieces (84 FR 50739, Table A-2): 30 s each, "
        "ambient air at start and end only.",
    )
    ONE_EXERCISE = (
        "one-exercise",
        "One exercise",
        "Normal breathing only. Common practice, no published source; it flatters, for talking and "
        "bending are the hard ones.",
    )
    FREE = "free", "Free", "Any list of exercises; the notes say why. Compare with care."


@dataclass(frozen=True)
class Step:
    """One exercise of a protocol and its sampling time in the mask, in seconds."""

    exercise: Exercise
    seconds: float


@dataclass(frozen=True)
class Timing:
    """A protocol's steps in order, the ambient sampling at its ends (seconds), and whether air is sampled between."""

    steps: tuple[Step, ...]
    ambient_start_s: float
    ambient_end_s: float
    ambient_between: bool


PROTOCOL_TIMES: dict[Protocol, Timing] = {
    # 29 CFR 1910.134 App. A: exercises and times read; ambient before and after each exercise, value from memory.
    Protocol.EIGHT_EXERCISE: Timing(
        steps=(
            Step(Exercise.NORMAL_BREATHING, 60),
            Step(Exercise.DEEP_BREATHING, 60),
            Step(Exercise.HEAD_SIDE_TO_SIDE, 60),
            Step(Exercise.HEAD_UP_AND_DOWN, 60),
            Step(Exercise.TALKING, 60),
            Step(Exercise.GRIMACE, 15),
            Step(Exercise.BENDING_OVER, 60),
            Step(Exercise.NORMAL_BREATHING, 60),
        ),
        ambient_start_s=5,
        ambient_end_s=5,
        ambient_between=True,
    ),
    # 84 FR 50739, App. A Table A-2: exercises and 30 s read; 20 s and 9 s of ambient air, values from memory.
    Protocol.SHORT_FOUR_EXERCISE: Timing(
        steps=(
            Step(Exercise.BENDING_OVER, 30),
            Step(Exercise.TALKING, 30),
            Step(Exercise.HEAD_SIDE_TO_SIDE, 30),
            Step(Exercise.HEAD_UP_AND_DOWN, 30),
        ),
        ambient_start_s=20,
        ambient_end_s=9,
        ambient_between=False,
    ),
    # Common practice, no published source.
    Protocol.ONE_EXERCISE: Timing(
        steps=(Step(Exercise.NORMAL_BREATHING, 60),),
        ambient_start_s=10,
        ambient_end_s=10,
        ambient_between=False,
    ),
}


PURGE_AMBIENT_S, PURGE_MASK_S = 4.0, 11.0
"""Seconds of flushing when the hose is switched to room air, and to the mask: common practice, no published source."""


class Phase(Word):
    """What the counter's inlet breathed during a stretch of a run."""

    AMBIENT = "ambient", "Ambient", "Room air, outside the mask."
    MASK = "mask", "In the mask", "Air from the breathing zone inside the mask."


class NoseBridge(Word):
    """How far the bridge stands forward between the eyes, seen from the side. Common practice, no published source."""

    LOW = "low", "Low", "Level with the inner corners of the eyes, or hardly forward of them."
    MEDIUM = "medium", "Medium", "Clearly forward of the inner corners of the eyes, not as far as the brow."
    HIGH = "high", "High", "As far forward as the brow, or further."


class FacialHair(Word):
    """Hair where the mask seals. With hair at the seal a fit test tells nothing (29 CFR 1910.134(g)(1))."""

    NONE = "none", "None", "Shaved, or no hair where the mask seals."
    CLEAR_OF_SEAL = "clear-of-seal", "Clear of the seal", "Hair on the face, none of it under the mask's rim."
    STUBBLE = (
        "stubble",
        "Stubble at the seal",
        "A day's growth or more under the rim. The test does not count.",
    )
    BEARD = "beard", "Beard at the seal", "A beard under the rim. The test does not count."


HAIR_AT_SEAL = frozenset({FacialHair.STUBBLE, FacialHair.BEARD})


class Instrument(Word):
    """How particles were counted."""

    CONDENSATION = (
        "condensation-counter",
        "Condensation counter",
        "Grows the finest particles until each can be counted.",
    )
    OPTICAL = (
        "optical-counter",
        "Optical counter",
        "Counts particles one by one by the light they scatter, from about 0.3 µm.",
    )
    PHOTOMETER = "photometer", "Photometer", "Measures the light scattered by the whole cloud."
    SENSOR = (
        "particle-sensor",
        "Particle sensor",
        "A small low-cost optical sensor that gives particles in classes of size, as in air monitors.",
    )
    DUST_SENSOR = (
        "dust-sensor",
        "Dust sensor",
        "A small low-cost optical sensor that gives the mass of dust alone, such as PM2.5.",
    )
    OTHER = "other", "Other", "None of these; the notes say what it is."


class SizeSelection(Word):
    """Which particles the instrument counted."""

    ALL = "all-sizes", "All sizes", "Every size the instrument sees."
    NARROW = (
        "narrow-band",
        "Narrow band",
        "Only a narrow size class, so that what passes the filter hardly counts.",
    )


class Aerosol(Word):
    """Where the particles came from."""

    ROOM_AIR = "room-air", "Room air", "What floats in the room by itself."
    SALT = "salt", "Salt", "Salt water from a nebuliser."
    SMOKE = "smoke", "Smoke", "A candle or an incense stick."
    OIL = "oil", "Oil mist", "An oil mist from a generator."
    OTHER = "other", "Other", "None of these; the notes say what it is."


class Probe(Word):
    """How the hose reaches the air inside the mask."""

    FLUSH = (
        "flush",
        "Flush through the filter",
        "A rivet or flanged probe through the filter, flush with its inside.",
    )
    INSET = "inset", "Standing inside", "A probe that ends nearer the mouth than the filter."
    UNDER_EDGE = "under-edge", "Under the edge", "A thin hose under the rim: it makes a leak of its own."
    OTHER = "other", "Other", "None of these; the notes say what it is."


class Check(Word):
    """How a check came out that was made before the run."""

    PASSED = "passed", "Passed", "It was made, and nothing was found."
    FAILED = "failed", "Failed", "It was made, and something was found."
    NOT_DONE = "not-done", "Not done", "Nobody made it."


class Leak(Word):
    """Where air was felt, seen or heard to leak."""

    NOSE = "nose", "Nose", "Beside or over the nasal bridge."
    LEFT_CHEEK = "left-cheek", "Left cheek", "Along the wearer's left cheek."
    RIGHT_CHEEK = "right-cheek", "Right cheek", "Along the wearer's right cheek."
    CHIN = "chin", "Chin", "Under the chin or along the jaw."


class WireShape(Word):
    """The cross-section of a nose wire."""

    STRIP = "strip", "Strip", "Flat; bent over its thickness."
    ROUND = "round", "Round", "A round wire."


class WireMaterial(Word):
    """What a nose wire is made of; its stiffness and yield stress are on the methods page."""

    ALUMINIUM = "annealed-aluminium", "Annealed aluminium", "Soft aluminium strip (1100-O)."
    STEEL = "annealed-steel", "Annealed steel", "Soft steel wire."
