"""What a test says beside its result: which specimen was worn, how it was measured, what the wearer noticed."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.records import vocabulary as words
from builder.records.value_types import EntryTable, Prose, ShortLine, SpecimenLabel, word_key


class Specimen(EntryTable):
    """Which of several masks of one kind was worn, how much it was worn before, and how its straps were set."""

    label: Annotated[
        SpecimenLabel | None,
        Field(
            description="Your own name for this very mask, such as a or box-2; the same each time this wearer dons it."
        ),
    ] = None
    lot: Annotated[ShortLine | None, Field(description="Lot or batch as printed on the mask or its box.")] = None
    donnings_before: Annotated[
        int | None, Field(ge=0, le=10_000, description="How often it had been put on before this test; 0 if new.")
    ] = None
    hours_before: Annotated[
        float | None,
        Field(ge=0, le=10_000, allow_inf_nan=False, description="Hours it had been worn before this test; 0 if new."),
    ] = None
    straps_mm: Annotated[
        float | None,
        Field(
            ge=0,
            le=1000,
            allow_inf_nan=False,
            description="By how many millimetres each strap or loop was made shorter than it can be; 0 at full length.",
        ),
    ] = None
    straps_notch: Annotated[
        int | None, Field(ge=1, le=100, description="Or the notch straps or loops were set to; 1 is the loosest.")
    ] = None


class Conditions(EntryTable):
    """How it was measured."""

    instrument: Annotated[words.Instrument | None, word_key("How particles were counted.")] = None
    size_selection: Annotated[words.SizeSelection | None, word_key("Which particles were counted.")] = None
    ambient_per_cm3: Annotated[
        float | None,
        Field(gt=0, le=1e7, allow_inf_nan=False, description="Particles per cubic centimetre of room air."),
    ] = None
    aerosol: Annotated[words.Aerosol | None, word_key("Where the particles came from.")] = None
    probe: Annotated[words.Probe | None, word_key("How the hose reaches into the mask.")] = None
    purge_seconds: Annotated[
        float | None,
        Field(
            ge=0,
            le=600,
            allow_inf_nan=False,
            description="Seconds left out after each change between room and mask: the hose still held other air.",
        ),
    ] = None
    zero_check: Annotated[
        words.Check | None,
        word_key("Whether the instrument read (nearly) nothing behind a filter that stops all particles."),
    ] = None
    probe_check: Annotated[
        words.Check | None, word_key("Whether probe and hose were tight where they join and pass through the mask.")
    ] = None
    seal_check: Annotated[
        words.Check | None,
        word_key("Whether the wearer felt no leak when breathing out or in sharply with the mask covered."),
    ] = None
    helped: Annotated[
        bool | None, Field(description="Whether somebody else helped to put the mask on or press it into place.")
    ] = None
    glasses: Annotated[bool | None, Field(description="Whether the wearer had glasses on during the test.")] = None
    order: Annotated[
        int | None,
        Field(ge=1, le=1000, description="Which donning of the run this was, counted over all its configurations."),
    ] = None
    temperature_c: Annotated[
        float | None, Field(ge=-40, le=60, allow_inf_nan=False, description="Temperature of the room air, °C.")
    ] = None
    humidity_percent: Annotated[
        float | None,
        Field(ge=0, le=100, allow_inf_nan=False, description="Relative humidity of the room air, percent."),
    ] = None


class Observations(EntryTable):
    """What the wearer noticed."""

    leaks: Annotated[
        tuple[Annotated[words.Leak, Field(strict=False)], ...],
        Field(strict=False, max_length=4, description="Where it leaked."),
    ] = ()
    comfort: Annotated[int | None, Field(ge=1, le=5, description="1 could not bear it … 5 forgot I wore it.")] = None
    breathing_effort: Annotated[
        int | None, Field(ge=1, le=5, description="1 as without a mask … 5 had to take it off to breathe.")
    ] = None
    touches_eyes: Annotated[bool | None, Field(description="Whether it touches the eyes or lashes.")] = None
    fogging: Annotated[bool | None, Field(description="Whether glasses fog.")] = None
    notes: Annotated[Prose | None, Field(description="Anything a reader should know.")] = None
