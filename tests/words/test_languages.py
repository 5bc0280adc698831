"""Every language says all that English says; a file is all that a new one needs."""

from __future__ import annotations

import html
import re
import tomllib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jinja2 import PackageLoader

from builder.findings.dataset import Dataset
from builder.records.spoken import ENGLISH
from builder.site.fragments import filled
from builder.site.kinds import published_files, published_pages
from builder.site.published import PublishedPage, Renderer
from builder.words import catalogue
from builder.words.catalogue import OTHER, language_of, languages, say, speaking, written_language

OTHERS = [code for code in languages() if code != ENGLISH]
FORM = re.compile(r"\{\w+\}|<[^>]*>|\(\w+\)")
"""What is of no language within a message: what is filled in, markup, the name of a link's address."""
WORD = re.compile(r"[^\W\d_]{2,}")
SAME = {
    "de": {
        *("explore_page.more", "face.size", "form.aerosol", "form.link", "form.material", "form.phase"),
        *("frame.repository", "head.median", "head.tests", "plan.minutes"),
        *("month.m04", "month.m08", "month.m09", "month.m11", "removed.test", "term.chance", "term.gsd"),
        *("testers_page.pseudonym", "face_scales.term", "wires.stiffness", "word_list.name"),
    }
}
"""What is called the same in another language as in English."""


@pytest.mark.parametrize("code", OTHERS)
def test_a_language_says_what_english_says(code: str) -> None:
    english, other = written_language(ENGLISH).messages, written_language(code).messages
    assert sorted(english.keys() - other.keys()) == [], f"say these in builder/words/languages/{code}.toml"
    assert sorted(other.keys() - english.keys()) == [], "nobody says these"
    filled_in = {name: (sorted(found.names), sorted(other[name].names)) for name, found in english.items()}
    assert {name: names for name, names in filled_in.items() if names[0] != names[1]} == {}


@pytest.mark.parametrize("code", languages())
def test_what_is_counted_has_the_plural_forms_of_its_language(code: str) -> None:
    found = written_language(code)
    forms = {*found.plural, OTHER}
    wrong = {name: set(one.forms) for name, one in found.messages.items() if set(one.forms) not in ({OTHER}, forms)}
    assert wrong == {}
    assert found.name
    assert files("material").joinpath("templates", "partials", "languages", f"{code}.html").is_file()


@pytest.mark.parametrize("code", OTHERS)
def test_nothing_is_empty_or_still_english(code: str) -> None:
    english, other = written_language(ENGLISH).messages, written_language(code).messages
    assert [name for name, one in other.items() if not all(one.forms.values())] == []
    same = {name for name, one in other.items() if one.forms == english[name].forms and WORD.search(bare(one.forms))}
    assert sorted(same ^ SAME.get(code, set())) == []


def bare(forms: object) -> str:
    """The words of a message, without what is of no language."""
    return FORM.sub(" ", str(dict(forms)[OTHER])) if isinstance(forms, dict) else ""


def test_within_a_language_everything_is_said_in_it() -> None:
    with speaking("de"):
        assert say("head.wearers") == "Personen"
        with speaking(ENGLISH):
            assert say("head.wearers") == "Wearers"
        assert say("head.wearers") == "Personen"
    assert say("head.wearers") == "Wearers"


STRANGE = str.maketrans(
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ", "жбцдефгхийклмнопярстувэюызЖБЦДЕФГХИЙКЛМНОПЯРСТУВЭЮЫЗ"
)
KEPT = re.compile(r"\{\w+\}|<[^>]*>|\]\(\w+\)|`[^`]*`")
MACHINE = {"number", "plural", "sentence"}
"""Tables of a language's file that hold no words."""


def strange(text: str) -> str:
    """A text in letters that no page has, but for what is of no language."""
    pieces = zip([*KEPT.split(text)], [*KEPT.findall(text), ""], strict=True)
    return "".join(words.translate(STRANGE) + kept for words, kept in pieces)


def toml(tables: dict[str, Any], within: str = "") -> Iterator[str]:
    """Write a language's file in strange letters."""
    texts = {key: value for key, value in tables.items() if not isinstance(value, dict)}
    if within:
        yield f"[{within}]"
    for key, value in texts.items():
        kept = within.partition(".")[0] in MACHINE or (within, key) == ("search", "plural")
        said = value if kept or not isinstance(value, str) else strange(value)
        yield f"{quoted(key)} = {quoted(said) if isinstance(said, str) else str(said).lower()}"
    for key, value in tables.items():
        if isinstance(value, dict):
            yield from toml(value, f"{within}.{quoted(key)}" if within else quoted(key))


def quoted(text: str) -> str:
    """A text or key as TOML has it."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


@pytest.fixture
def invented(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A language that is nothing but a file: that of another in strange letters."""
    there = catalogue.FOLDER
    for code in (ENGLISH, "de"):
        (tmp_path / f"{code}.toml").write_text(there.joinpath(f"{code}.toml").read_text("utf-8"), "utf-8")
    written = tomllib.loads((tmp_path / "de.toml").read_text("utf-8"))
    (tmp_path / "xx.toml").write_text("\n".join(toml(written)) + "\n", "utf-8")
    monkeypatch.setattr(catalogue, "FOLDER", tmp_path)
    language_of.cache_clear()
    return "xx"


TABLES = {"configurations", "contrasts", "csv", "predictions", "wearing"}
TYPES = {"bool", "float", "int", "str"}
NAMES = {"CFR", "DerSimonian", "Hartung", "Knapp", "Laird", "Markdown", "NZS", "Sealbook", "sealbook"}
SHORT = {"CSV", "GSD", "HTML", "JSON", "MIT", "PNG", "REML", "SVG"}
UNTRANSLATED = TABLES | TYPES | NAMES | SHORT
"""Names, commands and what stands in files, the same in every language."""
TEXT = re.compile(r"<(code|pre|script|style|svg|bdi)\b.*?</\1>|<[^>]*>", re.DOTALL)
LATIN = re.compile(r"[A-Za-z]{3,}")


def own_words_of(entries: Path) -> set[str]:
    """Every word that entries hold."""
    return {word for path in entries.rglob("*.toml") for word in LATIN.findall(path.read_text("utf-8") + str(path))}


def test_a_file_is_all_that_a_language_needs(invented: str, demo: Dataset) -> None:
    assert catalogue.languages() == ("de", "en", "xx")
    pages = list(published_pages(demo, languages=(ENGLISH, invented)))
    english = [page.address for page in pages if page.language == ENGLISH]
    assert [page.address for page in pages if page.language == invented] == [f"xx/{address}" for address in english]
    known = own_words_of(demo.root) | UNTRANSLATED
    with speaking(invented):
        pieces = sorted(PackageLoader("builder.site").list_templates())
        marks = [
            name.removeprefix("fragment-").removesuffix(".html") for name in pieces if name.startswith("fragment-")
        ]
        markdown = "\n".join(f"<!-- sealbook: {mark} -->" for mark in marks)
        fragments = PublishedPage(
            "xx/methods/", "", "", filled(markdown, Renderer(demo, folder="xx/"), 1), language="xx"
        )
    left: dict[str, set[str]] = {}
    for page in (*pages, fragments):
        if page.language == invented:
            text = html.unescape(TEXT.sub(" ", page.html)) + f" {page.title} {page.description}"
            for word in set(LATIN.findall(text)) - known:
                left.setdefault(word, set()).add(page.address)
    assert left == {}
    paths = [file.path for file in published_files(demo, languages=(ENGLISH, invented))]
    assert "assets/scripts/words/xx.js" in paths
    assert "xx/explore/configurations.json" in paths
    assert len(paths) == len(set(paths))
