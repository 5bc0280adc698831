"""The text of an entry reads back as the record it was written from."""

from __future__ import annotations

import datetime as dt
import tomllib

from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from builder.records.circumstances import Conditions, Observations, Specimen
from builder.records.kept_addresses import Removal, Removed
from builder.records.models import Count, ExerciseResult, Face, Filter, Mask, Part, Result, Section, Slots, Source, Test
from builder.records.toml_text import to_toml
from builder.records.value_types import TEXT_PATTERN
from builder.records.vocabulary import (
    Aerosol,
    Check,
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
    WireMaterial,
    WireShape,
)

IDS = st.from_regex(r"[a-z0-9]{2,9}(-[a-z0-9]{1,9}){0,2}", fullmatch=True)
FACTORS = st.floats(1, 1e7)


def text(longest: int) -> st.SearchStrategy[str]:
    return st.from_regex(TEXT_PATTERN, fullmatch=True).map(lambda s: s.strip()[:longest].strip()).filter(bool)


def maybe(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.none() | strategy


LINES, PROSE = text(200), text(2000)
LINKS = st.from_regex(r"https://[a-z]{1,9}\.example/[a-z0-9?=&%#~]{0,20}", fullmatch=True)
SOURCES = st.builds(Source, link=maybe(LINKS), invented=st.booleans())
SLOTS = st.fixed_dictionaries({}, optional={str(slot): IDS for slot in Slot}).map(Slots.model_validate)
STRIPS = st.builds(
    Section,
    shape=st.just(WireShape.STRIP),
    material=st.sampled_from(WireMaterial),
    width_mm=st.floats(0.01, 1000),
    thickness_mm=st.floats(0.01, 1000),
    count=st.integers(1, 20),
)
ROUNDS = st.builds(
    Section, shape=st.just(WireShape.ROUND), material=st.sampled_from(WireMaterial), diameter_mm=st.floats(1e-6, 1000)
)
MASKS = st.builds(
    lambda mask_class, name, **rest: Mask(
        **{"class": mask_class}, class_name=name if mask_class is MaskClass.OTHER else None, **rest
    ),
    mask_class=st.sampled_from(MaskClass),
    name=LINES.map(lambda line: line[:40].strip()),
    model=LINES,
    size=maybe(LINES),
    maker=LINES,
    style=st.sampled_from(Style),
    as_sold=SLOTS,
    filter=maybe(
        st.builds(Filter, penetration_percent=st.floats(1e-9, 100), flow_l_min=maybe(st.floats(1, 1000)), source=LINES)
    ),
    notes=maybe(PROSE),
    source=SOURCES,
)
PARTS = st.builds(
    Part,
    name=LINES,
    slot=st.sampled_from(Slot),
    material=LINES,
    dimensions=maybe(LINES),
    fitting=PROSE,
    can_be_undone=st.booleans(),
    cautions=st.lists(LINES, max_size=3).map(tuple),
    section=maybe(STRIPS | ROUNDS),
    notes=maybe(PROSE),
    source=SOURCES,
)
FACES = st.builds(
    Face,
    wearer=IDS,
    length_mm=st.floats(80, 170),
    width_mm=st.floats(90, 190),
    nose_bridge=maybe(st.sampled_from(NoseBridge)),
    facial_hair=st.sampled_from(FacialHair),
) | st.builds(Face, wearer=IDS, cell=st.integers(1, 10), facial_hair=st.just(FacialHair.NONE))
COUNTS = st.builds(
    Count, phase=st.sampled_from(Phase), seconds=st.floats(0.1, 86_400), particles=st.integers(0, 10**12)
) | st.builds(
    Count,
    phase=st.just(Phase.MASK),
    exercise=st.sampled_from(Exercise),
    seconds=st.floats(0.1, 86_400),
    concentration=st.floats(0, 1e9),
)
RESULTS = st.builds(
    Result,
    protocol=st.sampled_from(Protocol),
    fit_factor=maybe(FACTORS),
    at_least=st.booleans(),
    set_aside=maybe(LINES),
    exercise=st.lists(
        st.builds(ExerciseResult, name=st.sampled_from(Exercise), fit_factor=maybe(FACTORS), at_least=st.booleans()),
        max_size=3,
    ).map(tuple),
    counts=st.lists(COUNTS, max_size=3).map(tuple),
)
TESTS = st.builds(
    Test,
    mask=IDS,
    date=st.dates(dt.date(1, 1, 1)),
    contributor=IDS,
    configuration=SLOTS,
    face=FACES,
    result=RESULTS,
    specimen=st.builds(
        Specimen,
        label=maybe(IDS.map(lambda name: name[:40].strip("-"))),
        lot=maybe(LINES.map(lambda line: line[:40].strip())),
        donnings_before=maybe(st.integers(0, 10_000)),
        hours_before=maybe(st.floats(0, 10_000)),
        straps_mm=maybe(st.floats(0, 1000)),
        straps_notch=maybe(st.integers(1, 100)),
    ),
    conditions=st.builds(
        Conditions,
        instrument=maybe(st.sampled_from(Instrument)),
        size_selection=maybe(st.sampled_from(SizeSelection)),
        ambient_per_cm3=maybe(st.floats(1e-9, 1e7)),
        aerosol=maybe(st.sampled_from(Aerosol)),
        probe=maybe(st.sampled_from(Probe)),
        purge_seconds=maybe(st.floats(0, 600)),
        zero_check=maybe(st.sampled_from(Check)),
        probe_check=maybe(st.sampled_from(Check)),
        seal_check=maybe(st.sampled_from(Check)),
        helped=maybe(st.booleans()),
        glasses=maybe(st.booleans()),
        order=maybe(st.integers(1, 1000)),
        temperature_c=maybe(st.floats(-40, 60)),
        humidity_percent=maybe(st.floats(0, 100)),
    ),
    observations=st.builds(
        Observations,
        leaks=st.lists(st.sampled_from(Leak), unique=True).map(tuple),
        comfort=maybe(st.integers(1, 5)),
        breathing_effort=maybe(st.integers(1, 5)),
        touches_eyes=maybe(st.booleans()),
        fogging=maybe(st.booleans()),
        notes=maybe(PROSE),
    ),
    source=SOURCES,
)


REMOVED = st.builds(
    Removed,
    removed=st.lists(
        st.builds(Removal, test=IDS.map("{}/2026-09-12-blue-heron-1".format), date=st.dates(), reason=LINES)
        | st.builds(Removal, mask=IDS, date=st.dates(), reason=LINES),
        max_size=3,
    ).map(tuple),
)


def reads_back(record: BaseModel) -> None:
    assert type(record).model_validate(tomllib.loads(to_toml(record))) == record  # type: ignore[arg-type]


@given(MASKS)
def test_masks_read_back(mask: Mask) -> None:
    reads_back(mask)


@given(PARTS)
def test_parts_read_back(part: Part) -> None:
    reads_back(part)


@given(TESTS)
def test_tests_read_back(test: Test) -> None:
    reads_back(test)


@given(REMOVED)
def test_what_was_taken_out_reads_back(removed: Removed) -> None:
    reads_back(removed)


@given(st.text())
def test_any_string_reads_back_even_one_no_record_would_take(anything: str) -> None:
    unchecked = Part.model_construct(_fields_set=None, name=anything, cautions=(anything, anything))
    read = tomllib.loads(to_toml(unchecked))
    assert read == {"name": anything, "cautions": [anything, anything]}


def test_a_test_reads_like_the_annotated_example() -> None:
    test = Test(
        mask="oskivel-m",
        date=dt.date(2024, 3, 9),
        contributor="tamuro",
        configuration=Slots.model_validate({"nose-wire": "broad-strip", "straps": "crossed-band"}),
        face=Face(
            wearer="velnika",
            length_mm=117.0,
            width_mm=138.5,
            nose_bridge=NoseBridge.HIGH,
            facial_hair=FacialHair.NONE,
        ),
        result=Result(
            protocol=Protocol.FREE,
            exercise=(
                ExerciseResult(name=Exercise.TALKING, fit_factor=50),
                ExerciseResult(name=Exercise.GRIMACE),
            ),
        ),
        observations=Observations(leaks=(Leak.NOSE, Leak.CHIN), notes='"Warm",\nsaid the wearer.'),
        source=Source(invented=True),
    )
    assert to_toml(test) == (
        "#:schema ../../../builder/schemas/test.schema.json\n"
        'mask = "oskivel-m"\n'
        "date = 2024-03-09\n"
        'contributor = "tamuro"\n'
        "\n"
        "[configuration]\n"
        'straps = "crossed-band"\n'
        'nose-wire = "broad-strip"\n'
        "\n"
        "[face]\n"
        'wearer = "velnika"\n'
        "length_mm = 117\n"
        "width_mm = 138.5\n"
        'nose_bridge = "high"\n'
        'facial_hair = "none"\n'
        "\n"
        "[result]\n"
        'protocol = "free"\n'
        "\n"
        "[[result.exercise]]\n"
        'name = "talking"\n'
        "fit_factor = 50\n"
        "\n"
        "[[result.exercise]]\n"
        'name = "grimace"\n'
        "\n"
        "[observations]\n"
        'leaks = ["nose", "chin"]\n'
        'notes = "\\"Warm\\",\\nsaid the wearer."\n'
        "\n"
        "[source]\n"
        "invented = true\n"
    )


def test_long_lists_get_a_line_an_item() -> None:
    part = Part(
        name="Edge tape",
        slot=Slot.EDGE,
        material="Paper tape",
        fitting="Along the rim.",
        can_be_undone=True,
        cautions=("Tape can irritate skin; take it off slowly.", "It ends the approval of a certified respirator."),
    )
    assert to_toml(part).endswith(
        "cautions = [\n"
        '    "Tape can irritate skin; take it off slowly.",\n'
        '    "It ends the approval of a certified respirator.",\n'
        "]\n"
    )


def test_a_list_of_ninety_characters_stays_on_its_line() -> None:
    def written(long: int) -> str:
        cautions = ("😷" * long, "b")
        part = Part(name="x", slot=Slot.EDGE, material="x", fitting="x", can_be_undone=True, cautions=cautions)
        return to_toml(part)

    ninety = f'["{"😷" * 81}", "b"]'
    assert len(ninety) == 90
    assert f"cautions = {ninety}\n" in written(81)
    assert f'cautions = [\n    "{"😷" * 82}",\n    "b",\n]\n' in written(82)
