"""The words of entries as people read them: a label, that label within a sentence, and what it means."""

from __future__ import annotations

from builder.records.vocabulary import Word
from builder.words.catalogue import Wording, language


def label(word: Word) -> str:
    """Give what a word is called where it stands alone: "Left cheek"."""
    return _wording(word).label


def within(word: Word) -> str:
    """Give what a word is called within a sentence: "left cheek"."""
    said = _wording(word)
    return said.within or small(said.label)


def meaning(word: Word) -> str:
    """Say what a word means, in a sentence."""
    return _wording(word).meaning


def of_limit(told: str) -> str:
    """Say the standard of a filter class, or the source of its limit, as the vocabulary tells it or in the language."""
    return language().limits.get(told, told)


def small(said: str) -> str:
    """Write a label as it stands within a sentence."""
    return said.lower() if language().lowers_labels else said


def small_start(sentence: str) -> str:
    """Go on with a sentence behind a colon, where the language goes on in small letters; without its full stop."""
    said = sentence.removesuffix(".")
    return said[:1].lower() + said[1:] if language().lowers_labels else said


def _wording(word: Word) -> Wording:
    own = language().vocabulary.get(type(word).__name__)
    return own[word.value] if own else Wording(word.label, word.meaning)
