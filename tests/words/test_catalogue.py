"""The catalogue: what it refuses, how languages count, and that every message is said and every one said is there."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import pytest
from markupsafe import Markup

from builder.site.browser_words import browser_messages, checker_messages
from builder.words import catalogue
from builder.words.catalogue import OTHER, Message, count, language, language_of, read_language, say, say_html, speaking
from builder.words.numbers import between, figure, level
from tests.words.messages_used import MODULES, SCRIPTS, TEMPLATES, Said, in_python, in_script, in_template, own_words

IN_SCRIPTS = [said for script in SCRIPTS for said in in_script(script)]
SAID = [
    *(said for module in MODULES for said in in_python(module)),
    *(said for template in TEMPLATES for said in in_template(template)),
    *IN_SCRIPTS,
]


def there(said: Said) -> bool:
    """Whether a message that is said is in the catalogue."""
    messages = language().messages.keys() | checker_messages().keys()
    return said.message in messages if said.whole else any(name.startswith(said.message) for name in messages)


def test_every_message_that_is_said_is_there() -> None:
    assert [f"{said.place}: {said.message}" for said in SAID if not there(said)] == []


def idle(messages: Iterable[str], said: list[Said]) -> list[str]:
    """The messages that nobody says."""
    whole = {one.message for one in said if one.whole}
    begun = tuple(one.message for one in said if not one.whole)
    return [name for name in messages if name not in whole and not name.startswith(begun)]


def test_every_message_there_is_said() -> None:
    assert idle(language().messages, SAID) == []


def test_the_browser_gets_what_its_scripts_say() -> None:
    shipped = browser_messages(language())
    assert idle(shipped, IN_SCRIPTS) == []
    whole = {said.message for said in IN_SCRIPTS if said.whole}
    begun = tuple(said.message for said in IN_SCRIPTS if not said.whole)
    everything = language().messages.keys() | checker_messages().keys()
    needed = {name for name in everything if name in whole or name.startswith(begun)}
    assert sorted(needed - shipped.keys()) == [], "name these in SAID of builder/site/browser_words.py"


KEYS = {"End", "Enter", "Escape", "Home"}
LITERAL = re.compile(r"""(["`])([A-Z][a-z]+(?: .*?)?)\1""")


def words_of_script(script: str) -> list[str]:
    """The sentences and labels that a script holds itself: texts from a capital on, but for errors that nobody sees."""
    lines = [line for line in script.splitlines() if not line.lstrip().startswith(("//", "*", "/*"))]
    found = [text for line in lines if "Error(" not in line for _, text in LITERAL.findall(line)]
    return [text for text in found if text not in KEYS]


def test_scripts_have_no_words_of_their_own() -> None:
    assert {script.name: words_of_script(script.read_text("utf-8")) for script in SCRIPTS} == {
        script.name: [] for script in SCRIPTS
    }
    assert words_of_script('html("p", {}, "Fit factor");\nreturn `Row ${row}`;') == ["Fit factor", "Row ${row}"]


# Names, units, commands and files, which are the same in every language.
UNTRANSLATED = {
    "DerSimonian",
    "EI",
    "Hartung",
    "Knapp",
    "Laird",
    "MIT",
    "PNG",
    "REML",
    "SVG",
    "mm",
    "sealbook",
    "suggest",
    "toml",
}


def test_templates_have_no_words_of_their_own(tmp_path: Path) -> None:
    found = [
        f"{template.name}:{line}: {words}"
        for template in TEMPLATES
        for line, words in own_words(template)
        if words not in UNTRANSLATED
    ]
    assert found == [], "say it through the catalogue"
    template = tmp_path / "page.html"
    template.write_text("<p class='x'>{{ a }}\nFit\n<b title=\"A way\">{{ b or 'two words' }}</b>{# no #}</p>", "utf-8")
    assert list(own_words(template)) == [(3, "way"), (2, "Fit"), (3, "two words")]


def test_every_message_is_filled_with_what_it_names() -> None:
    wrong = [
        f"{said.place}: {said.message} names {sorted(found.names)}, not {sorted(said.names)}"
        for said in SAID
        if said.names is not None and (found := language().messages[said.message]).names != said.names
    ]
    assert wrong == []


def test_nothing_is_said_twice() -> None:
    texts = Counter(found.forms[OTHER] for name, found in language().messages.items() if not name.startswith("count."))
    assert [text for text, times in texts.items() if times > 1] == []


def test_what_is_counted_names_the_number_alone() -> None:
    counted = [found for name, found in language().messages.items() if name.startswith("count.")]
    assert {found.names for found in counted} == {frozenset({"n"})}
    assert {
        name for name, found in language().messages.items() if len(found.forms) > 1 and name[:6] != "count."
    } == set()


def test_a_message_that_is_not_there_is_an_error() -> None:
    with pytest.raises(KeyError, match="no_such"):
        say("no_such")
    with pytest.raises(KeyError, match=r"count\.unicorn"):
        count("unicorn", 2)


@pytest.mark.parametrize("values", [{}, {"low": 1}, {"low": 1, "high": 2, "more": 3}])
def test_values_are_those_the_message_names(values: dict[str, int]) -> None:
    with pytest.raises(TypeError) as error:
        say("figure.between", **values)
    assert str(error.value) == f"figure.between is filled with ['high', 'low'], not with {sorted(values)}"


def test_values_are_filled_in_as_they_are() -> None:
    assert say("figure.between", low="{high}", high="<b>") == "{high} to <b>"
    assert say_html("figure.between", low=Markup("<b>1</b>"), high="<b>") == "<b>1</b> to &lt;b&gt;"


NUMBERS = """
plural = { one = "^1$", few = "(^|[^1])[234]$" }
[number]
digits = 2
thousands = "."
point = ","
none = "brak"
percent = "{percent}%"
"""


@pytest.mark.parametrize("text", ["{0}", "{}", "{n:.2f}", "{n!r}", "{n.real}", "{n[0]}"])
def test_a_placeholder_is_a_name_alone(text: str) -> None:
    with pytest.raises(ValueError, match=r"a\.b: .* must be a name alone"):
        read_language(f'{NUMBERS}[a]\nb = "{text}"')


def test_levels_and_limits_are_filled_in_as_they_are_stated() -> None:
    messages = read_language(f'{NUMBERS}[a]\nb = "{{SHOWN_LEVEL}} {{ALIKE_RATIO}} {{PASS_LEVEL}} {{n}}"').messages
    assert messages["a.b"] == Message({"other": "95% 1,5 100 {n}"}, frozenset({"n"}))
    with pytest.raises(ValueError, match=r"a\.b: builder/fit/levels\.py states no LEVEL"):
        read_language(f'{NUMBERS}[a]\nb = "{{LEVEL}}"')


def test_a_level_is_joined_to_a_word_as_the_language_joins_it() -> None:
    text = NUMBERS.replace('percent = "{percent}%"', 'percent = "{percent} %"\njoined = "{percent}-%"')
    messages = read_language(f'{text}[a]\nb = "{{SHOWN_LEVEL}}-Intervall, {{SHOWN_LEVEL}}"').messages
    assert messages["a.b"].forms == {"other": "95-%-Intervall, 95 %"}
    assert language_of("de").messages["head.interval"].forms["other"] == "90-%-Intervall"


POLISH = """
[figure]
times = "{figure}-krotnie"
between = "od {low} do {high}"
[count]
mask = { one = "{n} maska", few = "{n} maski", other = "{n} masek" }
"""


def test_another_language_is_one_file(monkeypatch: pytest.MonkeyPatch) -> None:
    polish = read_language(NUMBERS + POLISH)
    monkeypatch.setattr(catalogue, "page_language", {"pl": polish}.__getitem__)
    monkeypatch.setattr("builder.words.numbers.page_language", {"pl": polish}.__getitem__)
    with speaking("pl"):
        counted = [count("mask", n) for n in (0, 1, 2, 5, 12, 22, 1013)]
        figures = [figure(n) for n in (0.05234, 12_345.0, float("nan"))]
        assert (between(1.26, 20.0), level(0.9)) == ("od 1,3-krotnie do 20-krotnie", "90%")
    assert counted == ["0 masek", "1 maska", "2 maski", "5 masek", "12 masek", "22 maski", "1.013 masek"]
    assert figures == ["0,052", "12.000", "brak"]
