"""What scripts say as the checker and the reader of logs do, in every language: each sentence, filled in alike."""

from __future__ import annotations

import re
from importlib.resources import files
from string import Formatter

import pytest

from builder.fit.counts.doubt_texts import DOUBTS, REMARKS
from builder.records.logs.log_messages import MESSAGES
from builder.site.browser_words import COUNTING, browser_messages, checker_messages
from builder.words.catalogue import read_language
from tests.words.messages_used import SCRIPTS

WITHIN = re.compile(r'logWords\("(\w+)", "([^"]*)"')
COUNTED = re.compile(r'(?:counted\([^)"]*|clock\.\w+), "(\w+)"')


def names(text: object) -> set[str | None]:
    return {name for _, name, _, _ in Formatter().parse(str(text)) if name}


def in_english() -> dict[str, str]:
    """The sentences by table and name, and the words within them as the scripts hold them."""
    within = {
        f"log_words.{name}": text for script in SCRIPTS for name, text in WITHIN.findall(script.read_text("utf-8"))
    }
    nouns = {noun for script in SCRIPTS for noun in COUNTED.findall(script.read_text("utf-8"))}
    nouns |= {noun for noun in REMARKS.values() if noun}
    return {
        **{name: str(text) for name, text in checker_messages().items()},
        **{f"log.{name}": text for name, text in {**MESSAGES, **COUNTING}.items()},
        **{f"doubt.{name}": text for name, text in DOUBTS.items()},
        **within,
        **{f"log_words.{noun}": "" for noun in nouns},
        **{f"log_words.{noun}s": "{n}" for noun in nouns},
    }


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
