"""git, started so that it runs no program but itself, whatever a branch or the repository's configuration says.

Four commands are used, and none of them looks at the work tree, the index or an attribute: so no filter, textconv,
external diff, merge driver, file system monitor or hook has an occasion (gitattributes; githooks; git-config,
"core.fsmonitor"). The options and variables below bar the same ways once more, and the one left: that git fetches what
a partial clone lacks (git-config, "remote.<name>.promisor"). The repository's own configuration is not trusted either,
for it may include a file of the work tree (git-config, "Includes").
"""

from __future__ import annotations

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from builder.records.git_folder import GitFolder, UnsoundError, repository_around

GitCommand = Literal["rev-parse", "merge-base", "ls-tree", "cat-file"]

TIMEOUT_S = 300
"""Far longer than git needs for a large repository; a hanging file system still ends."""

CLONED_IN_PART = "The repository was cloned in part and lacks some of the entries. A review needs a whole clone."

_OPTIONS = (
    "--no-pager",
    "--no-optional-locks",
    "--no-replace-objects",
    "--literal-pathspecs",
    *("-c", "safe.bareRepository=explicit"),
    *("-c", "core.fsmonitor=false"),
    *("-c", f"core.hooksPath={os.devnull}"),
    *("-c", f"core.attributesFile={os.devnull}"),
    *("-c", "diff.external="),
    *("-c", "submodule.recurse=false"),
    *("-c", "protocol.allow=never"),
    *("-c", "credential.helper="),
)

# All of the user's own variables of these kinds are left out: they name programs, configurations, other repositories
# (git, "Environment Variables"). The user's and the system's configuration stay in force for their safe.directory.
_LEFT_OUT = ("GIT_", "SSH_")
_LEFT_OUT_TOO = frozenset({"EDITOR", "VISUAL", "PAGER"})
_ENVIRONMENT = {
    "LC_ALL": "C",
    "GIT_ALLOW_PROTOCOL": "",
    "GIT_ASKPASS": "",
    "GIT_ATTR_NOSYSTEM": "1",
    "GIT_EDITOR": ":",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_TERMINAL_PROMPT": "0",
}


class RevisionError(Exception):
    """What stands in the way of comparing two revisions, in a plain sentence."""


@dataclass(frozen=True)
class Git:
    """git at the top of the work tree that holds a folder."""

    repository: GitFolder

    @classmethod
    def around(cls, folder: Path) -> Git:
        """Find the repository around a folder. RevisionError where there is none, or none to be trusted."""
        try:
            repository = repository_around(folder)
        except UnsoundError as error:
            raise RevisionError(str(error)) from error
        if repository is None:
            raise RevisionError(f"{folder} does not lie in a git repository, so there is nothing to compare with.")
        git = cls(repository)
        # git looks for itself, since it checks only then whose repository it is (git-config, "safe.directory").
        found = Path(os.fsdecode(git.run("rev-parse", "--absolute-git-dir").rstrip(b"\r\n")))
        if found.resolve() != repository.folder:
            raise RevisionError(f"git takes {found} for the repository around {folder}, not {repository.folder}.")
        return git

    def run(self, command: GitCommand, *arguments: str, given: bytes = b"", missing: str | None = None) -> bytes:
        """Run git and give what it prints.

        Where it ends with an error, `missing` is the sentence to raise, "" gives nothing, None raises git's own words.
        """
        path = _trusted_path(self.repository.top)
        called = [_program(path), *_OPTIONS, "-C", str(self.repository.top), command, *arguments]
        kept = {
            name: value
            for name, value in os.environ.items()
            if not name.upper().startswith(_LEFT_OUT) and name.upper() not in _LEFT_OUT_TOO
        }
        environment = {
            **kept,
            **_ENVIRONMENT,
            "PATH": os.pathsep.join(path),
            "GIT_CEILING_DIRECTORIES": str(self.repository.top.parent),
        }
        try:
            done = subprocess.run(
                called, input=given, capture_output=True, env=environment, timeout=TIMEOUT_S, check=False
            )
        except subprocess.TimeoutExpired:
            raise RevisionError(f"git {command} did not end within {TIMEOUT_S} s.") from None
        except (OSError, ValueError) as error:
            raise RevisionError(f"git could not be run: {error}.") from error
        if done.returncode == 0:
            return done.stdout
        said = done.stderr.decode("utf-8", "replace").strip()
        if "dubious ownership" in said or missing is None:
            if "lazy fetching" in said or "promisor remote" in said:
                raise RevisionError(CLONED_IN_PART)
            first = said.partition("\n")[0] or f"{command} failed"
            raise RevisionError(f"git refuses: {first}")
        if missing:
            raise RevisionError(missing)
        return b""


def _trusted_path(top: Path) -> list[str]:
    """Give the folders with programs, without those that a branch can put a program into."""
    folders = os.environ.get("PATH", os.defpath).split(os.pathsep)
    return [f for f in folders if Path(f).is_absolute() and not Path(f).resolve().is_relative_to(top)]


def _program(path: list[str]) -> str:
    # Each folder by itself: asked for a bare name, Windows looks into the current folder first.
    found = (shutil.which(str(Path(folder, "git"))) for folder in path)
    if program := next(filter(None, found), None):
        return program
    raise RevisionError("git is not installed, or not found on the PATH; a review needs it.")
