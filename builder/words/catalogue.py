"""Every sentence by its id, from the file of a language, and how that language writes numbers and counts things.

`languages/XX.toml` is all there is of the language XX. Pages are made where `speaking` asks for one, and keep numbers
and their units on one line; elsewhere English is said with plain spaces, for terminals and files.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache, cached_property, lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from string import Formatter
from typing import Any, SupportsInt

from markupsafe import Markup

from builder.fit import levels
from builder.records.spoken import ENGLISH, SPOKEN
from builder.words.unbroken import unbroken

_LINK = re.compile(r"\[([^\]]+)\]\((\w+)\)")
_STRONG = re.compile(r"\*([^*]+)\*")
_CODE = re.compile(r"`([^`]+)`")

FOLDER: Traversable = files("builder.words").joinpath("languages")
"""Where the files of languages lie."""

OTHER = "other"
"""The plural form of every number that no rule of the language names."""


@dataclass(frozen=True)
class NumberStyle:
    """How numbers are written: significant digits of a figure, separators, what stands for none, and "{percent} %".

    `joined` is how percents are written as the first part of a word, where the language writes such words.
    """

    digits: int
    thousands: str
    point: str
    none: str
    percent: str
    joined: str = ""

    def level(self, share: float) -> str:
        """Print a level: "95 %"."""
        return self.percent.format(percent=self.plain(100 * share))

    def joined_level(self, share: float) -> str:
        """Print a level that a word goes on from: in German "95-%" as in "95-%-Intervall"."""
        return (self.joined or self.percent).format(percent=self.plain(100 * share))

    def plain(self, number: float) -> str:
        """Print a number that is short as it stands: "1.5"."""
        return f"{number:g}".replace(".", self.point)


@dataclass(frozen=True)
class Stated:
    """A level or limit as it stands alone, and as the first part of a word."""

    alone: str
    joined: str


@dataclass(frozen=True)
class Message:
    """One message: its text by plural form, the form "other" alone where nothing is counted; the names it fills in."""

    forms: Mapping[str, str]
    names: frozenset[str]

    @cached_property
    def text(self) -> str:
        """The form that is said where nothing is counted."""
        return self.forms[OTHER]

    @cached_property
    def plain(self) -> str:
        """The text of a message that is filled with nothing."""
        return self.text.format()


@dataclass(frozen=True)
class Wording:
    """A word of the vocabulary in a language: its label, how that stands within a sentence, and its meaning."""

    label: str
    meaning: str
    within: str = ""
    """Empty where a label is written the same there."""


@dataclass(frozen=True)
class RuleWording:
    """A rule of the checker in a language: its title, and its explanation in Markdown."""

    title: str
    explanation: str


@dataclass(frozen=True)
class Language:
    """What a language's file holds. `plural` gives each plural form with the digits of the numbers that take it.

    `vocabulary` has the words of entries by kind and value: none where builder/records/vocabulary.py speaks the
    language. `lowers_labels` is whether labels are written small within a sentence. `rules` has the rules of the
    checker by name, `tables` what the tables of the open data are called, `columns` what their columns mean, by table
    and name, `checker` what scripts say as the checker and the reader of logs do, by table and name: none of them where
    the code speaks the language.
    """

    number: NumberStyle
    plural: Mapping[str, re.Pattern[str]]
    messages: Mapping[str, Message]
    vocabulary: Mapping[str, Mapping[str, Wording]]
    lowers_labels: bool
    rules: Mapping[str, RuleWording]
    tables: Mapping[str, str]
    columns: Mapping[str, Mapping[str, str]]
    checker: Mapping[str, str]
    keys: Mapping[str, Mapping[str, str]]
    """What the keys of entries mean, by model and key: none where builder/records/models.py speaks the language."""
    limits: Mapping[str, str]
    """Standards of filter classes and sources of their limits, by what the vocabulary says of them in English."""
    name: str = ""
    """What the language calls itself."""


def read_language(text: str) -> Language:
    """Read a language's file; ValueError for a message that no other program could fill in the same way."""
    tables = tomllib.loads(text)
    number, plural = NumberStyle(**tables.pop("number")), tables.pop("plural")
    name = tables.pop("name", "")
    vocabulary, lowers_labels = tables.pop("vocabulary", {}), tables.pop("sentence", {}).get("lowers_labels", False)
    rules = {name: RuleWording(**said) for name, said in tables.pop("rule", {}).items()}
    open_tables, columns = (tables.pop(name, {}) for name in ("table", "column"))
    own = {table: tables.pop(table, {}) for table in ("checker", "log", "doubt", "log_words")}
    checker = {f"{table}.{name}": text for table, said in own.items() for name, text in said.items()}
    keys, limits = (tables.pop(name, {}) for name in ("key", "class_limit"))
    stated = _stated(number)
    messages = {name: _message(name, forms, stated) for name, forms in _messages(tables)}
    words = {kind: {value: Wording(**said) for value, said in own.items()} for kind, own in vocabulary.items()}
    plurals = {form: re.compile(rule) for form, rule in plural.items()}
    return Language(
        number=number,
        plural=plurals,
        messages=messages,
        vocabulary=words,
        lowers_labels=lowers_labels,
        rules=rules,
        tables=open_tables,
        columns=columns,
        checker=checker,
        keys=keys,
        limits=limits,
        name=name,
    )


def languages() -> tuple[str, ...]:
    """Give the codes of all languages that there is a file of."""
    names = (file.name for file in FOLDER.iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml")))


@cache
def language_of(code: str) -> Language:
    """Give a language, which says in English what its file has no words for; FileNotFoundError where it has no file."""
    found = written_language(code)
    return found if code == ENGLISH else replace(found, messages={**language_of(ENGLISH).messages, **found.messages})


def written_language(code: str) -> Language:
    """Give a language just as its file has it."""
    return read_language(FOLDER.joinpath(f"{code}.toml").read_text("utf-8"))


@cache
def page_language(code: str) -> Language:
    """Give a language as pages speak it: no line ends between a number and its unit. "" is English for no page."""
    if not code:
        return language_of(ENGLISH)
    found = language_of(code)
    style = replace(found.number, percent=unbroken(found.number.percent), joined=unbroken(found.number.joined))
    return replace(found, number=style, messages={name: _unbroken(said) for name, said in found.messages.items()})


def _unbroken(said: Message) -> Message:
    return replace(said, forms={form: unbroken(text) for form, text in said.forms.items()})


def language() -> Language:
    """Give the language that everything is said in now."""
    return page_language(SPOKEN.get())


@contextmanager
def speaking(code: str) -> Iterator[None]:
    """Say everything in a language, as pages do, within the block and what it calls."""
    token = SPOKEN.set(code)
    try:
        yield
    finally:
        SPOKEN.reset(token)


def say(message: str, /, **values: object) -> str:
    """Say a message. KeyError for an unknown one, TypeError for values that are not those it names."""
    found = _checked(message, values)
    return found.text.format_map(values) if values else found.plain


def say_html(message: str, /, **values: object) -> Markup:
    """Say a message in HTML, with its marks: the values are escaped unless they are markup already."""
    return _in_html(_checked(message, values).text).format(**values)


def count(noun: str, n: SupportsInt) -> str:
    """Count things: "1 wearer", "14 wearers"."""
    return _counted(noun, int(n), SPOKEN.get())


# Few nouns and small numbers stand on all pages.
@lru_cache(maxsize=20_000)
def _counted(noun: str, n: int, _: str) -> str:
    found = language().messages[f"count.{noun}"]
    return found.forms.get(_form(str(n)), found.text).format(n=grouped(n))


def grouped(n: int) -> str:
    """Write a whole number with its thousands apart."""
    return f"{n:,}".replace(",", language().number.thousands)


def _checked(message: str, values: Mapping[str, object]) -> Message:
    found = language().messages[message]
    if values.keys() != found.names:
        raise TypeError(f"{message} is filled with {sorted(found.names)}, not with {sorted(values)}")
    return found


@lru_cache(maxsize=4096)
def _in_html(text: str) -> Markup:
    """Turn the marks of a text into elements: `*strong*`, code in backticks, `[a link](name of its address)`."""
    html = _LINK.sub(r'<a href="{\2}">\1</a>', str(Markup.escape(text)))
    return Markup(_CODE.sub(r"<code>\1</code>", _STRONG.sub(r"<strong>\1</strong>", html)))


def _form(digits: str) -> str:
    return next((form for form, rule in language().plural.items() if rule.search(digits)), OTHER)


def _messages(tables: Mapping[str, Any], within: str = "") -> Iterator[tuple[str, dict[str, str]]]:
    """Walk through nested tables to the messages; a table with the form "other" is a message with plural forms."""
    for key, value in tables.items():
        name = within + key
        if isinstance(value, str):
            yield name, {OTHER: value}
        elif OTHER in value:
            yield name, value
        else:
            yield from _messages(value, f"{name}.")


def _stated(number: NumberStyle) -> dict[str, Stated]:
    """Print the levels and limits that judgements rest on, by the names that messages have for them."""
    values = {name: value for name, value in vars(levels).items() if name.isupper()}
    return {
        name: Stated(number.level(value), number.joined_level(value))
        if value < 1
        else Stated(*2 * [number.plain(value)])
        for name, value in values.items()
    }


def _message(name: str, forms: Mapping[str, str], stated: Mapping[str, Stated]) -> Message:
    texts = {form: "".join(_pieces(name, text, stated)) for form, text in forms.items()}
    names = {field for text in texts.values() for _, field, _, _ in Formatter().parse(text) if field is not None}
    names.update(address for text in texts.values() for _, address in _LINK.findall(text))
    return Message(texts, frozenset(names))


def _pieces(name: str, text: str, stated: Mapping[str, Stated]) -> Iterator[str]:
    """Cut a text at its placeholders, with what is stated filled in."""
    parsed = list(Formatter().parse(text))
    for (words, field, spec, conversion), following in zip(parsed, [*(one[0] for one in parsed[1:]), ""], strict=True):
        yield words
        if field is None:
            continue
        if spec or conversion or not field.isidentifier():
            raise ValueError(f"{name}: {{{field}}} must be a name alone")
        if field.isupper() and field not in stated:
            raise ValueError(f"{name}: builder/fit/levels.py states no {field}")
        if field not in stated:
            yield f"{{{field}}}"
        else:
            yield stated[field].joined if following.startswith("-") else stated[field].alone
