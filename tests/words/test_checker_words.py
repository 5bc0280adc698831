"""What the form says as the checker does, in every language: each sentence, filled in with the same."""

from __future__ import annotations

from importlib.resources import files
from string import Formatter

import pytest

from builder.site.browser_words import CHECKER, browser_messages, checker_messages
from builder.words.catalogue import read_language


def names(text: object) -> set[str | None]:
    return {name for _, name, _, _ in Formatter().parse(str(text)) if name}


@pytest.mark.parametrize("name", ["de"])
def test_every_sentence_is_there_and_names_the_same(name: str) -> None:
    spoken = read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))
    english = checker_messages()
    assert sorted(CHECKER + said for said in spoken.checker) == sorted(english)
    for said, text in spoken.checker.items():
        assert names(text) == names(english[CHECKER + said]), said
    assert browser_messages(spoken)["checker.no_number"] == "Das Ergebnis enthält keine Zahl."
