"""The entries as they lie on disk, told apart by the names that git gives to contents.

git itself would run filters to compare files on disk with those in a commit. Here their bytes are hashed as they are
(gitformat-pack and git-hash-object: a blob is named by the hash of `blob <size>`, a NUL and its bytes).
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

from builder.records.git_folder import DOT_GIT
from builder.records.reading import size_limit
from builder.review.git import RevisionError

UNREADABLE = "unreadable"


def link(name: str) -> str:
    """Mark the name of a blob that is a symbolic link, so that no file counts as the same."""
    return f"link {name}"


def too_large(size: int) -> str:
    """Stand for the name of a content that no entry may have, for its size: the rest of it does not matter."""
    return f"{size} bytes"


def contents(root: Path, hash_length: int) -> dict[str, frozenset[str]]:
    """Name the content of every file below a folder; `hash_length` tells the repository's hash function.

    A file with the line ends of Windows has two names: entries mean the same with either, and git may have turned
    them when it wrote the file (gitattributes, "text"; git-config, "core.autocrlf"). No link is followed.
    """
    return {path: _names(entry, path, hash_length) for path, entry in _files(root)}


def _files(root: Path) -> Iterator[tuple[str, os.DirEntry[str]]]:
    folders = [""]
    while folders:
        folder = folders.pop()
        try:
            with os.scandir(root / folder) as scan:
                entries = list(scan)
        except OSError as error:
            raise RevisionError(f"{root / folder} cannot be read: {error.strerror}.") from error
        for entry in entries:
            path = f"{folder}{entry.name}"
            if entry.is_dir(follow_symlinks=False):
                if entry.name != DOT_GIT:
                    folders.append(f"{path}/")
            elif entry.is_symlink() or entry.is_file(follow_symlinks=False):
                yield path, entry


def _names(entry: os.DirEntry[str], path: str, hash_length: int) -> frozenset[str]:
    try:
        if entry.is_symlink():
            return frozenset({link(_name(os.fsencode(os.readlink(entry.path)), hash_length))})  # noqa: PTH115
        limit = size_limit(path)
        with open(entry.path, "rb") as file:  # noqa: PTH123  (a Path for each of 100,000 files takes seconds)
            content = file.read(limit + 1)
            if len(content) > limit:
                return frozenset({too_large(os.fstat(file.fileno()).st_size)})
    except OSError:
        return frozenset({UNREADABLE})
    names = {_name(content, hash_length)}
    if b"\r\n" in content:
        names.add(_name(content.replace(b"\r\n", b"\n"), hash_length))
    return frozenset(names)


def _name(content: bytes, hash_length: int) -> str:
    function = hashlib.sha1 if hash_length == hashlib.sha1().digest_size * 2 else hashlib.sha256
    return function(b"blob %d\0%b" % (len(content), content), usedforsecurity=False).hexdigest()
