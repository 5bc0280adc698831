"""What the reader passes over: README.md and files whose name begins with a dot, unless git would heed them."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from builder.records import git_faults
from builder.records.git_folder import DOT_GIT, UnsoundError, repository_around
from builder.records.kept_bench import IGNORED
from builder.records.problems import Found

README = "README.md"


def is_passed_over(path: str) -> bool:
    """Whether nothing reads the file at a path: it is a README.md, or it or a folder of it begins with a dot."""
    *folders, name = path.split("/")
    if any(map(git_faults.is_gits, (*folders, name))):
        return False
    hidden = any(folder.startswith(".") for folder in folders)
    return name == README or name.startswith(".") or (hidden and name.casefold() != git_faults.HEAD)


def hidden(root: Path, path: str, entry: os.DirEntry[str]) -> Iterator[Found]:
    """Look through what is passed over, for what git would heed nevertheless."""
    if path == DOT_GIT and _is_top(root):
        return
    if git_faults.is_gits(entry.name):
        yield Found(git_faults.RULE, path, git_faults.named(entry.name))
        return
    folders = [path] if entry.is_dir(follow_symlinks=False) else []
    while folders:
        folder = folders.pop()
        try:
            with os.scandir(root / folder) as scan:
                below = sorted(scan, key=lambda entry: entry.name)
        except OSError:
            continue  # git cannot read it either; or it was a draft, and is in its place by now
        for inner in below:
            path = f"{folder}/{inner.name}"
            if path == IGNORED:
                continue
            if git_faults.is_gits(inner.name) or inner.name.casefold() == git_faults.HEAD:
                yield Found(git_faults.RULE, path, git_faults.named(inner.name))
            elif inner.is_dir(follow_symlinks=False):
                folders.append(path)


def _is_top(root: Path) -> bool:
    """Whether the entries folder is the top of a repository's work tree: then `.git` is no part of it."""
    try:
        repository = repository_around(root)
    except UnsoundError:
        return False
    return repository is not None and repository.top == root.resolve()
