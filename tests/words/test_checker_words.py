"""What scripts say as the checker and the reader of logs do, in every language: each sentence, filled in alike."""

from __future__ import annotations

import re
from importlib.resources import files
from string import Formatter

import pytest

from builder.fit.counts.doubt_texts import DOUBTS, REMARKS
from builder.fit.phrases import PHRASES
from builder.records.logs.log_messages import MESSAGES
from builder.site.browser_logs import counted_phrases
from builder.site.browser_words import COUNTING, browser_messages, checker_messages
from builder.words.catalogue import read_language
from tests.words.messages_used import SCRIPTS

WITHIN = re.compile(r'logWords\("(\w+)"')
COUNTED = re.compile(r'(?:counted\([^)"]*|clock\.\w+), "(\w+)"')


def names(text: object) -> set[str | None]:
    return {name for _, name, _, _ in Formatter().parse(str(text)) if name}


def in_english() -> dict[str, str]:
    """The sentences by table and name, and the words within them."""
    return {
        **{name: str(text) for name, text in checker_messages().items()},
        **{f"log.{name}": text for name, text in {**MESSAGES, **COUNTING}.items()},
        **{f"doubt.{name}": text for name, text in DOUBTS.items()},
        **{f"log_words.{name}": text for name, text in {**PHRASES, **counted_phrases()}.items()},
    }


def test_scripts_say_these_words_alone() -> None:
    texts = [script.read_text("utf-8") for script in SCRIPTS]
    nouns = {noun for text in texts for noun in COUNTED.findall(text)} | {noun for noun in REMARKS.values() if noun}
    assert set(counted_phrases()) == nouns | {f"{noun}s" for noun in nouns}
    assert {name for text in texts for name in WITHIN.findall(text)} == set(PHRASES)
    assert counted_phrases()["gap"] == "1 gap"


@pytest.mark.parametrize("name", ["de"])
def test_every_sentence_is_there_and_names_the_same(name: str) -> None:
    spoken = read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))
    english = in_english()
    assert sorted(spoken.checker) == sorted(english)
    for said, text in spoken.checker.items():
        # German needs no noun for what is counted there.
        assert names(text) == names(english[said]) - {"noun"}, said


def test_scripts_get_them() -> None:
    german = browser_messages(read_language(files("builder.words").joinpath("languages", "de.toml").read_text("utf-8")))
    assert german["checker.no_number"] == "Das Ergebnis enthält keine Zahl."
    assert german["log.no_rows"] == "Die Tabelle hat unter ihrer Kopfzeile keine Zeilen."
    assert german["log_words.gaps"] == "{n} Lücken"
