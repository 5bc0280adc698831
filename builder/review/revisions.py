"""Revisions of the git repository that the entries lie in. Nothing here changes its work tree or its index."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from builder.records.reading import size_limit

TIMEOUT_S = 300
"""Far longer than git needs for a large repository; a hanging file system still ends."""

BATCH = 1_000
"""Files read from git at once: with the size limit of an entry this bounds the memory."""

# Set inside git's own hooks, they would lead to another repository than the one the entries lie in.
_LEADING_ASTRAY = frozenset({"GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_OBJECT_DIRECTORY", "GIT_NAMESPACE"})
_LINK, _SUBMODULE = "120000", "160000"


class RevisionError(Exception):
    """What stands in the way of comparing two revisions, in a plain sentence."""


@dataclass(frozen=True)
class Commit:
    """A commit: as it was named, and its full hash."""

    name: str
    hash: str

    @property
    def short(self) -> str:
        """Enough of the hash to find it."""
        return self.hash[:10]


@dataclass(frozen=True)
class _Blob:
    mode: str
    hash: str
    size: int
    path: str


@dataclass(frozen=True)
class Repository:
    """The repository around an entries folder. All paths are relative to that folder, with slashes."""

    entries: Path

    @classmethod
    def around(cls, entries: Path) -> Repository:
        """Find the repository. RevisionError where there is none."""
        repository = cls(entries)
        if repository._run("rev-parse", "--is-inside-work-tree", missing="").strip() != b"true":
            raise RevisionError(f"{entries} does not lie in a git repository, so there is nothing to compare with.")
        return repository

    def commit(self, revision: str) -> Commit:
        """Find a commit by any name that git understands. RevisionError where there is none."""
        unknown = f"git knows no commit called {revision!r}. Fetch it first, or name another one."
        if revision.startswith("-") or "\0" in revision:
            raise RevisionError(unknown)
        found = self._run(
            "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}", missing=unknown
        )
        return Commit(revision, found.decode("ascii").strip())

    def parting(self, base: Commit, head: Commit) -> Commit | None:
        """Find where two lines of commits parted; None where they have nothing in common."""
        found = self._run("merge-base", base.hash, head.hash, missing="").decode("ascii").split()
        return Commit(base.name, found[0]) if found else None

    def changed(self, base: Commit, head: Commit | None) -> frozenset[str]:
        """Name the files that differ between a commit and another one, or the work tree with all that it holds."""
        options = ("-z", "--name-only", "--no-renames", "--no-ext-diff", "--no-textconv", "--relative")
        commits = (base.hash,) if head is None else (base.hash, head.hash)
        names = self._run("diff", *options, *commits, "--", ".")
        if head is None:
            # Ignored files too: the checker reads every file there is.
            names += self._run("ls-files", "-z", "--others", "--", ".")
        return frozenset(_split(names))

    def uncommitted(self) -> int:
        """Count the entry files whose state in the work tree is in no commit yet."""
        return len(_split(self._run("status", "-z", "--porcelain", "--no-renames", "--untracked-files=all", "--", ".")))

    def extract(self, commit: Commit, folder: Path, paths: frozenset[str] | None = None) -> None:
        """Write the entries as they were in a commit into a folder, or only some of the files.

        Content that no entry may have, for its size, is replaced by zeros. Symbolic links are written as such, last.
        """
        blobs = [blob for blob in self._tree(commit) if paths is None or blob.path in paths]
        for blob in blobs:
            if PurePosixPath(blob.path).is_absolute() or ".." in PurePosixPath(blob.path).parts:
                raise RevisionError(f"{commit.name} holds a path that leads out of its folder: {blob.path!r}.")
        try:
            self._write([blob for blob in blobs if blob.mode not in (_LINK, _SUBMODULE)], folder)
            for blob in blobs:
                if blob.mode == _LINK:
                    _place(folder, blob).symlink_to(os.fsdecode(self._contents([blob])[0]))
                elif blob.mode == _SUBMODULE:
                    _place(folder, blob).mkdir()
        except (OSError, ValueError) as error:
            raise RevisionError(f"The entries of {commit.name} could not be laid out: {error}.") from error

    def _write(self, blobs: Sequence[_Blob], folder: Path) -> None:
        usable = [blob for blob in blobs if blob.size <= size_limit(blob.path)]
        for start in range(0, len(usable), BATCH):
            some = usable[start : start + BATCH]
            for blob, content in zip(some, self._contents(some), strict=True):
                _place(folder, blob).write_bytes(content)
        for blob in blobs:
            if blob.size > size_limit(blob.path):
                with _place(folder, blob).open("wb") as file:
                    file.truncate(blob.size)

    def _tree(self, commit: Commit) -> list[_Blob]:
        blobs = []
        for line in _split(self._run("ls-tree", "-r", "-l", "-z", commit.hash)):
            about, _, path = line.partition("\t")
            mode, _, name, size = about.split()
            blobs.append(_Blob(mode, name, int(size) if size.isdigit() else 0, path))
        return blobs

    def _contents(self, blobs: Iterable[_Blob]) -> list[bytes]:
        """Read files from git, in order. Each comes as a line `<hash> blob <size>`, the content, and a line end."""
        names = "".join(f"{blob.hash}\n" for blob in blobs)
        output = self._run("cat-file", "--batch", given=names.encode("ascii"))
        contents, at = [], 0
        while at < len(output):
            start = output.index(b"\n", at) + 1
            end = start + int(output[at:start].rsplit(b" ", 1)[1])
            contents.append(output[start:end])
            at = end + 1
        return contents

    def _run(self, *arguments: str, given: bytes = b"", missing: str | None = None) -> bytes:
        """Run git in the entries folder and give what it prints.

        Where it ends with an error, `missing` is the sentence to raise, "" gives nothing, None raises git's own words.
        """
        # No lock is taken for refreshing the index, and a path is a path, not a pattern.
        command = ["git", "--no-optional-locks", "--literal-pathspecs", "-C", str(self.entries), *arguments]
        environment = {name: value for name, value in os.environ.items() if name not in _LEADING_ASTRAY}
        environment |= {"LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0"}
        try:
            done = subprocess.run(
                command, input=given, capture_output=True, env=environment, timeout=TIMEOUT_S, check=False
            )
        except FileNotFoundError:
            raise RevisionError("git is not installed, or not found on the PATH; a review needs it.") from None
        except subprocess.TimeoutExpired:
            raise RevisionError(f"git {arguments[0]} did not end within {TIMEOUT_S} s.") from None
        except OSError as error:
            raise RevisionError(f"git could not be run: {error}.") from error
        if done.returncode == 0:
            return done.stdout
        said = done.stderr.decode("utf-8", "replace").strip().partition("\n")[0]
        if "dubious ownership" in said or missing is None:
            raise RevisionError(f"git refuses: {said or f'{arguments[0]} failed'}")
        if missing:
            raise RevisionError(missing)
        return b""


def _place(folder: Path, blob: _Blob) -> Path:
    path = folder / blob.path
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


def _split(output: bytes) -> list[str]:
    return [os.fsdecode(name) for name in output.split(b"\0") if name]
