"""Revisions are read as they are, whatever they hold, and nothing of the repository changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.review.git import RevisionError
from builder.review.revisions import Repository, leads_out
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
    base = Repository.around(entries).commit("main")
    assert Repository.around(entries).changed(base, None) == frozenset()
    (entries.parent / "README.md").write_text("changed outside\n")
    (entries.parent / ".gitignore").write_text("ignored.toml\n")
    (entries / "masks" / "drum.toml").write_text("three\n")
    (entries / "masks" / "gone.toml").unlink()
    (entries / "masks" / "né w.toml").write_text("four\n")
    (entries / "masks" / "ignored.toml").write_text("five\n")
    for passed_over in (".DS_Store", "README.md", ".new-x/0"):
        (entries / passed_over).parent.mkdir(exist_ok=True)
        (entries / passed_over).write_text("six\n")
    changed = {f"masks/{name}.toml" for name in ("drum", "gone", "né w", "ignored")}
    assert Repository.around(entries).changed(base, None) == changed
    commit(entries.parent, "second")
    repository = Repository.around(entries)
    assert repository.changed(base, repository.commit("HEAD")) == changed
    assert repository.changed(base, None) == changed
    assert repository.changed(repository.commit("HEAD"), None) == frozenset()


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
    assert (tmp_path / "out" / "masks" / "link.toml").readlink() == Path("nowhere")
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


def test_entries_at_the_top_and_deep_below_it(tmp_path: Path) -> None:
    for place in ("", "data/a b/entries"):
        entries = tmp_path / f"bench{len(place)}" / place
        (entries / "masks").mkdir(parents=True)
        (entries / "masks" / "drum.toml").write_text("one\n")
        start(tmp_path / f"bench{len(place)}")
        (entries / "masks" / "drum.toml").write_text("two\n")
        repository = Repository.around(entries)
        assert repository.place == place
        assert repository.changed(repository.commit("HEAD"), None) == {"masks/drum.toml"}
        repository.extract(repository.commit("HEAD"), tmp_path / f"out{len(place)}")
        assert (tmp_path / f"out{len(place)}" / "masks" / "drum.toml").read_text() == "one\n"


def test_through_a_link_of_ones_own_the_entries_own_repository_counts(entries: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    start(other)
    for folder in (other, tmp_path):
        (folder / "entries").symlink_to(entries, target_is_directory=True)
        repository = Repository.around(folder / "entries")
        assert repository.git.repository.top == entries.parent
        assert repository.changed(repository.commit("HEAD"), None) == frozenset()


def test_a_link_in_a_commit_leads_to_no_other_entries(entries: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "entries").symlink_to(entries, target_is_directory=True)
    start(other)
    with pytest.raises(RevisionError, match=r"^In HEAD, entries is no folder\.$"):
        Repository.around(other / "entries")


def test_a_folder_of_a_similar_name_is_another_one(entries: Path) -> None:
    (entries.parent / "entries.old").mkdir()
    (entries.parent / "entries.old" / "x.toml").write_text("x")
    commit(entries.parent, "second")
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD~1"), repository.commit("HEAD")) == frozenset()


def test_line_ends_that_git_turns_are_no_change(entries: Path) -> None:
    git(entries, "config", "core.autocrlf", "true")
    for path in (entries / "masks").iterdir():
        path.unlink()
    git(entries, "checkout", "-q", "--", ".")
    assert (entries / "masks" / "drum.toml").read_bytes() == b"one\r\n"
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD"), None) == frozenset()


def test_rights_to_execute_are_no_change(entries: Path) -> None:
    (entries / "masks" / "drum.toml").chmod(0o755)
    commit(entries.parent, "second")
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD~1"), repository.commit("HEAD")) == frozenset()
    assert repository.changed(repository.commit("HEAD~1"), None) == frozenset()


def test_a_link_is_no_file_of_the_same_bytes(entries: Path) -> None:
    """git names both alike."""
    (entries / "masks" / "drum.toml").unlink()
    (entries / "masks" / "drum.toml").symlink_to("one\n")
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD"), None) == {"masks/drum.toml"}
    commit(entries.parent, "second")
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD"), None) == frozenset()
    assert repository.changed(repository.commit("HEAD~1"), repository.commit("HEAD")) == {"masks/drum.toml"}


def test_what_no_entry_may_be_is_told_apart_by_its_size(entries: Path) -> None:
    huge = entries / "masks" / "huge.toml"
    huge.write_bytes(b"x" * 70_000)
    commit(entries.parent, "second")
    huge.write_bytes(b"y" * 70_000)
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD"), None) == frozenset()
    huge.write_bytes(b"y" * 70_001)
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD"), None) == {"masks/huge.toml"}


def test_sha256_repositories(tmp_path: Path) -> None:
    entries = tmp_path / "entries"
    (entries / "masks").mkdir(parents=True)
    (entries / "masks" / "drum.toml").write_text("one\n")
    git(tmp_path, "init", "-q", "--object-format=sha256")
    commit(tmp_path, "first")
    repository = Repository.around(entries)
    assert repository.changed(repository.commit("HEAD"), None) == frozenset()


def test_entries_that_are_no_folder_in_a_commit(entries: Path) -> None:
    git(entries, "mv", "masks", "../kept")
    entries.rmdir()
    entries.symlink_to("kept", target_is_directory=True)
    commit(entries.parent, "second")
    entries.unlink()
    entries.mkdir()
    repository = Repository.around(entries)
    with pytest.raises(RevisionError, match=r"^In HEAD, entries is no folder\.$"):
        repository.changed(repository.commit("HEAD"), None)


def tree(folder: Path, *entries: tuple[str, str, str]) -> str:
    """Write a tree that git would not make: mode, name and hash of each entry."""
    content = b"".join(b"%s %s\0" % (m.encode(), name.encode()) + bytes.fromhex(h) for m, name, h in entries)
    (folder.parent / "by-hand").write_bytes(content)
    return git(folder, "hash-object", "-w", "--literally", "-t", "tree", str(folder.parent / "by-hand"))


def test_nothing_is_written_through_a_link(entries: Path, tmp_path: Path) -> None:
    """A tree made by hand may hold one name twice, as a link that leads out and as a folder."""
    victim = tmp_path / "victim"
    victim.mkdir()
    (tmp_path / "target").write_text(str(victim))
    target = git(entries, "hash-object", "-w", str(tmp_path / "target"))
    inner = tree(entries.parent, ("120000", "link", target), ("160000", "sub", target))
    outer = tree(entries.parent, ("120000", "a", target), ("40000", "a", inner))
    made = git(entries, "commit-tree", tree(entries.parent, ("40000", "entries", outer)), "-m", "by hand")
    repository = Repository.around(entries)
    with pytest.raises(RevisionError, match="could not be laid out"):
        repository.extract(repository.commit(made), tmp_path / "out")
    assert list(victim.iterdir()) == []


def test_folders_inside_folders_come_to_an_end(entries: Path, tmp_path: Path) -> None:
    inner = git(entries, "rev-parse", "HEAD:entries")
    for _ in range(50):
        inner = tree(entries.parent, ("40000", "a", inner))
    made = git(entries, "commit-tree", tree(entries.parent, ("40000", "entries", inner)), "-m", "by hand")
    repository = Repository.around(entries)
    with pytest.raises(RevisionError, match=r"holds more than 40 folders inside each other\.$"):
        repository.extract(repository.commit(made), tmp_path / "out")


@pytest.mark.parametrize(
    "path, here, on_windows",
    [
        ("masks/drum.toml", False, False),
        ("masks/../../x", True, True),
        ("/etc/x", True, True),
        ("masks/..\\..\\..\\x", False, True),
        ("C:x", False, True),
    ],
)
def test_ways_out_of_a_folder(path: str, here: bool, on_windows: bool) -> None:
    assert leads_out(path, windows=False) is here
    assert leads_out(path, windows=True) is on_windows
