"""The rules of the checker in every language: all of them, with the same numbers, words of entries and examples."""

from __future__ import annotations

import re
from collections import Counter
from importlib.resources import files

import pytest

from builder.records.all_rules import ALL_RULES
from builder.words.catalogue import Language, read_language
from builder.words.rule_words import explanation, title

CODE = re.compile(r"```toml\n(.*?)```|`([^`]+)`", re.DOTALL)
REMARK = re.compile(r" # .*$", re.MULTILINE)


def spoken(name: str) -> Language:
    return read_language(files("builder.words").joinpath("languages", f"{name}.toml").read_text("utf-8"))


def code(text: str) -> Counter[str]:
    """Give what a text has as code, without the remarks in it."""
    return Counter(" ".join(REMARK.sub("", block or inline).split()) for block, inline in CODE.findall(text))


def numbers(text: str, thousands: str, point: str) -> list[str]:
    """Give the numbers of a text outside its code, as English writes them without thousands apart."""
    plain = re.sub(rf"(?<=\d){thousands}(?=\d{{3}}\b)", "", CODE.sub("", text))
    return sorted(re.findall(r"\d+(?:\.\d+)*", re.sub(rf"(?<=\d){re.escape(point)}(?=\d)", ".", plain)))


def test_english_says_what_the_modules_say() -> None:
    assert [(title(rule), explanation(rule)) for rule in ALL_RULES] == [
        (rule.title, rule.explanation or "") for rule in ALL_RULES
    ]


@pytest.mark.parametrize("name", ["de"])
def test_every_other_language_has_every_rule(name: str) -> None:
    assert sorted(spoken(name).rules) == sorted(rule.name for rule in ALL_RULES)


@pytest.mark.parametrize("name", ["de"])
def test_a_rule_has_the_same_paragraphs_numbers_and_code(name: str) -> None:
    language = spoken(name)
    for rule in ALL_RULES:
        there, here = rule.explanation or "", language.rules[rule.name].explanation
        assert here.strip().count("\n\n") == there.strip().count("\n\n"), rule.name
        assert code(here) == code(there), rule.name
        assert numbers(here, "\u202f", language.number.point) == numbers(there, ",", "."), rule.name
