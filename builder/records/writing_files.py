"""Files written and deleted all or none, whatever ends the run: an error, a full disk, a kill, a power cut.

The new files are made in a hidden folder below the root and flushed to the disk. Then they are linked to their places
one by one. The folder's name says how far that came, and the next run goes on from there:

| folder | means | the next run |
|---|---|---|
| `.sealbook-draft` | no file is in its place yet, or all of them are | deletes it |
| `.sealbook-commit` | all is on the disk, some of it may be in its place | puts the rest in place |
| `.sealbook-undo` | an error came while files were put in place | takes away again what is in place |

A folder is renamed in one step, so there is nothing in between. A lock on the root makes two runs take turns; where the
system has no such lock the second may end with an error, but neither leaves half of its files.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Collection, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath

from builder.records.disk import flush_folder, inode_of, link_or_copy, link_or_move, locked, stamp_of, taken, write_new

_DRAFT, _COMMIT, _UNDO = ".sealbook-draft", ".sealbook-commit", ".sealbook-undo"
_LIST = "list.json"
_MANY = 100
"""From so many files on all disks are flushed once instead of each file by itself."""


@dataclass(frozen=True)
class _Item:
    """A file in the hidden folder, known by its inode, and its place below the root.

    `old` is the file whose place it takes, the one at `path` or another; `stamp` are its size and time of change.
    """

    path: str
    inode: int
    old: str | None
    stamp: list[int]


@dataclass(frozen=True)
class _Gone:
    """A file that is to be deleted, known as it was."""

    path: str
    inode: int | None
    stamp: list[int]


@dataclass(frozen=True)
class _Job:
    """What is to be put in place: files, and the folders below the root that are made for them, outer ones first.

    `gone` are files to delete.
    """

    items: tuple[_Item, ...]
    folders: tuple[str, ...]
    gone: tuple[_Gone, ...] = ()


def write_files(
    root: Path,
    files: Mapping[str, str | bytes],
    instead_of: Mapping[str, str] | None = None,
    gone: Collection[str] = (),
) -> None:
    """Write files, by path below `root`, and delete those that are to be `gone`: all of it or nothing.

    Folders are made as needed.

    Nothing is written over but what `instead_of` names: the file that a new one replaces, by the new one's path. It
    may be the file at that path, or another, which is gone afterwards, with its folder if nothing else is in it; its
    rights pass to the new one.
    Raises FileExistsError where a place is taken and OSError where something cannot be written; all is then as before.
    """
    if not files and not gone:
        return
    made = [folder for folder in (root, *root.parents) if not folder.exists()]
    try:
        root.mkdir(parents=True, exist_ok=True)
        with locked(root):
            _finish(root)
            _write(root, files, instead_of or {}, gone)
    except BaseException:
        for folder in made:
            with suppress(OSError):
                folder.rmdir()
        raise


def settle(root: Path) -> int:
    """Finish what an interrupted run began to write below `root`. Gives the number of files that this put in place.

    While another run writes there nothing is done. Raises OSError where it cannot be finished.
    """
    if not any(os.path.lexists(root / name) for name in (_DRAFT, _COMMIT, _UNDO)):
        return 0
    with suppress(BlockingIOError), locked(root, wait=False):
        return _finish(root)
    return 0


def _write(
    root: Path, files: Mapping[str, str | bytes], instead_of: Mapping[str, str], gone: Collection[str] = ()
) -> None:
    draft, commit = root / _DRAFT, root / _COMMIT
    draft.mkdir()
    try:
        job = _drafted(root, files, instead_of, gone)
        draft.rename(commit)
    except BaseException:
        shutil.rmtree(draft, ignore_errors=True)
        raise
    try:
        flush_folder(root)
        _put_in_place(root, job)
    except BaseException:
        commit.rename(root / _UNDO)
        _take_back(root, job)
        _end(root, _UNDO)
        raise
    _end(root, _COMMIT)


def _finish(root: Path) -> int:
    """Go on where another run stopped. The caller has the lock."""
    shutil.rmtree(root / _DRAFT, ignore_errors=True)
    number = 0
    if (root / _COMMIT).is_dir():
        number = _put_in_place(root, _listed(root / _COMMIT), late=True)
        _end(root, _COMMIT)
    if (root / _UNDO).is_dir():
        _take_back(root, _listed(root / _UNDO))
        _end(root, _UNDO)
    return number


def _end(root: Path, name: str) -> None:
    (root / name).rename(root / _DRAFT)
    shutil.rmtree(root / _DRAFT, ignore_errors=True)


def _drafted(
    root: Path, files: Mapping[str, str | bytes], instead_of: Mapping[str, str], gone: Collection[str] = ()
) -> _Job:
    """Make the files in the hidden folder, with a list of their places, and flush all of it to the disk."""
    draft = root / _DRAFT
    at_once = len(files) >= _MANY and hasattr(os, "sync")
    items = []
    for number, (path, content) in enumerate(files.items()):
        old = instead_of.get(path)
        _check_place(root, path)
        if old != path and os.path.lexists(root / path):
            raise taken(root / path)
        new = draft / f"{number}.new"
        write_new(new, content if isinstance(content, bytes) else content.encode(), flush=not at_once)
        stamp: list[int] = []
        if old is not None:
            _check_place(root, old)
            stamp = stamp_of(root / old)
            new.chmod((root / old).stat().st_mode & 0o7777)
        if old == path:
            link_or_copy(root / path, draft / f"{number}.old")
        items.append(_Item(path, new.stat().st_ino, old, stamp))
    deleted = []
    for path in gone:
        _check_place(root, path)
        if not (root / path).is_file():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(root / path))
        deleted.append(_Gone(path, inode_of(root / path), stamp_of(root / path)))
    parents = {folder.as_posix() for path in files for folder in PurePosixPath(path).parents}
    folders = sorted(folder for folder in parents if not (root / folder).exists())
    job = _Job(tuple(items), tuple(folders), tuple(deleted))
    write_new(draft / _LIST, json.dumps(asdict(job)).encode(), flush=not at_once)
    if at_once:
        os.sync()
    flush_folder(draft)
    return job


def _listed(folder: Path) -> _Job:
    """Read the list of a hidden folder. Raises OSError where it was not made here, by this program."""
    try:
        read = json.loads((folder / _LIST).read_bytes())
        job = _Job(
            tuple(_Item(**item) for item in read["items"]),
            tuple(map(str, read["folders"])),
            tuple(_Gone(**item) for item in read.get("gone", ())),
        )
        named = (*(path for item in job.items for path in (item.path, item.old) if path is not None), *job.folders)
        for place in (*named, *(item.path for item in job.gone)):
            _check_place(folder.parent, place)
        # Whoever prepares such a folder in a repository cannot know these numbers.
        inodes = [inode_of(folder / f"{place}.new") for place in range(len(job.items))]
        known = all(found in (int(item.inode), None) for item, found in zip(job.items, inodes, strict=True))
        taken_away = [inode_of(folder / f"{place}.gone") for place in range(len(job.gone))]
        known &= all(found in (item.inode, None) for item, found in zip(job.gone, taken_away, strict=True))
    except (FileNotFoundError, ValueError, TypeError, KeyError):
        known = False
    if not known:
        raise OSError(errno.EINVAL, f"{folder} was not made here; look into it, then delete it")
    return job


def _put_in_place(root: Path, job: _Job, *, late: bool = False) -> int:
    """Link every file to its place, then take away the files that moved. Gives the number of files not there before.

    `late`, after an interruption, what somebody else has put or changed there meanwhile is left as it is.
    """
    folder, number = root / _COMMIT, 0
    for path in job.folders:
        (root / path).mkdir(exist_ok=True)
    for place, item in enumerate(job.items):
        new, target = folder / f"{place}.new", root / item.path
        if inode_of(target) == item.inode or not new.exists():
            continue
        if late and (stamp_of(root / item.old) != item.stamp if item.old else os.path.lexists(target)):
            continue
        if item.old == item.path:
            new.replace(target)
        else:
            link_or_move(new, target)
        number += 1
    for place, item in enumerate(job.items):
        gone = folder / f"{place}.old"
        if item.old and item.old != item.path and inode_of(root / item.path) == item.inode and not gone.exists():
            (root / item.old).rename(gone)
            with suppress(OSError):  # other files are left in it
                (root / item.old).parent.rmdir()
    for place, deleted in enumerate(job.gone):
        there = root / deleted.path
        if inode_of(there) == deleted.inode and stamp_of(there) == deleted.stamp:
            there.rename(folder / f"{place}.gone")
            with suppress(OSError):
                there.parent.rmdir()
    changed = (
        *(item.path for item in job.gone),
        *job.folders,
        *(path for item in job.items for path in (item.path, item.old or item.path)),
    )
    for parent in sorted({(root / path).parent for path in changed}):
        flush_folder(parent)
    return number


def _take_back(root: Path, job: _Job) -> None:
    """Bring everything back to what it was, as far as it was changed."""
    for place, item in enumerate(job.items):
        target, old = root / item.path, root / _UNDO / f"{place}.old"
        if inode_of(target) != item.inode:
            continue
        if item.old == item.path:
            old.replace(target)
            continue
        if item.old and old.exists():
            (root / item.old).parent.mkdir(exist_ok=True)
            with suppress(FileExistsError):
                link_or_move(old, root / item.old)
        target.unlink()
    for place, deleted in enumerate(job.gone):
        kept, target = root / _UNDO / f"{place}.gone", root / deleted.path
        if kept.exists():
            target.parent.mkdir(exist_ok=True)
            with suppress(FileExistsError):
                link_or_move(kept, target)
    for path in reversed(job.folders):
        with suppress(OSError):
            (root / path).rmdir()


def _check_place(root: Path, path: str) -> None:
    """Raise ValueError for a path that is not below the root, OSError for one that leads through a symbolic link."""
    pure = PurePosixPath(path)
    if not pure.parts or pure.is_absolute() or ".." in pure.parts:
        raise ValueError(f"{path} does not lie below the folder")
    for folder in pure.parents:
        if (root / folder).is_symlink() and folder.parts:
            raise OSError(errno.ELOOP, f"{root / folder} is a symbolic link")
