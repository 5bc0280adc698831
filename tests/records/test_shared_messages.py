"""What the checker and the form both say stands once: the checker takes it from the table, the form is handed it."""

from __future__ import annotations

import re
from string import Formatter

from builder.records.shared_messages import SHARED, shared
from builder.site.browser_words import CHECKER, browser_messages
from builder.words.catalogue import language
from tests.conftest import ROOT

CODE = "\n".join(path.read_text("utf-8") for path in sorted((ROOT / "builder" / "records").rglob("*.py")))


def test_the_checker_says_each_of_them() -> None:
    said = set(re.findall(r'\bshared\(\s*"(\w+)"', CODE)) | set(re.findall(r'\bSHARED\["(\w+)"\]', CODE))
    assert said == SHARED.keys()


def test_none_of_them_is_written_anywhere_else() -> None:
    pieces = {piece for text in SHARED.values() for piece in re.split(r"\{\w+\}", text) if len(piece.split()) > 3}
    assert len(pieces) > 10
    code = [*(ROOT / "builder").rglob("*.py"), *(ROOT / "site_src").rglob("*.js"), *(ROOT / "builder").rglob("*.toml")]
    found = [(path.name, piece) for path in code for piece in pieces if piece in path.read_text("utf-8")]
    assert sorted(piece for _, piece in found) == sorted(pieces), found


def test_the_form_is_handed_them_as_they_are() -> None:
    shipped = browser_messages(language())
    assert {name: shipped[CHECKER + name] for name in SHARED} == SHARED


def test_they_are_filled_in_as_they_are() -> None:
    assert shared("below", value="{limit}", limit="80") == "{limit} is below 80."
    fields = [field for text in SHARED.values() for field in Formatter().parse(text)]
    assert all(not spec and not conversion for _, name, spec, conversion in fields if name is not None)
