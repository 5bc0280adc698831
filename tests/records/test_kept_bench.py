"""What an entries folder remembers of the bench."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.checking import check
from builder.records.kept_bench import FILE, MOST_TAKES, KeptBench, KeptBenchError, KeptTake, bench, write_with
from tests.records import samples

KEPT = KeptBench(
    {"wearer": "blue-heron"},
    ("as-sold",),
    (KeptTake("tests/a.toml", "tests/b.toml", "text"),),
    {"/logs": {"1-a": "left"}},
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return samples.write(tmp_path)


def test_nothing_is_remembered_at_first(root: Path) -> None:
    assert KeptBench.of(root) == KeptBench()


def test_it_comes_back_as_it_was(root: Path) -> None:
    with bench(root):
        write_with(root, KEPT)
    assert KeptBench.of(root) == KEPT
    with bench(root) as kept:
        write_with(root, kept.with_log("/logs", "2-b", "there").with_take(KeptTake("tests/c.toml")))
    found = KeptBench.of(root)
    assert found.logs == {"/logs": {"1-a": "left", "2-b": "there"}}
    assert [take.path for take in found.takes] == ["tests/a.toml", "tests/c.toml"]


def test_the_checker_passes_it_over(root: Path) -> None:
    before = check(root).problems
    with bench(root):
        write_with(root, KEPT)
    assert check(root).problems == before
    assert (root / ".sealbook-bench/.gitignore").read_text() == "*\n"


def test_old_takes_are_forgotten() -> None:
    kept = KeptBench()
    for number in range(MOST_TAKES + 5):
        kept = kept.with_take(KeptTake(f"{number}"))
    assert [kept.takes[0].path, len(kept.takes)] == ["5", MOST_TAKES]


@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"worn": 1}', '{"answers": {}, "worn": null, "takes": [1], "logs": {}}']
)
def test_what_cannot_be_understood_is_said(root: Path, content: str) -> None:
    (root / FILE).parent.mkdir()
    (root / FILE).write_text(content)
    with pytest.raises(KeptBenchError) as raised:
        KeptBench.of(root)
    assert str(raised.value) == (
        f"{root / FILE} cannot be understood. Delete it: the entries stay, what it remembers is asked again."
    )
