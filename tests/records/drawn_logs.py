"""Logs drawn at random: a run whose truth is known, written in any of many ways."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from hypothesis import strategies as st

from builder.records.logs.log_words import words
from tests.records.written_logs import START, Second, seconds

PHASES = {
    "ambient": ["ambient", "Ambient", "ROOM", "room air", "Outside", "amb. 1", "background"],
    "mask": ["mask", "In mask", "INSIDE", "respirator", "Mask on"],
    "purge": ["purge", "Purging", "flush", "settle"],
}
DOINGS = {
    "bending-over": ["bending-over", "Bend", "bending at the waist", "BO"],
    "talking": ["talking", "Talk", "reading aloud", "Speech"],
    "head-side-to-side": ["head-side-to-side", "Side to side", "turn head", "left/right"],
    "head-up-and-down": ["head-up-and-down", "Up and down", "nodding", "UP DOWN"],
    "": ["", "-"],
}
TIMES: dict[str, Callable[[int], str]] = {
    "Time (s)": lambda at: f"{at:.1f}",
    "Elapsed (min)": lambda at: f"{at / 60:.7f}",
    "clock": lambda at: f"{START + timedelta(seconds=at):%H:%M:%S}",
    "Timestamp": lambda at: f"{START + timedelta(seconds=at):%Y-%m-%dT%H:%M:%S+02:00}",
    "Date and time": lambda at: f"{START + timedelta(seconds=at):%d.%m.%Y %H:%M:%S}",
    "Epoch": lambda at: f"{1_789_221_800 + at}",
    "Unix time": lambda at: f"{(1_789_221_800 + at) * 1000}",
}
MEASURES: dict[str, Callable[[int], float]] = {
    "Particles": lambda count: count,
    "Conc. (#/cc)": lambda count: count / 8,
    "Concentration [particles/L]": lambda count: count * 125,
    "count/s": float,
    "PM (ug/m3)": lambda count: count / 16,
}
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "latin-1"]
"""All of them write every character that is drawn here."""


@st.composite
def layouts(draw: st.DrawFn) -> tuple[bytes, list[int], int]:
    """Draw a run and a way to write it: the file, the particles a second in each exercise, those of the room air."""
    in_mask = draw(st.lists(st.integers(1, 900), min_size=4, max_size=4))
    ambient = draw(st.integers(1000, 60_000))
    delimiter = draw(st.sampled_from([",", ";", "\t", "|"]))
    decimal = draw(st.sampled_from(".," if delimiter != "," else "."))
    parting = draw(st.sampled_from(["", "", "." if decimal == "," else ",", " ", "'"]))
    time, measure = draw(st.sampled_from(list(TIMES))), draw(st.sampled_from(list(MEASURES)))
    said = {phase: draw(st.sampled_from(names)) for phase, names in PHASES.items()}
    done = {exercise: draw(st.sampled_from(names)) for exercise, names in DOINGS.items()}
    joined = draw(st.booleans())

    missing = draw(st.sets(st.integers(1, 164), max_size=3))
    blank = draw(st.sampled_from(["n/a", "---", "NaN", "OL", ""]))

    def number(value: float) -> str:
        text = f"{value:,.4f}" if isinstance(value, float) else f"{value:,}"
        text = text.replace(",", "\0").replace(".", decimal).replace("\0", parting)
        return f'"{text}"' if delimiter in text else text

    def cells(second: Second) -> list[str]:
        at = TIMES[time](second.at)
        phase, exercise = said[second.phase], done[second.exercise]
        return [
            at.replace(".", decimal) if time in ("Time (s)", "Elapsed (min)") else at,
            f"{phase} {exercise}".strip(" -") if joined and second.phase == "mask" else phase,
            "" if joined else exercise,
            blank if second.at in missing else number(MEASURES[measure](second.particles)),
            number(20.5 + second.at % 3),
        ]

    names = [time, draw(st.sampled_from(["Phase", "sample", "Location"])), "Exercise", measure, "Temperature (C)"]
    order = draw(st.permutations(range(5)))
    above = draw(st.sampled_from(["", "Log of a run\n", "Serial: 12\nStart: 14:03\n\n", "# made at home\n"]))
    if draw(st.booleans()):
        above = f"sep={delimiter}\n{above}"
    end = draw(st.sampled_from(["\n", "\r\n"]))
    header, *rows = (
        delimiter.join(row[place] for place in order) for row in [names, *map(cells, seconds(in_mask, ambient))]
    )
    if draw(st.booleans()):
        rows.reverse()
    for place in draw(st.lists(st.integers(25, 140), max_size=2)):
        rows.insert(place, draw(st.sampled_from(["", header, delimiter * 4, "# moved the hose"])))
    below = draw(st.sampled_from(["", "", "Total: 30\nPass\n", f"\nMean{delimiter * 4}\n", "-- end --"]))
    text = above + end.join([header, *rows, below])
    return text.encode(draw(st.sampled_from(ENCODINGS))), in_mask, ambient


@st.composite
def unphased(draw: st.DrawFn) -> tuple[str, list[int], int]:
    """Draw a log of time and counts alone: the file, the particles a second in each exercise, those of the room air.

    It begins up to 15 s late or a minute and a half early.
    """
    in_mask = draw(st.lists(st.integers(0, 90), min_size=4, max_size=4))
    ambient = draw(st.integers(1000, 60_000))
    late, after = draw(st.integers(-15, 90)), draw(st.integers(0, 60))
    header = draw(st.sampled_from(["Time (s),Count", "Zeit;Anzahl", "t\tParticles"]))
    parts = [ambient] * (20 + late) + [ambient // 3, ambient // 6] + [in_mask[0]] * 9
    parts += [count for count in in_mask for _ in range(30)] + [ambient] * (4 + 9 + after)
    mark = next(mark for mark in ",;\t" if mark in header)
    return "\n".join([header, *(f"{at}{mark}{count}" for at, count in enumerate(parts, 1))]), in_mask, ambient


_WORDS = ["mask", "ambient", "purge", "talking", "grimace", "same air", "swapped", "nan", "é", "OL", "n/a", "total"]
_NUMBERS = [
    "1",
    "2",
    "30",
    "0",
    "1e3",
    "",
    "-1",
    "<5",
    ">9",
    "5 s",
    "1,234",
    "1.234,5",
    "1 000",
    "'7'",
    '"8"',
    "46277.5",
]
_STAMPS = ["0:05", "23:59:59", "0:00:01", "12-Sep-2026 14:03:20", "1/2/70 1:00:00 PM", "2026-09-12T14:03:20+02:00"]
_texts = st.one_of(st.sampled_from([*_WORDS, *_NUMBERS, *_STAMPS]), st.text(max_size=5))
_rows = st.one_of(
    st.lists(_texts, min_size=3, max_size=5),
    st.tuples(
        st.integers(0, 90).map(str),
        st.sampled_from(["mask", "ambient"]),
        st.sampled_from(_NUMBERS).map(lambda t: f'"{t}"'),
    ).map(list),
)
_tables = st.lists(_rows.map(",".join), max_size=12).map("\n".join)
_headers = st.one_of(
    st.just("seconds,phase,particles"),
    st.just("seconds,phase,concentration"),
    st.just("start,phase,concentration"),
    st.just("time,inside,outside"),
    st.lists(st.sampled_from(list(words()["columns"])), min_size=1, max_size=5).map(",".join),
)


def hostile() -> st.SearchStrategy[bytes]:
    """Draw bytes, or a table of odd cells."""
    tables = st.tuples(_headers, _tables).map(lambda drawn: "\n".join(drawn).encode("utf-8", "replace"))
    return st.one_of(st.binary(max_size=200), tables)


@st.composite
def doubtful(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """Draw a run that gives reason to doubt, and how it is read: its clock, its phases, its readings."""
    measure = draw(st.sampled_from(["Particles", "Conc. (#/cc)", "count/s", "PM (ug/m3)", "two", "two conc"]))
    step = draw(st.sampled_from([0.5, 1.0, 1.0, 2.0]))
    start = draw(st.sampled_from([0.0, 0.0, 40.0, 50_000.0]))
    scale = draw(st.sampled_from([0.03, 1.0, 1.0, 60.0]))
    phases = draw(
        st.lists(
            st.tuples(
                st.sampled_from(["ambient", "mask", "mask", "purge", "same air", "swapped"]),
                st.sampled_from(["", "talking", "grimace", "bending-over"]),
                st.integers(1, 40),
                st.floats(0, 3),
                st.sampled_from(["plain", "plain", "constant", "tail", "none", "top"]),
            ),
            min_size=1,
            max_size=9,
        )
    )
    if draw(st.booleans()):
        phases = [("ambient", "", 20, 1.0, "plain"), *phases, ("ambient", "", 20, draw(st.floats(0.2, 3)), "plain")]
    odd_rows = draw(
        st.dictionaries(st.integers(2, 60), st.sampled_from(["gap", "repeat", "back", "overlap"]), max_size=3)
    )
    whole = measure in ("Particles", "two")
    time = start
    rows: list[str] = []
    for phase, exercise, length, level, way in phases:
        for at in range(length):
            odd = odd_rows.get(len(rows), "")
            time += {"gap": 7.0, "repeat": 0.0, "back": -3.0, "overlap": step / 4}.get(odd, step)
            air, masked = 1000 * level * scale, 12 * level * scale
            varied = 1 if way == "constant" else 1 + (len(rows) * 7 % 11 - 5) / 60
            far = 1 + (9 if phase == "mask" else -0.9) * 0.5**at if way == "tail" else 1
            readings = [masked * varied * far, air * varied * far]
            if way == "none":
                readings[0] = 0.0
            if way == "top":
                readings = [min(reading, air * 0.98) for reading in readings]
            if phase == "swapped":
                readings.reverse()
            elif phase == "same air":
                readings[0] = readings[1] * 0.8
            if not measure.startswith("two"):
                readings = [readings[0] if phase in ("mask", "swapped") else readings[1]]
            shown = [f"{reading:.0f}" if whole else f"{reading:.4f}" for reading in readings]
            said = phase if measure.startswith("two") or phase in ("ambient", "mask", "purge") else "same air"
            rows.append(f"{time:g},{said},{exercise if phase in ('mask', 'swapped') else ''},{','.join(shown)}")
    unit = {"two": "Inside counts,Outside counts", "two conc": "Inside (#/cc),Outside (#/cc)"}.get(measure, measure)
    options = draw(
        st.fixed_dictionaries(
            {},
            optional={
                "purgeMask": st.sampled_from([0.0, 3.0, 11.0, 30.0]),
                "purgeAmbient": st.sampled_from([0.0, 4.0, 25.0]),
                "instrument": st.sampled_from(["condensation-counter", "optical-counter"]),
                "schedule": st.sampled_from(
                    [
                        "one-exercise",
                        "short-four-exercise",
                        "ambient 20, mask talking 25, ambient 20",
                        "musk 9, ambient",
                    ]
                ),
            },
        )
    )
    return "\n".join([f"time (s),phase,exercise,{unit}", *rows]), options
