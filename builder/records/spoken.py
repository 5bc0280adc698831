"""Which language is spoken, and what it calls the words that entries may use (`builder/records/vocabulary.py`)."""

from __future__ import annotations

from collections.abc import Mapping
from contextvars import ContextVar
from dataclasses import dataclass, field

ENGLISH = "en"
"""The language that the vocabulary is written in, and that everything is said in where nothing else is asked for."""


@dataclass(frozen=True)
class Called:
    """What a word is called in another language, and what it means."""

    label: str
    meaning: str
    within: str
    """The label as it stands within a sentence."""


@dataclass(frozen=True)
class Spoken:
    """A language by its code, and what it calls words, by the list they are of and by what stands in the file."""

    code: str = ENGLISH
    words: Mapping[str, Mapping[str, Called]] = field(default_factory=dict)

    def called(self, of: str, value: str) -> Called | None:
        """Give what a word is called; None where it is called as in English."""
        return self.words.get(of, {}).get(value)


SPOKEN: ContextVar[Spoken] = ContextVar("SPOKEN", default=Spoken())
"""What is spoken now; see `builder.words.catalogue.speaking`."""


def spoken_code() -> str:
    """Give the code of the language that is spoken now."""
    return SPOKEN.get().code
