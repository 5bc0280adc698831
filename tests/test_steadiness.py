"""No test fails by chance: none measures time, draws otherwise each time, or reads what moves by itself."""

from __future__ import annotations

import re

import pytest

from tests.conftest import ROOT

FILES = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for path in sorted((ROOT / "tests").rglob("*.py"))
    if "bench" not in path.relative_to(ROOT).parts[:-1]
}
CHANCE = {
    r"\b(?:perf_counter|process_time|thread_time|monotonic)(?:_ns)?\(|\btime\.time\(": (
        "a busy machine takes longer: measure time by hand, in tests/bench/"
    ),
    r"\btimeout=(?!PATIENCE_MS)": "a busy machine takes longer: wait for what comes, however long",
    r"\bdefault_rng\(\)|\bRandom\(\)|\bnp\.random\.(?:rand|randn|normal|choice)\(": "name the seed",
    r"\.stat\(\) ?(?:==|!=|[,)\]}\n])|\bst_atime": "compare what the test is about: the time of last reading moves",
    r"assert page\.url(?: |\.endswith)": (
        "the test hears of an address later than the page: use `at` of tests/browser/conftest.py"
    ),
}
"""What is left to chance, with what to do instead."""


@pytest.mark.parametrize("chance", CHANCE)
def test_nothing_is_left_to_chance(chance: str) -> None:
    found = [
        f"{name}:{text.count(chr(10), 0, match.start()) + 1}"
        for name, text in FILES.items()
        if name != "tests/test_steadiness.py"
        for match in re.finditer(chance, text)
    ]
    assert found == [], CHANCE[chance]


def test_what_is_left_to_chance_would_be_found() -> None:
    for chance, written in zip(
        CHANCE,
        ("time.monotonic()", "wait(timeout=5)", "default_rng()", "{path: path.stat()}", "assert page.url == x"),
        strict=True,
    ):
        assert re.search(chance, written), chance
