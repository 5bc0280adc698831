"""`sealbook start` makes a folder that is whole, or none, and asks for what it needs."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.commands import start
from builder.commands.start import command

BUILDER = ["--builder", f"git+https://example.org/sealbook.git@{'a' * 40}"]
GIVEN = ["--name", "Our bench", "--repository", "https://example.org/our/bench", "--address", "https://bench.example"]


def said(*arguments: str, ends_with: int) -> str:
    result = CliRunner().invoke(command, list(arguments))
    assert result.exit_code == ends_with, result.output
    return " ".join(result.output.split())


def test_the_next_steps_name_folder_repository_and_site(tmp_path: Path) -> None:
    folder = tmp_path / "our bench"
    text = said(str(folder), *GIVEN, *BUILDER, ends_with=0)
    assert f"Made {folder}, the database “Our bench”. What to do next: 1. Look at it: cd '{folder}'" in text
    assert "git remote add origin https://example.org/our/bench.git && git push -u origin main" in text
    assert "the site appears at https://bench.example/ 4." in text
    assert (folder / ".github" / "workflows" / "site.yml").is_file()


def test_an_empty_clone_will_do(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    said(str(tmp_path), *GIVEN, *BUILDER, ends_with=0)


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    new = str(tmp_path / "new")
    assert "--name is missing: what it calls itself." in said(new, ends_with=2)
    assert "--repository is missing: address of its repository." in said(new, *GIVEN[:2], ends_with=2)
    assert "--address is missing: address of its site." in said(new, *GIVEN[:4], ends_with=2)
    assert not Path(new).exists()


def test_a_builder_that_could_be_another_tomorrow_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "_note_of_pip", lambda: None)
    for more in ([], ["--builder", "git+https://example.org/sealbook.git@main"]):
        text = said(str(tmp_path / "new"), *GIVEN, *more, ends_with=2)
        assert "Invalid value for --builder: Name the repository of the builder and one commit of it: " in text
    assert not (tmp_path / "new").exists()


def test_the_builder_that_pip_noted_needs_no_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    note = f'{{"url": "https://example.org/s.git", "vcs_info": {{"vcs": "git", "commit_id": "{"c" * 40}"}}}}'
    monkeypatch.setattr(start, "_note_of_pip", lambda: note)
    said(str(tmp_path / "new"), *GIVEN, ends_with=0)
    line = (tmp_path / "new" / "requirements.txt").read_text("utf-8").splitlines()[-1]
    assert line == f"sealbook @ git+https://example.org/s.git@{'c' * 40}"
