"""The words of a log, whatever the counter or the person calls them: columns, units, phases, exercises.

They stand as data in `log_words.toml`, beside this file.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, Literal

Role = Literal[
    "seconds",
    "start",
    "date",
    "duration",
    "phase",
    "exercise",
    "particles",
    "concentration",
    "flow_cm3_s",
    "inside",
    "outside",
]
"""What a column holds."""

Measure = Literal["particles", "concentration", "rate", "mass"]
"""What a column of readings holds: particles, particles per cm³, particles a second, dust by weight."""

_MEASURES: dict[str, Measure] = {
    "particles": "particles",
    "concentration": "concentration",
    "rate": "rate",
    "mass": "mass",
}
_MARKS = re.compile(r"[\s_\-/:;.,()\[\]{}+&|#*=]+")
_NUMBERED = re.compile(r"\d+$")
_BRACKETS = re.compile(r"[(\[{]([^()\[\]{}]*)[)\]}]")
_PER = re.compile(r"(.*?)[\s_,/]+(?:in\s+)?((?:#|\w+)?\s?(?:/|per)\s?\S+|\S+)$")
_SAME = str.maketrans(
    {"³": "3", "²": "2", "µ": "u", "μ": "u", "⁻": "-", " ": "", ".": "", "^": "", "*": "", "\xa0": ""}
)


@dataclass(frozen=True)
class NamedColumn:
    """What the name of a column says: what it holds, and of readings the measure; `factor` makes the usual unit of it.

    The usual units are seconds, particles, particles per cm³, particles a second, cm³ a second. Of several columns for
    the same the one of lowest `rank` has the plainest name.
    """

    role: Role
    measure: Measure | None = None
    factor: float = 1.0
    rank: int = 1000


@dataclass(frozen=True)
class SaidPhase:
    """What the counter breathed, and what the wearer did, each "" where it is not said."""

    phase: str = ""
    exercise: str = ""


@cache
def words() -> dict[str, Any]:
    """Give the words as the file has them."""
    return tomllib.loads(files(__package__).joinpath("log_words.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=4096)
def named_column(name: str, unit: str = "") -> NamedColumn | None:
    """Understand the name of a column, with its unit in it or apart. None for one that means nothing here."""
    text, unit = name.strip().lower(), _BRACKETS.sub(r"\1", unit)
    if bracket := _BRACKETS.search(text):
        without = _plain(_BRACKETS.sub(" ", text))
        return (
            _named(without, _unit(unit or bracket[1]))
            or (_named(_plain(text), None) if without else None)
            or _named_alone(without, bracket[1])
        )
    known = _unit(unit)
    if found := _named(_plain(text), known):
        return found
    if alone := _unit(text):  # a unit and no name, such as #/cc
        return _named("", alone)
    if (parts := _PER.match(text)) and (said := _unit(parts[2])):
        return _named(_plain(parts[1]), said)
    return None


def unit_factor(text: str) -> tuple[str, float] | None:
    """Give what a unit measures, and the factor that makes the usual unit of it. None for no unit."""
    return _unit(_BRACKETS.sub(r"\1", text))


def is_unit(text: str) -> bool:
    """Whether a cell, such as one in a row below the header, is a unit."""
    return unit_factor(text) is not None


@lru_cache(maxsize=4096)
def said_phase(text: str) -> SaidPhase | None:
    """Understand a phase, an exercise, or both in one cell. None where a word is not known.

    An exercise alone was done in the mask. A flushed hose counts for nothing, whatever else is said.
    """
    left = tuple(word for word in map(_without_number, _plain(text.lower()).split()) if word)
    if len(left) == 1 and left[0] in _alone():
        return SaidPhase(_alone()[left[0]])
    phases: list[str] = []
    exercises: list[str] = []
    while left:
        for length in range(len(left), 0, -1):
            part = " ".join(left[:length])
            if part in _exercises():
                exercises.append(_exercises()[part])
            elif part in _phases():
                phases.append(_phases()[part])
            elif part not in _fillers():
                continue
            left = left[length:]
            break
        else:
            return None
    if "purge" in phases:
        return SaidPhase("purge")
    special = [phase for phase in phases if phase not in ("ambient", "mask")]
    phase = (special or phases or [""])[0]
    exercise = exercises[0] if len(set(exercises)) == 1 else ""
    if not (phase or exercise) or len(set(exercises)) > 1 or len(set(phases) - set(special)) > 1:
        return None
    return SaidPhase(phase or "mask", exercise)


def _named(name: str, unit: tuple[str, float] | None) -> NamedColumn | None:
    kind, factor = unit or ("", 1.0)
    measure = _MEASURES.get(kind)
    role, rank = _columns().get(name, (None, 1000))
    if role in ("particles", "concentration") or (not name and measure):
        if kind and not measure:
            return None
        measure = measure or ("particles" if role == "particles" else "concentration")
        return NamedColumn("particles" if measure in ("particles", "rate") else "concentration", measure, factor, rank)
    if not name and kind == "seconds":
        return NamedColumn("seconds", None, factor)
    if role:
        fitting = {"seconds": "seconds", "start": "seconds", "duration": "seconds", "flow_cm3_s": "flow"}.get(role)
        return NamedColumn(role, None, factor, rank) if kind in ("", fitting) else None
    return _placed(name, measure, factor) if name and (measure or not kind) else None


def _named_alone(name: str, remark: str) -> NamedColumn | None:
    """Understand a name whose brackets hold a remark, such as `Time (local)`, and no unit of something else."""
    return _named(name, None) if _unit(remark) is None else None


def _placed(name: str, measure: Measure | None, factor: float) -> NamedColumn | None:
    """Understand a name that says of which air a column is, such as `ambient conc`."""
    place: Role | None = None
    left = tuple(word for word in map(_without_number, name.split()) if word)
    while left:
        for length in range(len(left), 0, -1):
            part = " ".join(left[:length])
            if part in _places() and place in (None, _places()[part]):
                place = _places()[part]
            elif role := _MEASURES.get(_columns().get(part, ("", 0))[0]):
                measure = measure or role
            elif part not in words()["beside"]["place"]:
                continue
            left = left[length:]
            break
        else:
            return None
    return NamedColumn(place, measure or "concentration", factor) if place else None


def _plain(text: str) -> str:
    return " ".join(_MARKS.sub(" ", text).split())


def _without_number(word: str) -> str:
    return _NUMBERED.sub("", word)


def _unit(text: str) -> tuple[str, float] | None:
    return _units().get(text.strip().lower().translate(_SAME))


def units_by_factor() -> dict[str, list[tuple[float, list[str]]]]:
    """Give the names of units, by what they measure and by the factor that makes the usual unit of them."""
    return {kind: _flat(factors) for kind, factors in words()["units"].items()}


@cache
def _units() -> dict[str, tuple[str, float]]:
    return {
        unit: (kind, factor)
        for kind, factors in units_by_factor().items()
        for factor, units in factors
        for unit in units
    }


def _flat(table: dict[str, Any], before: str = "") -> list[tuple[float, list[str]]]:
    """Join keys that TOML takes apart at the decimal point: `0.001` is a table in a table."""
    found: list[tuple[float, list[str]]] = []
    for key, value in table.items():
        whole = f"{before}.{key}" if before else key
        found += _flat(value, whole) if isinstance(value, dict) else [(float(whole), value)]
    return found


@cache
def _columns() -> dict[str, tuple[Role, int]]:
    columns: dict[Role, list[str]] = words()["columns"]
    return {name: (role, rank) for role, names in columns.items() for rank, name in enumerate(names)}


@cache
def _places() -> dict[str, Role]:
    return {name: place for place, names in words()["places"].items() for name in names}


@cache
def _phases() -> dict[str, str]:
    return {name: phase for phase, names in words()["phases"].items() for name in names}


@cache
def _alone() -> dict[str, str]:
    return {name: phase for phase, names in words()["phases_alone"].items() for name in names}


@cache
def _exercises() -> dict[str, str]:
    return {_plain(name): exercise for exercise, names in words()["exercises"].items() for name in (*names, exercise)}


@cache
def _fillers() -> frozenset[str]:
    return frozenset(words()["beside"]["phase"])
