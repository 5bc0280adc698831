"""Real git repositories with entries, for tests to change."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

IDENTITY = {
    "GIT_AUTHOR_NAME": "bench",
    "GIT_AUTHOR_EMAIL": "bench@example.org",
    "GIT_COMMITTER_NAME": "bench",
    "GIT_COMMITTER_EMAIL": "bench@example.org",
    # Whatever the machine's own settings are.
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
}


def git(folder: Path, *arguments: str) -> str:
    """Run git in a folder and give what it prints."""
    done = subprocess.run(
        ["git", "-C", str(folder), *arguments],
        env={**os.environ, **IDENTITY},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def start(folder: Path) -> None:
    """Make a repository of a folder, with all that it holds in a first commit."""
    git(folder, "init", "-q", "-b", "main")
    commit(folder, "first")


def commit(folder: Path, message: str) -> str:
    """Commit everything; give the hash."""
    git(folder, "add", "-A", "-f")
    git(folder, "commit", "-q", "--allow-empty", "-m", message)
    return git(folder, "rev-parse", "HEAD")
