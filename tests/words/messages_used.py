"""Where messages are said, by reading the code: their ids, and the names of the values they are filled with."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, nodes

from tests.conftest import ROOT

SAYING = {"say": "", "say_html": "", "pieces": "", "count": "count."}
"""The functions that say a message, each with what its ids begin with."""

MODULES = [path for path in sorted((ROOT / "builder").rglob("*.py")) if path.name not in {"catalogue.py", "twins.py"}]
TEMPLATES = sorted(
    path for path in (*(ROOT / "builder" / "site").rglob("*.html"), *(ROOT / "site_src" / "theme").rglob("*.html"))
)
SCRIPTS = sorted((ROOT / "site_src" / "pages" / "assets" / "scripts").rglob("*.js"))

IMPORTED = re.compile(r'import \{(?P<names>[^}]*)\} from "[./a-z]*/say\.js"')
CALL = re.compile(r"(?<![\w.])(?P<function>\w+)\(")
WHOLE = re.compile(r'(?:^|[?:]\s)"([\w.]+)"')
BEGUN = re.compile(r"^`([\w.]+)\$\{")


@dataclass(frozen=True)
class Said:
    """One place: file and line, the id or its beginning where the rest is computed, the values' names if they show."""

    place: str
    message: str
    whole: bool = True
    names: frozenset[str] | None = None


def in_python(path: Path) -> Iterator[Said]:
    """Every message that a module says. ValueError where no id can be read."""
    text = path.read_text("utf-8")
    if "builder.words.catalogue import" not in text and "builder.site.twins import" not in text:
        return
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, ast.Call) or (function := _saying(node.func)) is None:
            continue
        names = frozenset(keyword.arg or "" for keyword in node.keywords)
        place, start = f"{path.name}:{node.lineno}", SAYING[function]
        for message, whole in _ids(node.args[0]):
            yield Said(place, start + message, whole, None if "" in names or start or not whole else names)


def _saying(called: ast.expr) -> str | None:
    if isinstance(called, ast.Name):
        return called.id if called.id in SAYING else None
    # A language of a site says a message, too.
    of_tongue = isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name) and called.value.id == "tongue"
    return "say" if of_tongue and isinstance(called, ast.Attribute) and called.attr == "say" else None


def _ids(node: ast.expr) -> Iterator[tuple[str, bool]]:
    if isinstance(node, ast.IfExp):
        yield from _ids(node.body)
        yield from _ids(node.orelse)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value, True
    elif isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
        yield str(node.values[0].value), False
    else:
        raise ValueError(f"line {node.lineno}: write the id, or how it begins")


def in_template(path: Path) -> Iterator[Said]:
    """Every message that a template says."""
    environment = Environment(trim_blocks=True, autoescape=True)
    for node in environment.parse(path.read_text("utf-8")).find_all(nodes.Call):
        called = node.node
        if not (isinstance(called, nodes.Getattr) and isinstance(called.node, nodes.Name)):
            continue
        if called.node.name not in ("catalogue", "sealbook", "tongue") or called.attr not in SAYING:
            continue
        names = frozenset(keyword.key for keyword in node.kwargs)
        start = SAYING[called.attr]
        for message in _constants(node.args[0]):
            yield Said(f"{path.name}:{node.lineno}", start + message, names=None if start else names)


WORD = re.compile(r"[A-Za-z]{2,}")
"""A word of a language, as no unit, sign or letter alone is."""
READ = re.compile(r'\s(?:aria-label|alt|placeholder|title|data-(?:keys|loading|failed))="([^"]*)')
NO_WORDS = re.compile(r"<!--.*?-->|<(?:script|style)\b.*?</(?:script|style)>|<[^>]*>|<[^>]*$|^[^<]*?>|&\w+;", re.DOTALL)


def own_words(path: Path) -> Iterator[tuple[int, str]]:
    """The words that a template holds itself, with their lines: in texts, attributes that are read, expressions."""
    environment = Environment(trim_blocks=True, autoescape=True)
    source = path.read_text("utf-8")
    # Expressions are of no language, but a tag they stand in goes on behind them.
    blanked = re.sub(
        r"\{#.*?#\}|\{\{.*?\}\}|\{%.*?%\}", lambda found: "\n" * found[0].count("\n"), source, flags=re.DOTALL
    )
    for text in READ.findall(blanked):
        yield from _words(blanked, text)
    bare = NO_WORDS.sub(lambda found: " " + "\n" * found[0].count("\n"), blanked)
    for number, line in enumerate(bare.splitlines(), 1):
        yield from ((number, word) for word in WORD.findall(line))
    for node in environment.parse(source).find_all(nodes.Const):
        if isinstance(node.value, str) and " " in node.value.strip() and WORD.search(node.value):
            yield node.lineno, node.value


def _words(source: str, text: str) -> Iterator[tuple[int, str]]:
    for word in WORD.findall(text):
        yield source[: source.index(text)].count("\n") + 1, word


def _constants(node: nodes.Expr) -> Iterator[str]:
    if isinstance(node, nodes.CondExpr):
        yield from _constants(node.expr1)
        assert node.expr2 is not None
        yield from _constants(node.expr2)
    elif isinstance(node, nodes.Const):
        yield node.value
    else:
        raise ValueError(f"line {node.lineno}: write the id")


def in_script(path: Path) -> Iterator[Said]:
    """Every message that a script says with what common/say.js gives it. ValueError where no id can be read."""
    text = path.read_text("utf-8")
    imported = IMPORTED.search(text)
    names = {name.strip() for name in imported["names"].split(",")} & SAYING.keys() if imported else set()
    for call in CALL.finditer(text):
        if call["function"] not in names:
            continue
        first = _first_argument(text[call.end() :])
        place = f"{path.name}:{text.count(chr(10), 0, call.start()) + 1}"
        start = SAYING[call["function"]]
        whole, begun = WHOLE.findall(first), BEGUN.findall(first)
        if not whole and not begun:
            raise ValueError(f"{place}: write the id, or how it begins")
        yield from (Said(place, start + message) for message in whole)
        yield from (Said(place, start + message, whole=False) for message in begun)


def _first_argument(text: str) -> str:
    """Cut a call's arguments after the first; ids hold no bracket, comma or quotation mark."""
    depth = 0
    for place, character in enumerate(text):
        depth += (character in "([{") - (character in ")]}")
        if depth < 0 or (depth == 0 and character == ","):
            return text[:place].strip()
    return text
