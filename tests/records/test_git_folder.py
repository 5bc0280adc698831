"""Which folder counts as a repository: what git made, and nothing that a branch can bring."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.records.git_folder import GitFolder, UnsoundError, repository_around
from tests.review.repository import commit, git, start


@pytest.fixture
def top(tmp_path: Path) -> Path:
    """A repository with entries."""
    folder = tmp_path / "bench"
    (folder / "entries" / "masks").mkdir(parents=True)
    (folder / "entries" / "masks" / "drum.toml").write_text("x")
    start(folder)
    return folder


def bare(folder: Path) -> Path:
    """Write what git takes for a repository, from files that a branch can hold."""
    for path, text in {"HEAD": "ref: refs/heads/main", "config": "", "objects/info/x": "", "refs/x": ""}.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text)
    return folder


def test_the_folder_called_git(top: Path) -> None:
    found = GitFolder(top, top / ".git")
    for folder in (top, top / "entries", top / "entries" / "masks"):
        assert repository_around(folder) == found


def test_no_repository(tmp_path: Path) -> None:
    assert repository_around(bare(tmp_path / "entries")) is None


def test_a_folder_that_only_looks_like_a_repository_is_passed_by(top: Path) -> None:
    bare(top / "entries")
    bare(top / "entries" / "masks")
    assert repository_around(top / "entries" / "masks") == GitFolder(top, top / ".git")


def test_a_worktree(top: Path, tmp_path: Path) -> None:
    git(top, "worktree", "add", "-q", str(tmp_path / "side"))
    found = GitFolder(tmp_path / "side", top / ".git" / "worktrees" / "side")
    assert repository_around(tmp_path / "side" / "entries") == found


def test_a_worktree_of_a_bare_repository(top: Path, tmp_path: Path) -> None:
    git(tmp_path, "clone", "-q", "--bare", str(top), "bare.git")
    git(tmp_path / "bare.git", "worktree", "add", "-q", str(tmp_path / "side"))
    found = GitFolder(tmp_path / "side", tmp_path / "bare.git" / "worktrees" / "side")
    assert repository_around(tmp_path / "side") == found


def test_a_submodule(top: Path, tmp_path: Path) -> None:
    outer = tmp_path / "outer"
    outer.mkdir()
    start(outer)
    git(outer, "-c", "protocol.file.allow=always", "submodule", "--quiet", "add", str(top), "sub")
    commit(outer, "second")
    found = GitFolder(outer / "sub", outer / ".git" / "modules" / "sub")
    assert repository_around(outer / "sub" / "entries") == found


def test_a_repository_kept_elsewhere_and_a_link(top: Path, tmp_path: Path) -> None:
    (tmp_path / "apart").mkdir()
    git(tmp_path / "apart", "init", "-q", f"--separate-git-dir={tmp_path / 'kept'}")
    assert repository_around(tmp_path / "apart") == GitFolder(tmp_path / "apart", tmp_path / "kept")
    (tmp_path / "linked").mkdir()
    (tmp_path / "linked" / ".git").symlink_to(top / ".git", target_is_directory=True)
    assert repository_around(tmp_path / "linked") == GitFolder(tmp_path / "linked", top / ".git")


@pytest.mark.parametrize("place", ["entries/masks", "other"])
def test_a_repository_that_a_branch_may_have_brought_is_refused(top: Path, place: str) -> None:
    target = bare(top / place)
    (top / "entries" / ".git").write_text(f"gitdir: {target}\n")
    with pytest.raises(UnsoundError) as caught:
        repository_around(top / "entries")
    assert str(caught.value) == (
        f"{top / 'entries' / '.git'} leads to {target}, which a branch may have brought: it is not trusted."
    )
    (top / "entries" / ".git").unlink()
    (top / "entries" / ".git").symlink_to(target, target_is_directory=True)
    with pytest.raises(UnsoundError, match="not trusted"):
        repository_around(top / "entries")


@pytest.mark.parametrize(
    "content",
    [b"", b"gitdir: ", b"gitdir: nowhere", b"masks", b"gitdir: \0", b"gitdir: \xff", b"gitdir: " + b"x/" * 9_000],
)
def test_a_file_that_leads_nowhere(top: Path, content: bytes) -> None:
    (top / "entries" / ".git").write_bytes(content)
    with pytest.raises(UnsoundError) as caught:
        repository_around(top / "entries")
    assert str(caught.value) == f"{top / 'entries' / '.git'} is no repository of git, and leads to none."


def test_a_folder_that_holds_no_repository_and_links_in_a_circle(top: Path) -> None:
    dot = top / "entries" / ".git"
    dot.mkdir()
    with pytest.raises(UnsoundError, match="leads to none"):
        repository_around(top / "entries")
    bare(dot)
    assert repository_around(top / "entries") == GitFolder(top / "entries", dot)
    (dot / "HEAD").write_text("nothing")
    with pytest.raises(UnsoundError, match="leads to none"):
        repository_around(top / "entries")
    other = top / "entries" / "masks" / ".git"
    other.symlink_to(other)
    with pytest.raises(UnsoundError, match="leads to none"):
        repository_around(top / "entries" / "masks")
