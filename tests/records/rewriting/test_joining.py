"""Two spellings of one wearer become one, unless their faces say that they are two."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.checking import check
from builder.records.rewriting.entry_changes import CannotChangeError
from builder.records.rewriting.joining import join_wearers
from tests.records import samples
from tests.records.rewriting.bench import TODAY, bench, carry_out, held


def test_tests_get_the_next_numbers_and_old_addresses_lead_on(tmp_path: Path) -> None:
    root = bench(tmp_path)
    carry_out(root, join_wearers(root, "blue-heron", "red-kite", TODAY))
    assert not any("kite" in path for path in held(root))
    assert b'wearer = "blue-heron"\r\n' in held(root)["tests/drum-cup/2026-09-12-blue-heron-8.toml"]
    *_, line = check(root, today=TODAY).entries.renamed
    assert (line.old, line.to) == ("drum-cup/2026-09-12-red-kite-1", ("drum-cup/2026-09-12-blue-heron-8",))


def test_contradicting_faces_are_named(tmp_path: Path) -> None:
    root = bench(tmp_path)
    path = root / "tests/drum-cup/2026-09-12-red-kite-1.toml"
    path.write_bytes(path.read_bytes().replace(b"length_mm = 117", b"length_mm = 118"))
    before = held(root)
    with pytest.raises(CannotChangeError) as raised:
        join_wearers(root, "blue-heron", "red-kite", TODAY)
    assert raised.value.obstacles[0].problem == "These are not one face."
    [problem] = raised.value.problems
    assert (problem.path, problem.line, problem.rule) == (path.as_posix(), 10, "same-face")
    assert held(root) == before


def test_both_must_be_there(tmp_path: Path) -> None:
    with pytest.raises(CannotChangeError) as raised:
        join_wearers(bench(tmp_path), "blue-heran", "blue-heran", TODAY)
    assert [obstacle.problem for obstacle in raised.value.obstacles] == [
        "There is no wearer blue-heran.",
        "There is no wearer blue-heran.",
        "These are the same spelling.",
    ]


def test_a_test_of_both_is_one_test(tmp_path: Path) -> None:
    root = bench(tmp_path)
    path = root / "tests/drum-cup/2026-09-12-red-kite-1.toml"
    path.write_text(samples.TEST.replace("blue-heron", "red-kite"))
    with pytest.raises(CannotChangeError) as raised:
        join_wearers(root, "blue-heron", "red-kite", TODAY)
    assert raised.value.obstacles[0].problem == "The entries would have problems then."
    assert {problem.rule for problem in raised.value.problems} == {"same-test"}
