"""Revisions are read as they are, whatever they hold, and nothing of the repository changes."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.review.revisions import Repository, RevisionError
from tests.review.repository import commit, git, start


@pytest.fixture
def entries(tmp_path: Path) -> Path:
    """The entries folder of a repository with one commit."""
    folder = tmp_path / "base" / "entries"
    (folder / "masks").mkdir(parents=True)
    (folder / "masks" / "drum.toml").write_text("one\n")
    (folder / "masks" / "gone.toml").write_text("two\n")
    (folder.parent / "README.md").write_text("outside\n")
    start(folder.parent)
    return folder


def test_only_what_differs_below_the_entries_is_named(entries: Path) -> None:
    repository = Repository.around(entries)
    base = repository.commit("main")
    assert repository.changed(base, None) == frozenset()
    (entries.parent / "README.md").write_text("changed outside\n")
    (entries.parent / ".gitignore").write_text("ignored.toml\n")
    (entries / "masks" / "drum.toml").write_text("three\n")
    (entries / "masks" / "gone.toml").unlink()
    (entries / "masks" / "né w.toml").write_text("four\n")
    (entries / "masks" / "ignored.toml").write_text("five\n")
    changed = {f"masks/{name}.toml" for name in ("drum", "gone", "né w", "ignored")}
    assert repository.changed(base, None) == changed
    assert repository.uncommitted() == 3
    commit(entries.parent, "second")
    assert repository.changed(base, repository.commit("HEAD")) == changed
    assert repository.changed(base, None) == changed
    assert repository.uncommitted() == 0


def test_a_revision_is_laid_out_byte_for_byte(entries: Path, tmp_path: Path) -> None:
    content = bytes(range(256)) + b"\r\n\n"
    (entries / "tests" / "a b").mkdir(parents=True)
    (entries / "tests" / "a b" / "ü.toml").write_bytes(content)
    (entries / "empty.toml").write_bytes(b"")
    # Neither is heeded: a review shows what is in the commit.
    (entries / ".gitattributes").write_text("*.toml export-ignore export-subst -text\n")
    commit(entries.parent, "second")
    folder = tmp_path / "out"
    Repository.around(entries).extract(Repository.around(entries).commit("HEAD"), folder)
    found = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert found == {".gitattributes", "empty.toml", "masks/drum.toml", "masks/gone.toml", "tests/a b/ü.toml"}
    assert (folder / "tests" / "a b" / "ü.toml").read_bytes() == content


def test_only_some_files_are_laid_out_on_request(entries: Path, tmp_path: Path) -> None:
    repository = Repository.around(entries)
    repository.extract(repository.commit("HEAD"), tmp_path / "out", frozenset({"masks/gone.toml", "masks/never.toml"}))
    assert [path.name for path in (tmp_path / "out").rglob("*.toml")] == ["gone.toml"]


def test_links_stay_links_and_huge_files_are_not_read(entries: Path, tmp_path: Path) -> None:
    (entries / "masks" / "link.toml").symlink_to("/etc/passwd")
    (entries / "masks" / "huge.toml").write_bytes(b"x" * 70_000)
    commit(entries.parent, "second")
    repository = Repository.around(entries)
    repository.extract(repository.commit("HEAD"), tmp_path / "out")
    assert (tmp_path / "out" / "masks" / "link.toml").readlink() == Path("/etc/passwd")
    assert (tmp_path / "out" / "masks" / "huge.toml").read_bytes() == bytes(70_000)


def test_a_path_that_leads_out_is_refused(entries: Path, tmp_path: Path) -> None:
    """git itself checks none of a commit that was made by hand."""
    blob = git(entries, "hash-object", "-w", "masks/drum.toml")
    tree = b"100644 escaped.toml\0" + bytes.fromhex(blob)
    (tmp_path / "inner").write_bytes(tree)
    inner = git(entries, "hash-object", "-w", "--literally", "-t", "tree", str(tmp_path / "inner"))
    (tmp_path / "outer").write_bytes(b"40000 ..\0" + bytes.fromhex(inner))
    outer = git(entries, "hash-object", "-w", "--literally", "-t", "tree", str(tmp_path / "outer"))
    (tmp_path / "root").write_bytes(b"40000 entries\0" + bytes.fromhex(outer))
    root = git(entries, "hash-object", "-w", "--literally", "-t", "tree", str(tmp_path / "root"))
    made = git(entries, "commit-tree", root, "-m", "by hand")
    repository = Repository.around(entries)
    with pytest.raises(RevisionError, match="leads out of its folder"):
        repository.extract(repository.commit(made), tmp_path / "out")
    assert not (tmp_path / "escaped.toml").exists()


@pytest.mark.parametrize(
    "revision",
    ["", "nowhere", "-h", "--help", "--output=x", "HEAD:entries", "HEAD^{tree}", "main\n", "HEAD HEAD", "a\0b"],
)
def test_what_is_no_commit_is_refused_in_a_sentence(entries: Path, revision: str) -> None:
    with pytest.raises(RevisionError, match=r"^git knows no commit called .*\. Fetch it first, or name another one\.$"):
        Repository.around(entries).commit(revision)
    assert sorted(path.name for path in entries.parent.iterdir()) == [".git", "README.md", "entries"]


@pytest.mark.parametrize("revision", ["main", "HEAD", "HEAD~0", "main@{0}", "refs/heads/main"])
def test_any_name_of_a_commit_will_do(entries: Path, revision: str) -> None:
    assert Repository.around(entries).commit(revision).hash == git(entries, "rev-parse", "HEAD")


def test_the_place_where_two_lines_parted(entries: Path) -> None:
    first = git(entries, "rev-parse", "HEAD")
    git(entries, "checkout", "-q", "-b", "side")
    commit(entries.parent, "side")
    git(entries, "checkout", "-q", "main")
    commit(entries.parent, "main")
    git(entries, "checkout", "-q", "--orphan", "stranger")
    commit(entries.parent, "stranger")
    repository = Repository.around(entries)
    main, side, stranger = (repository.commit(name) for name in ("main", "side", "stranger"))
    parted = repository.parting(main, side)
    assert parted and (parted.hash, parted.name) == (first, "main")
    assert repository.parting(main, stranger) is None


def test_without_a_repository_it_says_so(tmp_path: Path) -> None:
    with pytest.raises(
        RevisionError, match=r"does not lie in a git repository, so there is nothing to compare with\.$"
    ):
        Repository.around(tmp_path)


def test_inside_a_hook_of_another_repository_the_entries_own_one_counts(
    entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    start(other)
    monkeypatch.setenv("GIT_DIR", str(other / ".git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other / ".git" / "index"))
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("main"), None) == frozenset()


def test_a_hanging_git_comes_to_an_end(entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fake = tmp_path / "bin" / "git"
    fake.parent.mkdir()
    fake.write_text("#!/bin/sh\nexec sleep 60\n")
    fake.chmod(0o755)
    monkeypatch.setenv("PATH", f"{fake.parent}:{os.environ['PATH']}")
    monkeypatch.setattr("builder.review.revisions.TIMEOUT_S", 0.2)
    with pytest.raises(RevisionError, match=r"did not end within 0\.2 s"):
        Repository.around(entries)


def test_gits_own_refusal_is_passed_on(entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fake = tmp_path / "bin" / "git"
    fake.parent.mkdir()
    fake.write_text("#!/bin/sh\necho 'fatal: detected dubious ownership in repository' >&2\nexit 128\n")
    fake.chmod(0o755)
    monkeypatch.setenv("PATH", f"{fake.parent}:{os.environ['PATH']}")
    with pytest.raises(RevisionError, match="git refuses: fatal: detected dubious ownership"):
        Repository.around(entries)
