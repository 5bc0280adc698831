"""Invented words: as many as asked, all different, and fit to be ids."""

from __future__ import annotations

import re

import numpy as np
import pytest

from builder.demo.invented_names import MAKERS, MODELS, PEOPLE, Syllables
from builder.records.value_types import ID_PATTERN


@pytest.mark.parametrize("syllables", [MODELS, MAKERS, PEOPLE])
@pytest.mark.parametrize("count", [0, 1, 16, 20_000])
def test_words_are_different_and_can_be_ids(syllables: Syllables, count: int) -> None:
    words = syllables.words(count, np.random.default_rng(3))
    assert len(words) == len(set(words)) == count
    assert all(re.fullmatch(ID_PATTERN, word.lower()) and len(word) <= 30 for word in words)


def test_heads_take_turns() -> None:
    words = PEOPLE.words(len(PEOPLE.heads.split()), np.random.default_rng(3))
    assert len({word[:2] for word in words}) == len({head[:2] for head in PEOPLE.heads.split()})
