"""What the cells of phases and exercises say, as numbers."""

from __future__ import annotations

from collections.abc import Mapping

from builder.records.logs.log_words import said_phase
from builder.records.vocabulary import Exercise

EXERCISES = ("", *(word.value for word in Exercise))
"""What the exercises of a log are numbered by."""

_UNKNOWN = -1
_MOST_KEPT = 5000


class SaidPhases(dict[str, int]):
    """What cells of phases say: kind × the number of exercises + exercise; negative for what is not understood."""

    def __init__(self, kinds: Mapping[str, int]) -> None:
        super().__init__()
        self.kinds = kinds

    def __missing__(self, text: str) -> int:
        said = said_phase(text)
        if said is None or said.phase not in self.kinds:
            return _kept(self, text, _UNKNOWN)
        return _kept(self, text, self.kinds[said.phase] * len(EXERCISES) + EXERCISES.index(said.exercise))


class SaidExercises(dict[str, int]):
    """The numbers of exercises, negative for what is none. A phase in the column of exercises is no exercise."""

    def __missing__(self, text: str) -> int:
        said = said_phase(text)
        blank = text.strip() in ("", "-", "–", "none", "n/a")
        return _kept(self, text, 0 if blank else _UNKNOWN if said is None else EXERCISES.index(said.exercise))


def _kept(known: dict[str, int], text: str, number: int) -> int:
    """Remember what a text says, of some thousands of texts."""
    if len(known) < _MOST_KEPT:
        known[text] = number
    return number
