"""Where git keeps the repository that a folder lies in: found without git, which would believe any folder.

git takes a folder that holds `HEAD`, `objects` and `refs` for a repository, wherever it lies, and heeds its `config`
(gitrepository-layout; git-config, "safe.bareRepository"). Whoever sends a branch can send such a folder, but never one
called `.git`: git refuses that name in a commit. So only what is called so counts here, or what it leads to.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

DOT_GIT = ".git"
_LONGEST_FILE = 8_192
_HEAD = re.compile(rb"ref:\s*refs/\S|[0-9a-f]{40}")


class UnsoundError(Exception):
    """What is called `.git` and is no repository, or one that a branch may have brought; in a plain sentence."""


@dataclass(frozen=True)
class GitFolder:
    """The folder at the top of a work tree, and the folder in which git keeps its repository. Neither is a link."""

    top: Path
    folder: Path


def repository_around(folder: Path) -> GitFolder | None:
    """Find the nearest repository whose work tree holds a folder. None where there is none. Raises UnsoundError."""
    start = folder.resolve()
    for top in (start, *start.parents):
        if os.path.lexists(top / DOT_GIT):
            return GitFolder(top, _led_to(top / DOT_GIT))
    return None


def _led_to(dot_git: Path) -> Path:
    """Follow what is called `.git`: a folder, a link, or in worktrees and submodules a file that names a folder."""
    try:
        target = dot_git.resolve()
        if target.is_file():
            target = (dot_git.parent / _named_in(target)).resolve()
        sound = _is_repository(target)
    except (OSError, ValueError, RuntimeError):  # unreadable, a NUL in a path, links in a circle
        sound = False
    if not sound:
        raise UnsoundError(f"{dot_git} is no repository of git, and leads to none.")
    if DOT_GIT not in target.parts and _in_a_work_tree(target, dot_git.parent):
        raise UnsoundError(f"{dot_git} leads to {target}, which a branch may have brought: it is not trusted.")
    return target


def _named_in(file: Path) -> str:
    """Read the path in a `.git` file: `gitdir: <path>` (gitrepository-layout)."""
    with file.open("rb") as opened:
        content = opened.read(_LONGEST_FILE)
    if not content.startswith(b"gitdir: "):
        raise ValueError("no path")
    return os.fsdecode(content.removeprefix(b"gitdir: ").rstrip(b"\r\n"))


def _in_a_work_tree(target: Path, top: Path) -> bool:
    """Whether a path lies where checking out a branch could put it: below a folder around here that holds `.git`."""
    around = [folder for folder in (top, *top.parents) if os.path.lexists(folder / DOT_GIT)]
    return any(target.is_relative_to(folder) for folder in around)


def _is_repository(folder: Path) -> bool:
    """Whether git would take a folder for a repository. That of a worktree names the one it shares the objects of."""
    head, common = folder / "HEAD", folder / "commondir"
    shared = folder / os.fsdecode(common.read_bytes().rstrip(b"\r\n")) if common.is_file() else folder
    named = head.is_symlink() or (head.is_file() and _HEAD.match(head.read_bytes()[:_LONGEST_FILE]) is not None)
    return named and (shared / "objects").is_dir() and (shared / "refs").is_dir()
