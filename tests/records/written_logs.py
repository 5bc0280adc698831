"""One run, written down in the ways that counters and people write logs. Its fit factors are known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tests.records.logs import SHORT

FIT_FACTORS = {"bending-over": 50.0, "talking": 100.0, "head-side-to-side": 200.0, "head-up-and-down": 200.0}
OVERALL = 100.0
"""The harmonic mean of the four."""

THIN = "\u2009"
START = datetime(2026, 9, 12, 14, 3, 20)
NAMES = {
    "bending-over": "Bend over",
    "talking": "TALKING",
    "head-side-to-side": "side to side",
    "head-up-and-down": "Up/Down",
    "": "",
}


@dataclass(frozen=True)
class Second:
    """One second of the run: when it ended, what was sampled, and the particles counted."""

    at: int
    phase: str
    exercise: str
    particles: int


def seconds(in_mask: Sequence[int] = (20, 10, 5, 5), ambient: int = 1000) -> list[Second]:
    """Give the run second by second: ambient 20, purge 11, four times 30 in the mask, purge 4, ambient 9."""
    parts = [(20, "ambient", "", ambient), (11, "purge", "", 77)]
    parts += [(30, "mask", exercise, count) for exercise, count in zip(SHORT, in_mask, strict=True)]
    parts += [(4, "purge", "", 77), (9, "ambient", "", ambient)]
    lines = [part[1:] for part in parts for _ in range(part[0])]
    return [Second(at, *line) for at, line in enumerate(lines, 1)]


def table(header: str, row: Callable[[Second], str], run: Iterable[Second] | None = None, end: str = "\n") -> str:
    """Write a line a second below a header."""
    return end.join([header, *map(row, seconds() if run is None else run)]) + end


def comma(number: float, places: int = 1) -> str:
    """Write a number with a decimal comma."""
    return f"{number:.{places}f}".replace(".", ",")


def grouped(number: int, mark: str) -> str:
    """Write a whole number with a mark between thousands."""
    return f"{number:,}".replace(",", mark)


def _clock(second: Second, form: str) -> str:
    return (START + timedelta(seconds=second.at)).strftime(form)


def _spoken(second: Second) -> str:
    return {"ambient": "Room air", "purge": "flush", "mask": f"In mask - {NAMES[second.exercise]}"}[second.phase]


def _codes(second: Second) -> str:
    return (
        {"bending-over": "bend", "talking": "Talk", "head-side-to-side": "SS", "head-up-and-down": "UD"}[
            second.exercise
        ]
        if second.exercise
        else {"ambient": "Amb", "purge": "purge"}[second.phase]
    )


def _begins(second: Second) -> bool:
    return second.at in (1, 21, 32, 62, 92, 122, 152, 156)


_PREAMBLE = "Particle log 7\nSerial;0815;Operator;blue\nStarted: 12.09.2026 14:03\n\n"
_AIRS = ("ambient", "mask")
_CANONICAL = table("seconds,phase,exercise,particles", lambda s: f"{s.at},{s.phase},{s.exercise},{s.particles}")

WAYS: dict[str, str | bytes] = {
    "commas, the names used here": _CANONICAL,
    "semicolons and a decimal comma": table(
        "Zeit (s);Phase;Übung;Konzentration (#/cm³)",
        lambda s: f"{comma(s.at)};{s.phase};{s.exercise};{comma(s.particles / 2)}",
    ),
    "tabs and thousands by points": table(
        "Time [s]\tPhase\tExercise\tParticles",
        lambda s: f"{s.at}\t{s.phase}\t{s.exercise}\t{grouped(s.particles * 12, '.')}",
    ),
    "thousands by commas, in quotation marks": table(
        "Time (s),Phase,Exercise,Counts",
        lambda s: f'{s.at},{s.phase},{s.exercise},"{grouped(s.particles * 9, ",")}"',
    ),
    "thousands by spaces, points for decimals": table(
        "time;phase;exercise;conc",
        lambda s: f"{s.at}.0;{s.phase};{s.exercise};{grouped(s.particles * 13, ' ')}.5",
    ),
    "UTF-8 with a mark": ("\ufeff" + _CANONICAL).encode(),
    "UTF-16": _CANONICAL.encode("utf-16"),
    "UTF-16 without a mark": _CANONICAL.encode("utf-16-le"),
    "Latin-1": table(
        "Zeit;Messort;Übung;Konz. (1/cm³)",
        lambda s: f"{s.at};{_codes(s) if s.phase == 'mask' else _spoken(s)};;{s.particles}",
    ).encode("latin-1"),
    "lines before the header, and remarks": _PREAMBLE
    + table(
        "# the run itself\nTime (s);Phase;Exercise;Count",
        lambda s: f"{'# hose moved' + chr(10) if s.at == 40 else ''}{s.at};{s.phase};{s.exercise};{s.particles}",
    ),
    "a header that is a remark": table(
        "# time, phase, exercise, particles", lambda s: f"{s.at}, {s.phase}, {s.exercise}, {s.particles}"
    ),
    "other order and further columns": table(
        "Battery (V),Count,Temp (C),Activity,Sample,#,Elapsed time (s)",
        lambda s: f"3.9,{s.particles},21.{s.at % 10},{NAMES[s.exercise]},{s.phase.upper()},{s.at},{s.at}",
    ),
    "units in a row of their own": table(
        "Time;Phase;Exercise;Conc.\ns;;;#/cc", lambda s: f"{s.at};{s.phase};{s.exercise};{s.particles / 4}"
    ),
    "clock time": table(
        "Time,Location,Conc. (#/cc)", lambda s: f"{_clock(s, '%H:%M:%S')},{_spoken(s)},{s.particles / 10}"
    ),
    "clock time in halves of the day": table(
        "Date,Time,Sample,Particles", lambda s: f"{_clock(s, '%m/%d/%Y,%I:%M:%S %p')},{_codes(s)},{s.particles}"
    ),
    "ISO time": table(
        "timestamp,phase,count", lambda s: f"{_clock(s, '%Y-%m-%dT%H:%M:%S')}.000Z,{_spoken(s)},{s.particles}"
    ),
    "date and time, the day first": table(
        "Datum Zeit;Ort;Anzahl", lambda s: f"{_clock(s, '%d.%m.%Y %H:%M:%S')};{_spoken(s)};{s.particles}"
    ),
    "seconds since 1970": table("epoch,phase,counts", lambda s: f"{1789221800 + s.at},{_codes(s)},{s.particles}"),
    "thousandths since 1970": table(
        "unix time (ms)|inlet|counts".replace(" (ms)", ""),
        lambda s: f"{(1789221800 + s.at) * 1000}|{_codes(s)}|{s.particles}",
    ),
    "minutes": table("Elapsed (min);What;Count", lambda s: f"{comma(s.at / 60, 6)};{_codes(s)};{s.particles}"),
    "past midnight": table(
        "Clock;Place;Count",
        lambda s: f"{(datetime(2026, 9, 12, 23, 58, 30) + timedelta(seconds=s.at)):%H:%M:%S};{_codes(s)};{s.particles}",
    ),
    "stopwatch": table("t,phase,n", lambda s: f"{s.at // 60}:{s.at % 60:02d},{_codes(s)},{s.particles}"),
    "a phase named where it begins": table(
        "time,phase,particles", lambda s: f"{s.at},{_codes(s) if _begins(s) else ''},{s.particles}"
    ),
    "a row a phase, with its length": "Phase;Exercise;Duration (s);Particles\n"
    "Ambient before;;20;20000\nMask;bending;30;600\nMask;talk;30;300\nMask;head side to side;30;150\n"
    "Mask;nodding;30;150\nAmbient after;;9;9000\n",
    "particles a second": table(
        "Time (s),Phase,Count rate (1/s)".replace("Count rate", "Counts"),
        lambda s: f"{s.at},{_spoken(s)},{s.particles}.0",
    ),
    "no header": table("", lambda s: f"{s.at},{_codes(s)},{s.particles}")[1:],
    "numbered phases": table(
        "seconds,phase,particles",
        lambda s: f"{s.at},{'Ambient ' + str(1 + (s.at > 50)) if s.phase == 'ambient' else _spoken(s)},{s.particles}",
    ),
    "white space": table("time phase exercise count", lambda s: f"{s.at} {s.phase} {s.exercise or '-'} {s.particles}"),
    "old line ends and a last comma": table(
        "seconds,phase,particles,", lambda s: f"{s.at},{_codes(s)},{s.particles},", end="\r"
    ),
    "two columns filled by turns": table(
        "Time (s),Ambient (#/cc),In mask (#/cc),Exercise",
        lambda s: ",".join([f"{s.at}", *(f"{s.particles}" * (s.phase == air) for air in _AIRS), s.exercise]),
        [second for second in seconds() if second.phase != "purge"],
    ),
    "thousands by thin spaces": table(
        "Time (s);Phase;Exercise;Count", lambda s: f"{s.at};{s.phase};{s.exercise};{grouped(s.particles * 11, THIN)}"
    ),
    "a header of two lines": table(
        "Elapsed,Sampled,,Particle\ntime (s),air,Exercise,count",
        lambda s: f"{s.at},{s.phase},{s.exercise},{s.particles}",
    ),
    "units in brackets in a row of their own": table(
        "Time,Phase,Exercise,Concentration\n[min],[],[],[#/L]",
        lambda s: f"{s.at / 60:.5f},{s.phase},{s.exercise},{s.particles * 250}",
    ),
    "units in the cells": table("Time,Sample,Level", lambda s: f"{s.at}.0 s,{_spoken(s)},{s.particles / 4} #/cc"),
    "decimals by points in one column and by commas in another": table(
        "Zeit (s)\tPhase\tKonz. (#/cm³)", lambda s: f"{s.at:.2f}\t{_codes(s)}\t{comma(s.particles / 7, 3)}"
    ),
    "separators behind the last cell": table("Time;Phase;Count", lambda s: f"{s.at};{_codes(s)};{s.particles};;"),
    "every cell in quotation marks": table(
        '"Time, s";"Phase";"Conc, #/cc"', lambda s: f'"{s.at}";"{_spoken(s)}";"{s.particles}"'
    ),
    "tabs that align": table(
        "Time (s)\tPhase\t\tCount",
        lambda s: f"{s.at}\t\t{_codes(s)}\t{chr(9) * (len(_codes(s)) < 4)}{s.particles}",
    ),
    "spaces that align": table(
        "Time (s)    Sampled air     Particle count",
        lambda s: f"{s.at:<12}{_spoken(s):<40}{s.particles}",
    ),
    "empty lines between the phases": table(
        "time,phase,count",
        lambda s: f"{',,' + chr(10) + chr(10) if _begins(s) else ''}{s.at},{_codes(s)},{s.particles}",
    ),
    "the header again in the middle": table(
        "Time (s),Phase,Count",
        lambda s: f"{'Time (s),Phase,Count' + chr(10) if s.at in (60, 120) else ''}{s.at},{_codes(s)},{s.particles}",
    ),
    "clock time set back for the winter": table(
        "Time,Phase,Count",
        lambda s: f"{_clock(replace(s, at=s.at - 3600 * (s.at > 110)), '%H:%M:%S')},{_codes(s)},{s.particles}",
    ),
    "clock time set forward for the summer": table(
        "Time,Phase,Count",
        lambda s: f"{_clock(replace(s, at=s.at + 3600 * (s.at > 110)), '%H:%M:%S')},{_codes(s)},{s.particles}",
    ),
    "clock time in small letters, without a space": table(
        "Local time;Probe;Anzahl", lambda s: f"{_clock(s, '%I:%M:%S%p').lower().lstrip('0')};{_codes(s)};{s.particles}"
    ),
    "dates with the name of the month": table(
        "Timestamp,Phase,Count", lambda s: f"{_clock(s, '%d-%b-%Y %H:%M:%S')},{_codes(s)},{s.particles}"
    ),
    "dates with the month first": table(
        "Date and time;Phase;Count", lambda s: f"{_clock(s, '%a, %B %d, %Y %I:%M:%S %p')};{_codes(s)};{s.particles}"
    ),
    "a stopwatch with hours and tenths": table(
        "Elapsed,Phase,Count", lambda s: f"0:{s.at // 60:02d}:{s.at % 60:02d}.0,{_codes(s)},{s.particles}"
    ),
    "what parts the cells said in the first line": table(
        "sep=;\nTime;Phase;Count", lambda s: f"{s.at};{_codes(s)};{s.particles}"
    ),
    "days since 1900": table(
        "Time\tPhase\tCount", lambda s: f"{comma(46277.5 + s.at / 86400, 8)}\t{_codes(s)}\t{s.particles}"
    ),
    "parts of a day": table("Time,Phase,Count", lambda s: f"{0.5 + s.at / 86400:.8f},{_codes(s)},{s.particles}"),
    "the newest row first": table(
        "Time,Phase,Count", lambda s: f"{_clock(s, '%H:%M:%S')},{_codes(s)},{s.particles}", seconds()[::-1]
    ),
    "two rows a second, stamped in seconds": table(
        "Time (s),Phase,Count",
        lambda s: "\n".join(
            f"{s.at},{_codes(s)},{part}" for part in (s.particles // 2, s.particles - s.particles // 2)
        ),
    ),
    "two rows exchanged": table(
        "Time (s),Phase,Count",
        lambda s: f"{s.at},{_codes(s)},{s.particles}",
        sorted(seconds(), key=lambda s: 51.5 if s.at == 50 else s.at),
    ),
    "when each row started": table(
        "Start;Phase;Count", lambda s: f"{_clock(replace(s, at=s.at - 1), '%H:%M:%S')};{_codes(s)};{s.particles}"
    ),
    "a row a phase, with its start and length": "Start (s),Duration (s),Phase,Exercise,Particles\n"
    "100,20,Ambient,,20000\n131,30,Mask,bend,600\n161,30,Mask,talk,300\n191,30,Mask,side to side,150\n"
    "221,30,Mask,up and down,150\n255,9,Ambient,,9000\n",
    "totals below": table("Time (s),Phase,Exercise,Count", lambda s: f"{s.at},{s.phase},{s.exercise},{s.particles}")
    + "\nTotal,,,30200\nMean,,,183.0\n\nOverall FF: 100\nPass\n",
    "a table of results below": table("Time (s);Phase;Count", lambda s: f"{s.at};{_codes(s)};{s.particles}")
    + "\nExercise;FF\nBend;50\nTalk;100\nHarmonic mean;100\n\n-- end of log --\n",
    "cells without a reading": table(
        "Time (s),Phase,Conc. (#/cc)",
        lambda s: f"{s.at},{_codes(s)},{['n/a', '---', 'NaN', ''][s.at % 4] if s.at % 23 == 5 else s.particles}",
    ),
    "readings above the counter's range": table(
        "Time (s),Phase,Conc. (#/cc)",
        lambda s: f"{s.at},{_codes(s)},{['OL', '>9999'][s.at % 2] if s.at in (7, 160) else s.particles}",
    ),
    "readings below a limit": table(
        "Time (s),Phase,Conc. (#/cc)", lambda s: f"{s.at},{_codes(s)},{'<5' if s.particles == 5 else s.particles}"
    ),
    "readings a little below nought": table(
        "Time (s),Phase,PM (ug/m3)",
        lambda s: f"{s.at},{_codes(s)},{[1.001, -0.001][s.at % 2] if s.particles == 5 else s.particles / 10}",
    ),
    "numbers with an exponent, and a last line cut off": table(
        "Time (s),Phase,Count", lambda s: f"{s.at:.3E},{_codes(s)},{float(s.particles):.2e}"
    )
    + "1.65",
    "inside and outside at once": table(
        "Time (s),Activity,Outside (#/cc),Inside (#/cc)",
        lambda s: f"{s.at},{NAMES[s.exercise]},1000,{s.particles}",
    ),
    "inside and outside at once, by sensors that were compared": table(
        "Clock;Phase;Exercise;Mask particles;Ambient particles",
        lambda s: f"{_clock(s, '%H:%M:%S')};{s.phase};{s.exercise};{s.particles * 4};{1000 * 5}",
        [replace(second, particles=1000) if second.phase == "ambient" else second for second in seconds()],
    ),
}
"""The same run in so many ways, each told in a few words."""

TOLD: dict[str, tuple[str, ...]] = {
    "two rows exchanged": ("gaps", "backwards"),
    "two columns filled by turns": ("gaps",),
    "clock time set back for the winter": ("backwards",),
    "clock time set forward for the summer": ("gaps",),
    "the header again in the middle": ("repeated_headers",),
    "the newest row first": ("newest_first",),
    "two rows a second, stamped in seconds": ("coarse_clock",),
    "totals below": ("lines_below",),
    "a table of results below": ("lines_below",),
    "cells without a reading": ("missing_readings",),
    "readings above the counter's range": ("over_range",),
    "readings below a limit": ("below_limit",),
    "readings a little below nought": ("below_zero",),
    "numbers with an exponent, and a last line cut off": ("lines_below",),
}
"""Which doubt each way gives reason for, of those that a way of writing can."""
