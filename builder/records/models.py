"""What contributors write: a mask, a part, a test, each a model that is strict about keys. The list is elsewhere."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Annotated, Self

from pydantic import Field, create_model, model_validator
from pydantic_core import PydanticCustomError

from builder.records import vocabulary as words
from builder.records.circumstances import Conditions, Observations, Specimen
from builder.records.kept_addresses import Removed
from builder.records.value_types import (
    EntryTable,
    FitFactor,
    Id,
    Millimetres,
    OneLine,
    PictureName,
    Prose,
    Seconds,
    ShortLine,
    WebAddress,
    word_key,
)

REMOVED = "none"
"""What a test writes for a slot whose part was taken out."""


class Source(EntryTable):
    """Where the record comes from."""

    link: Annotated[WebAddress | None, Field(description="Address of the discussion, log or publication.")] = None
    invented: Annotated[bool, Field(description="true for demo data; leave it out for real tests.")] = False


class Picture(EntryTable):
    """A picture in a file beside this one."""

    file: Annotated[
        PictureName, Field(description="Name of the file: this one's, with a number for a further picture.")
    ]
    alt: Annotated[OneLine, Field(description="What can be seen in it, for whoever cannot see it.")]
    licence: Annotated[words.Licence, word_key("What others may do with it.")]
    shows: Annotated[
        tuple[Id, ...],
        Field(strict=False, max_length=6, description="Of a mask, the parts it is changed with; of a part, the masks."),
    ] = ()


Pictures = Annotated[
    tuple[Picture, ...], Field(strict=False, max_length=6, description="Pictures of it, in files beside this one.")
]


class Filter(EntryTable):
    """What the filter material lets through, when somebody measured it."""

    penetration_percent: Annotated[
        float,
        Field(gt=0, le=100, allow_inf_nan=False, description="Share of particles that pass the filter, percent."),
    ]
    flow_l_min: Annotated[
        float | None,
        Field(gt=0, le=1000, allow_inf_nan=False, description="Air flow of that test, litres a minute."),
    ] = None
    size_selection: Annotated[
        words.SizeSelection | None,
        word_key(
            "Which particles were counted in that test; fit tests that counted the same tell seal and filter apart."
        ),
    ] = None
    source: Annotated[OneLine | None, Field(description="Who measured it, or which data sheet says so.")] = None


_SLOTS = tuple((slot, slot.column) for slot in words.Slot)


class _SlotTable(EntryTable):
    """Which part fills each slot. Part ids; `none` takes out what the mask has as sold."""

    def part_in(self, slot: words.Slot) -> str | None:
        """Give the id of the part in a slot; None where the slot is not named here."""
        part: str | None = getattr(self, slot.column)
        return part

    def filled(self) -> tuple[tuple[words.Slot, str], ...]:
        """Give the slots that are named here with their part ids, in slot order."""
        named = vars(self)
        return tuple([(slot, part) for slot, name in _SLOTS if (part := named[name]) is not None])


if TYPE_CHECKING:
    Slots = _SlotTable
else:
    # A key for each slot of the vocabulary: slots stand there and nowhere else.
    Slots = create_model(
        "Slots",
        __base__=_SlotTable,
        __module__=__name__,
        __doc__=_SlotTable.__doc__,
        **{
            name: (Annotated[Id | None, Field(alias=slot.value, description=slot.meaning)], None)
            for slot, name in _SLOTS
        },
    )


class Mask(EntryTable):
    """A mask as sold. A model sold in several sizes has one file a size, since each seals differently."""

    model: Annotated[OneLine, Field(description="The model's name, without its size.")]
    size: Annotated[OneLine | None, Field(description="The size as printed; leave it out when there is only one.")] = (
        None
    )
    maker: Annotated[OneLine, Field(description="Who makes it.")]
    style: Annotated[words.Style, word_key("The shape of the mask.")]
    mask_class: Annotated[words.MaskClass, Field(alias="class", strict=False, description="The class printed on it.")]
    class_name: Annotated[
        ShortLine | None, Field(description="What is printed on it, where class is other: “ASTM F3502 level 2”.")
    ] = None
    as_sold: Annotated[Slots, Field(description="Which part fills each slot as sold; a slot left out holds none.")] = (
        Slots()
    )
    filter: Annotated[Filter | None, Field(description="What the filter lets through, if known.")] = None
    picture: Pictures = ()
    notes: Annotated[Prose | None, Field(description="Anything a reader should know.")] = None
    source: Annotated[Source, Field(description="Where the record comes from.")] = Source()

    @model_validator(mode="after")
    def _class_named(self) -> Self:
        if (self.mask_class is words.MaskClass.OTHER) != (self.class_name is not None):
            raise PydanticCustomError("class_name", "class other and class_name come together")
        return self


class Section(EntryTable):
    """The cross-section of a nose wire, from which its stiffness is estimated."""

    shape: Annotated[words.WireShape, word_key("strip or round.")]
    material: Annotated[words.WireMaterial, word_key("What the wire is made of.")]
    width_mm: Annotated[Millimetres | None, Field(description="Width of a strip.")] = None
    thickness_mm: Annotated[Millimetres | None, Field(description="Thickness of a strip.")] = None
    diameter_mm: Annotated[Millimetres | None, Field(description="Diameter of a round wire.")] = None
    count: Annotated[int, Field(ge=1, le=20, description="How many lie side by side.")] = 1

    @model_validator(mode="after")
    def _complete(self) -> Self:
        strip = self.width_mm is not None and self.thickness_mm is not None
        if self.shape is words.WireShape.STRIP and (not strip or self.diameter_mm is not None):
            raise PydanticCustomError("section", "a strip is described by width_mm and thickness_mm")
        wire = self.width_mm is None and self.thickness_mm is None
        if self.shape is words.WireShape.ROUND and (not wire or self.diameter_mm is None):
            raise PydanticCustomError("section", "a round wire is described by diameter_mm")
        return self


class Part(EntryTable):
    """A part that fills a slot: what it is, how it is fitted, what to beware of."""

    name: Annotated[OneLine, Field(description="What to call it on a page.")]
    slot: Annotated[words.Slot, word_key("The slot it fills.")]
    material: Annotated[OneLine, Field(description="What it is made of.")]
    dimensions: Annotated[OneLine | None, Field(description="Length, width, thickness as text.")] = None
    fitting: Annotated[Prose, Field(description="How it is fitted, so that others can repeat it.")]
    can_be_undone: Annotated[bool, Field(description="Whether the mask is as sold again once the part is off.")]
    cautions: Annotated[tuple[OneLine, ...], Field(strict=False, max_length=10, description="What to beware of.")] = ()
    section: Annotated[Section | None, Field(description="Cross-section, for nose wires.")] = None
    picture: Pictures = ()
    notes: Annotated[Prose | None, Field(description="Anything a reader should know.")] = None
    source: Annotated[Source, Field(description="Where the record comes from.")] = Source()


class Face(EntryTable):
    """The wearer's face: millimetres, or only the panel cell where millimetres should not be published."""

    wearer: Annotated[Id, Field(description="A pseudonym, the same in every test of this face.")]
    length_mm: Annotated[
        float | None,
        Field(ge=80, le=170, allow_inf_nan=False, description="Chin to the deepest point of the nasal root, mm."),
    ] = None
    width_mm: Annotated[
        float | None,
        Field(ge=90, le=190, allow_inf_nan=False, description="Widest across the cheekbones, mm."),
    ] = None
    cell: Annotated[int | None, Field(ge=1, le=10, description="Panel cell, instead of millimetres.")] = None
    nose_bridge: Annotated[words.NoseBridge | None, word_key("Seen from the side.")] = None
    facial_hair: Annotated[words.FacialHair, word_key("Hair where the mask seals.")]

    @model_validator(mode="after")
    def _either(self) -> Self:
        if (self.length_mm is None) != (self.width_mm is None):
            raise PydanticCustomError("face", "face length and face width come together")
        if self.cell is not None and self.length_mm is not None:
            raise PydanticCustomError("face", "a face is given in millimetres or by its cell, not both")
        return self


class ExerciseResult(EntryTable):
    """The fit factor of one exercise. The grimace may go without."""

    name: Annotated[words.Exercise, word_key("The exercise.")]
    fit_factor: Annotated[FitFactor | None, Field(description="Its fit factor.")] = None
    at_least: Annotated[bool, Field(description="true where the reading is a lower limit.")] = False


class Count(EntryTable):
    """A stretch of a run in time order: what was sampled, for how long, how many particles."""

    phase: Annotated[words.Phase, word_key("ambient or mask.")]
    exercise: Annotated[words.Exercise | None, word_key("The exercise, for a stretch in the mask.")] = None
    seconds: Annotated[Seconds, Field(description="Seconds that count, after the purge.")]
    particles: Annotated[int | None, Field(ge=0, le=10**12, description="Particles counted.")] = None
    concentration: Annotated[
        float | None,
        Field(ge=0, le=1e9, allow_inf_nan=False, description="Or their number per cubic centimetre."),
    ] = None

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        if (self.particles is None) == (self.concentration is None):
            raise PydanticCustomError("count", "a stretch has particles or concentration, one of the two")
        return self


class Result(EntryTable):
    """What was measured."""

    protocol: Annotated[words.Protocol, word_key("Which exercises were done.")]
    fit_factor: Annotated[
        FitFactor | None, Field(description="Overall fit factor; computed when exercises are given.")
    ] = None
    at_least: Annotated[
        bool, Field(description="true at the instrument's ceiling, or with no particle counted in the mask.")
    ] = False
    set_aside: Annotated[OneLine | None, Field(description="Why this take does not count. It stays on the page.")] = (
        None
    )
    exercise: Annotated[
        tuple[ExerciseResult, ...], Field(strict=False, max_length=20, description="The exercises one by one.")
    ] = ()
    counts: Annotated[
        tuple[Count, ...], Field(strict=False, max_length=200, description="What was counted, in order of time.")
    ] = ()


class Test(EntryTable):
    """One donning of one configuration on one wearer, measured."""

    __test__ = False  # the name is the trade's, not pytest's

    mask: Annotated[Id, Field(description="Id of the mask: its file name without .toml.")]
    date: Annotated[dt.date, Field(description="Day of the test.")]
    contributor: Annotated[Id, Field(description="A pseudonym, not a name, handle or address.")]
    configuration: Annotated[Slots, Field(description="Only what differs from the mask as sold.")] = Slots()
    face: Annotated[Face, Field(description="Who wore it.")]
    result: Annotated[Result, Field(description="What was measured.")]
    specimen: Annotated[Specimen, Field(description="Which mask of its kind was worn.")] = Specimen()
    conditions: Annotated[Conditions, Field(description="How it was measured.")] = Conditions()
    observations: Annotated[Observations, Field(description="What the wearer noticed.")] = Observations()
    source: Annotated[Source, Field(description="Where the record comes from.")] = Source()


Entry = Mask | Part | Test | Removed
"""The content of any file below the entries folder."""


def part_token(slot: words.Slot, part: str) -> str:
    """Name a changed slot in an id: the part, or `no-<slot>` where it was taken out."""
    return f"no-{slot}" if part == REMOVED else part


def configuration_id(mask: str, configuration: Slots) -> str:
    """Name a configuration: `mask` as sold, else `mask+part+part` in slot order."""
    return "+".join((mask, *(part_token(slot, part) for slot, part in configuration.filled())))
