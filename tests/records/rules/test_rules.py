"""Rules as the rules page shows them, and the parts of rules that no fixture reaches."""

from __future__ import annotations

import pkgutil
import tomllib

import pytest

from builder.records.problems import Finding
from builder.records.rules import ALL_RULES, __path__, pseudonym, stated_agrees, syntax
from builder.records.rules.base import Rule
from builder.records.rules.file_name import NameParts, bad_name, name_parts
from builder.records.rules.text_form import malformed
from builder.records.rules.unknown_word import nearest
from builder.records.vocabulary import Exercise, MaskClass, NoseBridge, Protocol, Word


@pytest.mark.parametrize("rule", ALL_RULES, ids=lambda rule: rule.name)
def test_each_rule_has_a_title_and_a_paragraph(rule: Rule) -> None:
    assert rule.explanation
    assert len(rule.explanation.split()) > 15
    assert rule.title[0].isupper() and not rule.title.endswith(".")


def test_each_rule_is_named_like_its_module() -> None:
    modules = {module.name for module in pkgutil.iter_modules(__path__)} - {"base"}
    assert [rule.name for rule in ALL_RULES] == sorted(name.replace("_", "-") for name in modules)


@pytest.mark.parametrize(
    "kind, stem, problem",
    [
        ("mask", "drum-cup-2", None),
        ("mask", "a", '"a" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "a" * 61, f'"{"a" * 60}…" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "drum--cup", '"drum--cup" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "drum-cup\n", '"drum-cup\\u000a" is no id: 2 to 60 small letters and digits, single hyphens between.'),
        ("mask", "con", "Windows cannot store a file called con."),
        ("folder", "lpt9", "Windows cannot store a file called lpt9."),
        ("mask", "none", None),
        ("part", "none", "none names a part that was taken out, so no part can be called so."),
        ("part", "no-nose-wire", "no-nose-wire names a part that was taken out, so no part can be called so."),
        ("part", "no-frills", None),
        ("test", "2026-09-12-blue-heron-12", None),
        ("test", "2026-09-12-blue-heron-0", '"2026-09-12-blue-heron-0" is no name for a test.'),
        ("test", "2026-09-12-blue-heron", '"2026-09-12-blue-heron" is no name for a test.'),
        ("test", "2026-13-12-blue-heron-1", '"2026-13-12-blue-heron-1" is no name for a test.'),
        ("test", "2026-09-12-Blue-1", '"2026-09-12-Blue-1" is no name for a test.'),
    ],
)
def test_file_names(kind: str, stem: str, problem: str | None) -> None:
    finding = bad_name(kind, stem)
    assert (finding and finding.problem) == problem


@pytest.mark.parametrize(
    "stem, suggestion",
    [("Wide Foam (2)", "wide-foam-2"), ("schön", "sch-n"), ("ß", "blue-heron"), ("x" * 70, "x" * 60)],
)
def test_a_bad_name_comes_with_a_good_one(stem: str, suggestion: str) -> None:
    finding = bad_name("mask", stem)
    assert finding and finding.remedy == f"Rename it, for example to {suggestion}.toml."
    assert bad_name("mask", suggestion) is None


def test_a_wearer_may_have_numbers_in_the_name() -> None:
    name = name_parts("2026-09-12-room-101-2")
    assert isinstance(name, NameParts)
    assert (name.date.isoformat(), name.wearer, name.number) == ("2026-09-12", "room-101", 2)


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
    assert nearest(meant, tuple(words)) is word


@pytest.mark.parametrize(
    "value, kind",
    [
        ("jo@example.org", "an address"),
        ("https://example.org/jo", "an address"),
        ("@jo", "a handle"),
        ("u/jo", "a handle"),
        ("Jo Bloggs", "a name"),
        ("Jo B.", "a name"),
        ("Élodie D’Arc", "a name"),
        ("Blue-heron", None),
        ("blue heron", None),
        ("BLUE_HERON", None),
        (3, None),
    ],
)
def test_what_looks_personal_is_never_repeated(value: object, kind: str | None) -> None:
    finding = pseudonym.personal(("face", "wearer"), value)
    assert (finding and finding.problem) == (f"wearer looks like {kind}." if kind else None)
    assert pseudonym.personal(("mask",), value) is None


@pytest.mark.parametrize(
    "written, low, high",
    [(64, 63.5, 64.5), (64.0, 63.5, 64.5), (100, 99.5, 100.5), (64.2, 64.15, 64.25), (0.125, 0.1245, 0.1255)],
)
def test_a_written_value_stands_for_what_rounds_to_it(written: float, low: float, high: float) -> None:
    assert stated_agrees.written_limits(written) == pytest.approx((low, high))


@pytest.mark.parametrize(
    "text, line, problem",
    [
        ('a = 1\nb = "x', 2, 'The quotation mark at the end is missing. The line reads: b = "x'),
        ('a = """x\n\n', 3, "The quotation mark at the end is missing."),
        ("a = [1,\n2", 2, "This list is not closed. The line reads: 2"),
        ("a = {b = 1", 1, "This table is not closed. The line reads: a = {b = 1"),
        ("a.b = 1\na = 2", 2, "This key has been given before. The line reads: a = 2"),
        ("a = 1 b = 2", 1, "Something stands after the end of the value. The line reads: a = 1 b = 2"),
        ('a = "\\d"', 1, 'A backslash begins a code that TOML does not know. The line reads: a = "\\d"'),
        ("\x07 = 1", 1, "This is not TOML. The line reads: \\u0007 = 1"),
        ("a", 1, "A key needs an equals sign and a value. The line reads: a"),
        ("a = False", 1, "No is written in small letters. The line reads: a = False"),
        (f"a = {'x' * 100}", 1, f"Text needs quotation marks. The line reads: a = {'x' * 76}…"),
    ],
)
def test_syntax_in_plain_words(text: str, line: int, problem: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(text)
    finding = syntax.parse(text)
    assert isinstance(finding, Finding)
    assert (finding.line, finding.problem) == (line, problem)


@pytest.mark.parametrize("pattern", ["^other$", ""])
def test_a_pattern_nobody_explained_still_gives_a_sentence(pattern: str) -> None:
    assert malformed(("x",), "y", pattern).problem == '"y" has the wrong form.'
