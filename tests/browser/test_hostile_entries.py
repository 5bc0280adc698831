"""Text from entries is shown as it was written, and does nothing."""

from __future__ import annotations

import csv
import io
import re
import shutil
import threading
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from pydantic import BaseModel

from builder.findings.dataset import build_dataset
from builder.records.checking import check
from builder.records.models import Mask, Part, Test
from builder.records.toml_text import to_toml
from builder.site.kinds import example_pages
from tests.browser.conftest import Quiet, Server, Watch
from tests.test_plugin import built

MODELS: dict[str, type[BaseModel]] = {"masks": Mask, "parts": Part, "tests": Test}
HOSTILE = [
    "<script>window.hacked = 1</script>",
    "</script><script>window.hacked = 1</script>",
    "<img src=x onerror='window.hacked = 1'>",
    '" onmouseover="window.hacked = 1" x="',
    "' autofocus onfocus='window.hacked = 1",
    "</template></style></textarea><svg onload=window.hacked=1>",
    "[click](javascript:window.hacked=1) **bold** `code` <b>raw</b>",
    '=HYPERLINK("https://evil.example","x")',
    "@SUM(1+1)",
    "{{ 7 * 7 }} {% raw %} ${7*7}",
    "&lt;not an entity&gt; &amp; \u2028\u2029",
    "שלום abc עולם",
]
WORD_TABLES = {"exercise", "section"}
ALIVE = "script:not([type='application/ld+json']), iframe, img[src='x'], [onerror], [onload], [onfocus]"
TEXT_KEYS = {"model", "size", "maker", "notes", "name", "material", "dimensions", "fitting", "set_aside"}


def changed_texts(value: Any, change: Callable[[str], str], key: str = "") -> Any:
    """Copy TOML data with every free text changed; tables of closed words stay."""
    if isinstance(value, dict):
        return {k: v if k in WORD_TABLES else changed_texts(v, change, k) for k, v in value.items()}
    if isinstance(value, list):
        return [changed_texts(v, change, key) for v in value]
    if isinstance(value, str) and (key in TEXT_KEYS or key == "cautions"):
        return change(value)
    return value


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory, few_entries: Path) -> Path:
    """A site whose entries say hostile things in every field of free text."""
    folder = tmp_path_factory.mktemp("hostile")
    entries = folder / "entries"
    shutil.copytree(few_entries, entries)
    number = 0

    def hostile(_: str) -> str:
        nonlocal number
        number += 1
        # Two in each, so that few texts of a kind try many.
        return f"{HOSTILE[number % len(HOSTILE)]} {number} {HOSTILE[number * 5 // len(HOSTILE) % len(HOSTILE)]}"

    for path in sorted(entries.rglob("*.toml")):
        model = MODELS[path.relative_to(entries).parts[0]]
        record = model.model_validate(changed_texts(tomllib.loads(path.read_text()), hostile))
        path.write_text(to_toml(record))  # type: ignore[arg-type]
    return built(entries, folder / "site")


@pytest.fixture(scope="module")
def hostile_url(hostile_site: Path) -> Iterator[str]:
    """Where that site is served."""
    with Server(("127.0.0.1", 0), partial(Quiet, directory=str(hostile_site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def test_nothing_runs_and_everything_is_shown(browser: Browser, hostile_site: Path, hostile_url: str) -> None:
    watch = Watch(hostile_url)
    context = browser.new_context()
    watch.over(context)
    page = context.new_page()
    page.on("dialog", lambda dialog: watch.faults.append(dialog.message))
    names = [path.relative_to(hostile_site).as_posix() for path in sorted(hostile_site.rglob("index.html"))]
    # In German a page of each kind is enough: only the words around the texts are others.
    german = {f"de/{address}index.html" for address in example_pages(build_dataset(hostile_site.parent / "entries"))}
    names = [name for name in names if not name.startswith("de/") or name in german]
    assert len(names) > 80
    shown = ""
    for name in names:
        page.goto(hostile_url + name)
        if page.locator(".sb-chart[data-module]").count():
            page.get_by_role("button", name=re.compile("Look closer|Genauer hinsehen")).click()
            page.wait_for_selector(".sb-chart[data-drawn]")
        assert page.evaluate("window.hacked") is None, name
        assert page.locator(f"article :is({ALIVE})").count() == 0
        shown += page.locator("body").text_content() or ""
    assert watch.faults == []
    for text in HOSTILE:
        assert text in shown, text
    context.close()


def test_no_download_holds_a_formula(hostile_site: Path) -> None:
    for name in ("tests", "configurations"):
        text = (hostile_site / "data" / f"{name}.csv").read_text("utf-8")
        for row in csv.DictReader(io.StringIO(text, newline="")):
            for key, cell in row.items():
                assert not cell.startswith(("=", "@", "+")), f"{key}: {cell}"


@pytest.mark.parametrize("mark", ["\u202e", "\u2066", "\u200f", "\u061c"])
def test_marks_that_turn_the_text_around_are_refused_in_every_field(
    few_entries: Path, tmp_path: Path, mark: str
) -> None:
    entries = tmp_path / "entries"
    shutil.copytree(few_entries, entries)
    wanted = set()
    for path in sorted(entries.rglob("*.toml")):
        data = tomllib.loads(path.read_text())
        kind = path.relative_to(entries).parts[0]
        record = changed_texts(data, lambda text: f"a{mark}b")
        if record == data:
            continue
        wanted.add(path.relative_to(entries).as_posix())
        model = MODELS[kind].model_validate(data)
        text = to_toml(model)  # type: ignore[arg-type]
        for value in sorted(texts(data), key=len, reverse=True):
            text = text.replace(quoted(value), quoted(f"{value[:3]}{mark}{value[3:]}"))
        path.write_text(text)
    problems = check(entries).problems
    assert wanted == {problem.path.removeprefix(f"{entries}/") for problem in problems if problem.rule == "text-form"}


def quoted(text: str) -> str:
    """Give a text as a basic TOML string of plain characters."""
    return f'"{text}"'


def texts(value: Any, key: str = "") -> set[str]:
    """Collect the free texts of TOML data."""
    found: set[str] = set()
    changed_texts(value, lambda text: found.add(text) or text, key)  # type: ignore[func-returns-value]
    return found
