"""Contents on disk are named as git names them."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.review.git import RevisionError
from builder.review.work_tree import UNREADABLE, contents, link, too_large
from tests.review.repository import git

SHA1, SHA256 = 40, 64


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Path]:
    """Two repositories, by the length of the names in them."""
    folders = {SHA1: tmp_path_factory.mktemp("sha1"), SHA256: tmp_path_factory.mktemp("sha256")}
    for length, folder in folders.items():
        git(folder, "init", "-q", f"--object-format=sha{'1' if length == SHA1 else '256'}")
    return folders


@settings(max_examples=40, deadline=None)
@given(content=st.lists(st.sampled_from([b"a", b"\r", b"\n", b"\r\n", b"\0", b"\xff"])).map(b"".join))
@pytest.mark.parametrize("length", [SHA1, SHA256])
def test_a_file_has_the_name_that_git_gives_it(folders: dict[int, Path], length: int, content: bytes) -> None:
    (folders[length] / "x.toml").write_bytes(content)
    (folders[length] / ".git" / "plain").write_bytes(content.replace(b"\r\n", b"\n"))
    names = git(folders[length], "hash-object", "--no-filters", "x.toml", ".git/plain").split()
    assert contents(folders[length], length) == {"x.toml": frozenset(names)}


def test_every_file_is_named_and_no_link_followed(tmp_path: Path) -> None:
    (tmp_path / "a" / "b").mkdir(parents=True)
    (tmp_path / "a" / "b" / "ü.toml").write_text("")
    (tmp_path / ".hidden").write_text("")
    (tmp_path / "huge").write_bytes(b"x" * 65_537)
    (tmp_path / "to-folder").symlink_to("a", target_is_directory=True)
    (tmp_path / "sub" / ".git").mkdir(parents=True)
    (tmp_path / "sub" / ".git" / "HEAD").write_text("")
    os.mkfifo(tmp_path / "pipe")
    empty = "e69de29bb2d1d6434b8b29ae775ad8c2e48c5391"  # git hash-object /dev/null
    assert contents(tmp_path, SHA1) == {
        "a/b/ü.toml": {empty},
        ".hidden": {empty},
        "huge": {too_large(65_537)},
        "to-folder": {link("2e65efe2a145dda7ee51d1741299f848e5bf752e")},  # printf a | git hash-object --stdin
    }


def test_thousands_of_folders_inside_each_other_are_read(tmp_path: Path) -> None:
    deepest = os.open(tmp_path, os.O_RDONLY)
    for _ in range(1_200):
        os.mkdir("a", dir_fd=deepest)
        deeper = os.open("a", os.O_RDONLY, dir_fd=deepest)
        os.close(deepest)
        deepest = deeper
    os.close(deepest)
    assert contents(tmp_path, SHA1) == {}
    subprocess.run(
        ["rm", "-r", str(tmp_path / "a")], check=True
    )  # Python's own removal follows folders one call inside the other


def test_what_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "x.toml").write_text("")

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr("builtins.open", refuse)
        assert contents(tmp_path, SHA1) == {"x.toml": {UNREADABLE}}
    monkeypatch.setattr("os.scandir", refuse)
    with pytest.raises(RevisionError, match=rf"^{tmp_path} cannot be read: Permission denied\.$"):
        contents(tmp_path, SHA1)
