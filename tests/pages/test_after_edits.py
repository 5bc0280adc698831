"""What is made with pieces from before an edit is what is made without any, to the byte, whatever was edited."""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from builder.demo.scenario import generate
from builder.findings import forecast, hack_memory
from builder.findings.dataset import build_dataset
from builder.records.memory import Memory
from builder.records.toml_text import to_toml
from builder.records.writing_files import write_files
from builder.site.kept_site import KeptSite, keep_site, last_site, pieces_of, site_key
from builder.site.kinds import PAGE_KINDS, Task
from builder.site.published import PublishedFile, PublishedPage


def chosen(draw: random.Random, entries: Path, kind: str, having: str) -> tuple[Path, str]:
    found = [path for path in sorted((entries / kind).rglob("*.toml")) if having in path.read_text()]
    path = draw.choice([path for path in found if "[[" not in path.read_text()])
    return path, path.read_text()


def another_face(draw: random.Random, entries: Path) -> None:
    _, text = chosen(draw, entries, "tests", "nose_bridge")
    wearer = re.search(r"\nwearer = .*", text)
    assert wearer
    bridge = draw.choice(("low", "medium", "high"))
    for path in sorted((entries / "tests").rglob("*.toml")):
        if wearer[0] in (text := path.read_text()):
            path.write_text(re.sub(r"nose_bridge = .*", f'nose_bridge = "{bridge}"', text))


def another_name(draw: random.Random, entries: Path) -> None:
    path, text = chosen(draw, entries, "masks", "\nmodel = ")
    path.write_text(re.sub(r"\nmodel = .*", f'\nmodel = "Mask {draw.randrange(1000)}"', text))


def stated(draw: random.Random, entries: Path, table: str, key: str, value: object) -> None:
    """Have a test state a key of a table anew."""
    path, text = chosen(draw, entries, "tests", f"\n[{table}]\n")
    text = re.sub(rf"\n{key} = .*", "", text)
    path.write_text(text.replace(f"\n[{table}]\n", f"\n[{table}]\n{key} = {value}\n"))


def another_note(draw: random.Random, entries: Path) -> None:
    stated(draw, entries, "observations", "notes", f'"Note {draw.randrange(1000)}."')


def another_setting(draw: random.Random, entries: Path) -> None:
    stated(draw, entries, "conditions", "order", draw.randrange(1, 9))


def another_comfort(draw: random.Random, entries: Path) -> None:
    stated(draw, entries, "observations", "comfort", draw.randrange(1, 6))


def one_test_less(draw: random.Random, entries: Path) -> None:
    path, _ = chosen(draw, entries, "tests", "\nfit_factor = ")
    path.unlink()


def made(entries: Path, memory: Memory, monkeypatch: pytest.MonkeyPatch) -> KeptSite:
    """Make the site as a process does that knows what the memory holds and nothing else."""
    for module in (forecast, hack_memory):
        monkeypatch.setattr(module, "_made", {})
    pieces = pieces_of(memory, entries)
    data = replace(build_dataset(entries, memory), pieces=pieces)
    given = "", "https://example.org/", ("en",)
    site = KeptSite.of(data, *given, last_site(memory, entries))
    pieces.keep()
    keep_site(memory, site_key(data, *given), site, entries)
    return site


def asked_for(monkeypatch: pytest.MonkeyPatch) -> list[Task]:
    """Note which tasks are run."""
    found: list[Task] = []
    run = Task.__call__

    def noted(task: Task) -> Sequence[PublishedPage | PublishedFile]:
        found.append(task)
        return run(task)

    monkeypatch.setattr(Task, "__call__", noted)
    return found


def test_pieces_from_before_an_edit_change_no_byte(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    entries, memory, draw = tmp_path / "entries", Memory(tmp_path / "memory"), random.Random(1)
    monkeypatch.setattr(forecast, "FOLDS", 2)  # more take longer and tell no more here
    write_files(entries, {path: to_toml(record) for path, record in generate(40, 9, 3, 1, None)})
    made(entries, memory, monkeypatch)
    # Another fit factor, which moves all that is kept, and a damaged memory: tests/test_plugin.py.
    for edits in ((another_note, another_setting), (another_name, another_comfort), (another_face, one_test_less)):
        for edit in edits:
            edit(draw, entries)
        with monkeypatch.context() as patch:
            asked = asked_for(patch)
            kept = made(entries, memory, monkeypatch)
        anew = made(entries, Memory(), monkeypatch)
        assert kept.pages == anew.pages
        assert kept.files == anew.files
        told = {task.kind.name for task in asked}
        of_remarks = {kind.name for kind in PAGE_KINDS if kind.with_remarks}
        assert told == of_remarks if another_note in edits else told > of_remarks
