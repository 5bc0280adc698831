"""git is found outside of what a branch can bring, gets none of the user's variables, and always comes to an end."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.review.git import Git, RevisionError
from tests.review.repository import start


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A folder in a repository."""
    folder = tmp_path / "base" / "entries"
    folder.mkdir(parents=True)
    start(folder.parent)
    return folder


def fake(folder: Path, script: str) -> Path:
    """Write a program called git into a folder."""
    program = folder / "git"
    folder.mkdir(exist_ok=True)
    program.write_text(f"#!/bin/sh\n{script}\n")
    program.chmod(0o755)
    return folder


def test_without_a_repository_it_says_so(tmp_path: Path) -> None:
    with pytest.raises(
        RevisionError, match=r"does not lie in a git repository, so there is nothing to compare with\.$"
    ):
        Git.around(tmp_path)


def test_a_repository_not_to_be_trusted_is_a_sentence(bench: Path) -> None:
    (bench / ".git").write_text("gitdir: nowhere")
    with pytest.raises(RevisionError) as caught:
        Git.around(bench)
    assert str(caught.value) == f"{bench / '.git'} is no repository of git, and leads to none."


def test_inside_a_hook_of_another_repository_the_entries_own_one_counts(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    start(other)
    monkeypatch.setenv("GIT_DIR", str(other / ".git"))
    monkeypatch.setenv("GIT_COMMON_DIR", str(other / ".git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other / ".git" / "index"))
    git = Git.around(bench)
    assert git.repository.folder == bench.parent / ".git"
    assert git.run("rev-parse", "--show-toplevel").decode().strip() == str(bench.parent)


def test_no_variable_that_names_programs_reaches_git(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("GIT_EXTERNAL_DIFF", "GIT_SSH_COMMAND", "GIT_CONFIG_PARAMETERS", "GIT_TRACE", "SSH_ASKPASS", "EDITOR"):
        monkeypatch.setenv(name, "theirs")
    git = Git.around(bench)
    monkeypatch.setenv("PATH", f"{fake(tmp_path / 'bin', 'env')}:{os.environ['PATH']}")
    lines = dict(line.partition("=")[::2] for line in git.run("cat-file").decode().splitlines())
    assert "theirs" not in lines.values()
    assert {name: value for name, value in lines.items() if name.startswith("GIT_")} == {
        "GIT_ALLOW_PROTOCOL": "",
        "GIT_ASKPASS": "",
        "GIT_ATTR_NOSYSTEM": "1",
        "GIT_CEILING_DIRECTORIES": str(tmp_path),
        "GIT_EDITOR": ":",
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_TERMINAL_PROMPT": "0",
    }
    assert lines["HOME"] == os.environ["HOME"]


@pytest.mark.parametrize("path", ["", ".", "tools", "{top}", "{top}/tools"])
def test_a_program_called_git_in_the_work_tree_is_not_run(
    bench: Path, monkeypatch: pytest.MonkeyPatch, path: str
) -> None:
    top = bench.parent
    for folder in (top, top / "tools"):
        fake(folder, f"touch {top}/ran")
    monkeypatch.chdir(top)
    monkeypatch.setenv("PATH", f"{path.format(top=top)}:{os.environ['PATH']}")
    Git.around(bench)
    assert not (top / "ran").exists()


def test_another_repository_than_the_one_found_is_refused(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", f"{fake(tmp_path / 'bin', 'echo /elsewhere')}:{os.environ['PATH']}")
    with pytest.raises(
        RevisionError, match=r"^git takes /elsewhere for the repository around .*, not .*/base/\.git\.$"
    ):
        Git.around(bench)


def test_a_hanging_git_comes_to_an_end(bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", f"{fake(tmp_path / 'bin', 'exec sleep 60')}:{os.environ['PATH']}")
    monkeypatch.setattr("builder.review.git.TIMEOUT_S", 0.2)
    with pytest.raises(RevisionError, match=r"^git rev-parse did not end within 0\.2 s\.$"):
        Git.around(bench)


def test_gits_own_refusal_is_passed_on(bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    script = "echo 'fatal: detected dubious ownership in repository' >&2\nexit 128"
    monkeypatch.setenv("PATH", f"{fake(tmp_path / 'bin', script)}:{os.environ['PATH']}")
    with pytest.raises(RevisionError, match="git refuses: fatal: detected dubious ownership"):
        Git.around(bench)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only the superuser can give files away")
def test_the_repository_of_somebody_else_is_refused(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """git-config, "safe.directory"."""
    monkeypatch.setenv("HOME", str(bench))
    monkeypatch.delenv("SUDO_UID", raising=False)
    for path in (bench.parent, bench.parent / ".git"):
        os.chown(path, 12345, 12345)
    with pytest.raises(RevisionError, match="git refuses: fatal: detected dubious ownership"):
        Git.around(bench)
