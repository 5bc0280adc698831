"""Revisions of the git repository that the entries lie in. Nothing here changes its work tree or its index."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path, PurePosixPath

from builder.records.passed_over import is_passed_over
from builder.records.reading import size_limit
from builder.review.git import CLONED_IN_PART, Git, RevisionError
from builder.review.work_tree import contents, link, too_large

BATCH = 1_000
BATCH_BYTES = 64_000_000
"""Files read from git at once, and what they hold together: this bounds the memory."""

DEEPEST = 40
"""Folders inside folders that are laid out. An entry lies three deep; a thousand would break the reader down."""

_LINK, _SUBMODULE = "120000", "160000"


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

    @property
    def names(self) -> frozenset[str]:
        """What `contents` calls a file of this content. Rights to execute mean nothing for an entry."""
        if self.mode == _LINK:
            return frozenset({link(self.hash)})
        return frozenset({too_large(self.size) if self.size > size_limit(self.path) else self.hash})


@dataclass(frozen=True)
class Repository:
    """The repository around an entries folder. All paths are relative to that folder, with slashes.

    The work tree is read once, when it is first asked about.
    """

    entries: Path
    git: Git
    place: str
    """The entries folder, relative to the repository's top; "" where it is the top."""

    @classmethod
    def around(cls, entries: Path) -> Repository:
        """Find the repository. RevisionError where there is none, or where a commit makes the folder a link."""
        if entries.is_symlink():
            cls._refuse_committed_link(entries.parent.resolve() / entries.name)
        git = Git.around(entries)
        place = entries.resolve().relative_to(git.repository.top).as_posix()
        return cls(entries, git, "" if place == "." else place)

    @classmethod
    def _refuse_committed_link(cls, link: Path) -> None:
        # A link of one's own may lead to the entries. One of a branch would have other entries reviewed than its own.
        try:
            git = Git.around(link.parent)
            repository = cls(link, git, link.relative_to(git.repository.top).as_posix())
            last = repository.commit("HEAD")
        except RevisionError:
            return
        repository._tree(last)

    def commit(self, revision: str) -> Commit:
        """Find a commit by any name that git understands. RevisionError where there is none."""
        unknown = f"git knows no commit called {revision!r}. Fetch it first, or name another one."
        if revision.startswith("-") or "\0" in revision:
            raise RevisionError(unknown)
        found = self.git.run(
            "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}", missing=unknown
        )
        return Commit(revision, found.decode("ascii").strip())

    def parting(self, base: Commit, head: Commit) -> Commit | None:
        """Find where two lines of commits parted; None where they have nothing in common."""
        found = self.git.run("merge-base", base.hash, head.hash, missing="").decode("ascii").split()
        return Commit(base.name, found[0]) if found else None

    def changed(self, base: Commit, head: Commit | None) -> frozenset[str]:
        """Name the files that differ between a commit and another one, or the work tree with all that it holds.

        Files that git ignores count, since the checker reads every file there is; those that it passes over do not.
        """
        before = {blob.path: blob.names for blob in self._tree(base)}
        after = {blob.path: blob.names for blob in self._tree(head)} if head else self._work_tree
        nothing: frozenset[str] = frozenset()
        return frozenset(
            path
            for path in before.keys() | after.keys()
            if not before.get(path, nothing) & after.get(path, nothing) and not is_passed_over(path)
        )

    def submodules(self, commit: Commit | None) -> tuple[str, ...]:
        """Name the submodules in a commit, or those of the last one that are still in the work tree."""
        blobs = self._tree(commit or self.commit("HEAD"))
        return tuple(
            blob.path for blob in blobs if blob.mode == _SUBMODULE and (commit or (self.entries / blob.path).is_dir())
        )

    def extract(self, commit: Commit, folder: Path, paths: frozenset[str] | None = None) -> None:
        """Write the entries as they were in a commit into a folder, or only some of the files.

        Content that no entry may have, for its size, is replaced by zeros. Symbolic links are written as such, but
        lead nowhere, so that nothing is written through one.
        """
        blobs = [blob for blob in self._tree(commit) if paths is None or blob.path in paths]
        for blob in blobs:
            if leads_out(blob.path):
                raise RevisionError(f"{commit.name} holds a path that leads out of its folder: {blob.path!r}.")
            if blob.path.count("/") > DEEPEST:
                raise RevisionError(f"{commit.name} holds more than {DEEPEST} folders inside each other.")
        try:
            self._write([blob for blob in blobs if blob.mode not in (_LINK, _SUBMODULE)], folder)
            for blob in blobs:
                if blob.mode == _LINK:
                    _place(folder, blob).symlink_to("nowhere")
                elif blob.mode == _SUBMODULE:
                    _place(folder, blob).mkdir()
        except (OSError, ValueError) as error:
            raise RevisionError(f"The entries of {commit.name} could not be laid out: {error}.") from error

    def _write(self, blobs: Sequence[_Blob], folder: Path) -> None:
        usable = [blob for blob in blobs if blob.size <= size_limit(blob.path)]
        for some in _batches(usable):
            for blob, content in zip(some, self._contents(some), strict=True):
                _place(folder, blob).write_bytes(content)
        for blob in blobs:
            if blob.size > size_limit(blob.path):
                with _place(folder, blob).open("wb") as file:
                    file.truncate(blob.size)

    @cached_property
    def _work_tree(self) -> dict[str, frozenset[str]]:
        last = self.commit("HEAD")
        found = contents(self.entries, len(last.hash))
        there = frozenset(self.submodules(None))
        return found | {blob.path: blob.names for blob in self._tree(last) if blob.path in there}

    def _tree(self, commit: Commit) -> list[_Blob]:
        if commit.hash not in self._trees:
            self._trees[commit.hash] = list(self._listed(commit))
        return self._trees[commit.hash]

    @cached_property
    def _trees(self) -> dict[str, list[_Blob]]:
        return {}

    def _listed(self, commit: Commit) -> Iterator[_Blob]:
        """List the entries in a commit. Each is `<mode> <type> <hash> <size>`, a tab, and the path from the top."""
        below = [self.place] if self.place else []
        for line in _split(self.git.run("ls-tree", "-r", "-l", "-z", "--full-tree", commit.hash, "--", *below)):
            about, _, path = line.partition("\t")
            mode, _, name, size = about.split()
            if path == self.place:
                raise RevisionError(f"In {commit.name}, {self.place} is no folder.")
            path = path.removeprefix(f"{self.place}/") if self.place else path
            yield _Blob(mode, name, int(size) if size.isdigit() else 0, path)

    def _contents(self, blobs: Iterable[_Blob]) -> list[bytes]:
        """Read files from git, in order. Each comes as a line `<hash> blob <size>`, the content, and a line end."""
        names = "".join(f"{blob.hash}\n" for blob in blobs)
        output = self.git.run("cat-file", "--batch", given=names.encode("ascii"))
        read, at = [], 0
        while at < len(output):
            start = output.index(b"\n", at) + 1
            size = output[at:start].rsplit(b" ", 1)[1]
            if size == b"missing\n":
                raise RevisionError(CLONED_IN_PART)
            end = start + int(size)
            read.append(output[start:end])
            at = end + 1
        return read


def _batches(blobs: Sequence[_Blob]) -> Iterator[list[_Blob]]:
    batch: list[_Blob] = []
    size = 0
    for blob in blobs:
        if batch and (len(batch) == BATCH or size + blob.size > BATCH_BYTES):
            yield batch
            batch, size = [], 0
        batch.append(blob)
        size += blob.size
    if batch:
        yield batch


def leads_out(path: str, *, windows: bool = os.name == "nt") -> bool:
    """Whether a path in a commit leads out of the folder it is laid out in. Windows has more ways."""
    parts = PurePosixPath(path)
    return parts.is_absolute() or ".." in parts.parts or (windows and not {":", "\\"}.isdisjoint(path))


def _place(folder: Path, blob: _Blob) -> Path:
    path = folder / blob.path
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


def _split(output: bytes) -> list[str]:
    return [os.fsdecode(name) for name in output.split(b"\0") if name]
