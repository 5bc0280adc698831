"""Faults of values that no fixture reaches."""

from __future__ import annotations

import pytest

from builder.records.value_faults import malformed, nearest_word
from builder.records.vocabulary import Exercise, MaskClass, NoseBridge, Protocol, Word


@pytest.mark.parametrize(
    "meant, words, word",
    [
        ("Eight Exercise", Protocol, Protocol.EIGHT_EXERCISE),
        ("head_side_to_side", Exercise, Exercise.HEAD_SIDE_TO_SIDE),
        ("Head side-to-side", Exercise, Exercise.HEAD_SIDE_TO_SIDE),
        ("FFP-2", MaskClass, MaskClass.FFP2),
        ("hihg", NoseBridge, NoseBridge.HIGH),
        ("enormous", NoseBridge, None),
        (3, NoseBridge, None),
    ],
)
def test_the_nearest_word(meant: object, words: type[Word], word: Word | None) -> None:
    assert nearest_word(meant, tuple(words)) is word


@pytest.mark.parametrize("pattern", ["^other$", ""])
def test_a_pattern_nobody_explained_still_gives_a_sentence(pattern: str) -> None:
    assert malformed(("x",), "y", pattern).problem == '"y" has the wrong form.'
