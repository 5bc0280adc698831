"""Logs of counters as a browser reads them: the phases, fit factors, doubts and problems that the command gives."""

from __future__ import annotations

import base64
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page

from tests.conftest import FIXTURE_KEPT
from tests.records import written_logs
from tests.records.broken_logs import BROKEN
from tests.records.drawn_logs import doubtful, hostile, layouts, unphased
from tests.records.read_logs import Reading, reading

READ = """async ([content, options]) => {
    const { readLog } = await import("/assets/scripts/logs/read-log.js");
    return readLog(Uint8Array.from(atob(content), (one) => one.charCodeAt(0)), options);
}"""


def browser_reading(scripts: Page, content: str | bytes, **options: Any) -> Reading:
    """Read a log in a browser."""
    as_bytes = content if isinstance(content, bytes) else content.encode()
    found: Reading = scripts.evaluate(READ, [base64.b64encode(as_bytes).decode(), options])
    return found


def assert_alike(browser: Reading, command: Reading) -> None:
    """The same words; figures but for rounding."""
    cut = browser["cut"]
    if cut:
        for phase in cut["phases"]:
            del phase["level"]
    for name, told in command.items():
        assert browser[name] == nearly(told), name


def nearly(told: Any) -> Any:
    """What is equal to it but for rounding."""
    if isinstance(told, dict):
        return {name: nearly(value) for name, value in told.items()}
    if isinstance(told, list):
        return [nearly(value) for value in told]
    return pytest.approx(told, rel=1e-6, abs=1e-9) if type(told) in (int, float) else told


@pytest.mark.parametrize("way", written_logs.WAYS)
def test_every_way_of_writing(scripts: Page, tmp_path: Path, way: str) -> None:
    content = written_logs.WAYS[way]
    assert_alike(browser_reading(scripts, content), reading(tmp_path, content))


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=60)
@given(layouts())
def test_any_layout(scripts: Page, tmp_path: Path, drawn: tuple[bytes, list[int], int]) -> None:
    assert_alike(browser_reading(scripts, drawn[0]), reading(tmp_path, drawn[0]))


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=40)
@given(unphased(), st.sampled_from(["short-four-exercise", "one-exercise", "eight-exercise"]))
def test_any_log_cut_by_a_schedule(
    scripts: Page, tmp_path: Path, drawn: tuple[str, list[int], int], schedule: str
) -> None:
    options = {"schedule": schedule}
    assert_alike(browser_reading(scripts, drawn[0], **options), reading(tmp_path, drawn[0], **options))


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=60)
@given(doubtful())
def test_every_doubt(scripts: Page, tmp_path: Path, drawn: tuple[str, dict[str, Any]]) -> None:
    text, options = drawn
    assert_alike(browser_reading(scripts, text, **options), reading(tmp_path, text, **options))


@pytest.mark.parametrize("content", [content for content, _ in BROKEN], ids=range(len(BROKEN)))
def test_every_problem(scripts: Page, tmp_path: Path, content: str | bytes) -> None:
    assert_alike(browser_reading(scripts, content), reading(tmp_path, content))


@settings(suppress_health_check=FIXTURE_KEPT, max_examples=60)
@given(hostile())
def test_any_bytes(scripts: Page, tmp_path: Path, content: bytes) -> None:
    assert_alike(browser_reading(scripts, content), reading(tmp_path, content))


@pytest.mark.parametrize("column", ["size 0.5", "4", "Size 5", ""])
def test_a_chosen_column(scripts: Page, tmp_path: Path, column: str) -> None:
    rows = "".join(f"{s},{'ambient' if s <= 20 else 'mask'},{n},{n * 2}\n" for s, n in enumerate([900] * 20 + [9] * 30))
    text = f"Time (s),Phase,Size 0.3,Size 0.5\n{rows}"
    assert_alike(browser_reading(scripts, text, column=column), reading(tmp_path, text, column=column))
