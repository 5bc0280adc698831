"""Every word that pages explain has a name, a sentence and a place that says more."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder.words import terms
from tests.conftest import ROOT


@pytest.mark.parametrize("term", terms.MORE)
def test_a_term_has_a_name_and_a_short_explanation(term: str) -> None:
    assert terms.name(term)
    said = terms.said(term)
    assert said.endswith(".")
    assert len(said) < 180


def test_terms_stand_by_name() -> None:
    names = [terms.name(term).casefold() for term in terms.in_order()]
    assert names == sorted(names)
    assert len(set(names)) == len(terms.MORE)


def test_what_says_more_is_there(built_site: Path) -> None:
    for address in terms.MORE.values():
        page, _, anchor = address.partition("#")
        html = (built_site / page / "index.html").read_text("utf-8")
        assert not anchor or f'id="{anchor}"' in html, address


def test_every_word_that_can_be_touched_explains_itself_on_its_page(built_site: Path) -> None:
    explained = 0
    for path in built_site.rglob("index.html"):
        html = path.read_text("utf-8")
        asked = set(re.findall(r'popovertarget="(term-[^"]+)"', html))
        there = re.findall(r'class="sb-explained" id="([^"]+)"', html)
        assert asked <= set(there), path
        assert len(there) == len(set(there)), path
        explained += bool(asked)
    assert explained > 10


def test_templates_name_terms_that_are_there() -> None:
    templates = "".join(path.read_text("utf-8") for path in (ROOT / "builder" / "site" / "templates").glob("*.html"))
    named = set(re.findall(r"term\('([\w-]+)'", templates))
    assert named
    assert named <= terms.MORE.keys()
