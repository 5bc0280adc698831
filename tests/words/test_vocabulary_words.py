"""The words of entries in every language: all of them, and how they stand within a sentence."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from builder.records import vocabulary
from builder.records.vocabulary import CLASS_LIMITS, Leak, NoseBridge, Slot, Word
from builder.words.catalogue import read_language
from builder.words.vocabulary_words import label, meaning, of_limit, within

KINDS = [kind for kind in vars(vocabulary).values() if isinstance(kind, type) and issubclass(kind, Word)]


def test_english_speaks_as_the_vocabulary_does() -> None:
    assert (label(Leak.LEFT_CHEEK), within(Leak.LEFT_CHEEK)) == ("Left cheek", "left cheek")
    assert meaning(Slot.NOSE_FOAM) == Slot.NOSE_FOAM.meaning
    assert of_limit("value from memory") == "value from memory"


@pytest.mark.parametrize("name", ["de"])
def test_every_word_is_there_in_every_other_language(name: str) -> None:
    spoken = read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))
    expected = {kind.__name__: sorted(word.value for word in kind) for kind in KINDS if kind is not Word}
    assert {kind: sorted(words) for kind, words in spoken.vocabulary.items()} == expected


@pytest.mark.parametrize("name", ["de"])
def test_limits_of_filter_classes_are_told_in_every_other_language(name: str) -> None:
    spoken = read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))
    shown = [limit for limit in CLASS_LIMITS.values() if limit.penetration_percent]
    told = {limit.source for limit in shown} | {limit.standard for limit in shown}
    english = {text for text in told if re.search("[a-z]{3}", text)}
    assert set(spoken.limits) == english


def test_german_writes_nouns_large_within_a_sentence_too() -> None:
    spoken = read_language(files("builder.words").joinpath("languages", "de.toml").read_text("utf-8"))
    assert not spoken.lowers_labels
    assert spoken.vocabulary["Slot"][Slot.NOSE_WIRE.value].label == "Nasenbügel"
    assert spoken.vocabulary["NoseBridge"][NoseBridge.LOW.value].within == "niedrig"
