"""Small steps on the disk that either happen or do not: a new file, a link, a lock; and making them last."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

_NO_LINKS = frozenset({errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK})
"""What file systems say that have no hard links, or no more of them for this file."""


def write_new(path: Path, content: bytes, *, flush: bool) -> None:
    """Write a file that is not there yet; with `flush` it is on the disk afterwards, not on its way.

    Raises OSError, which names the file also where it is the disk that is full.
    """
    try:
        with path.open("xb") as file:
            file.write(content)
            file.flush()
            if flush:
                os.fsync(file.fileno())
    except OSError as error:
        error.filename = error.filename or str(path)
        raise


def link_or_move(source: Path, target: Path) -> None:
    """Put a file in a place that must be free; a rename would write over what is there."""
    try:
        target.hardlink_to(source)
    except FileExistsError:
        raise taken(target) from None
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        if os.path.lexists(target):
            raise taken(target) from None
        source.rename(target)


def link_or_copy(source: Path, target: Path) -> None:
    """Keep what a file holds under another name."""
    try:
        target.hardlink_to(source)
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        shutil.copy2(source, target)


def taken(path: Path) -> FileExistsError:
    """Make the error of a place that is not free, with its path."""
    return FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))


def inode_of(path: Path) -> int | None:
    """Give the number by which the file system knows a file, whatever its name; None where there is none."""
    with suppress(OSError):
        return path.lstat().st_ino
    return None


def stamp_of(path: Path) -> list[int]:
    """Give a file's size in bytes and time of change in nanoseconds, by which a change shows; [] where it is gone."""
    with suppress(OSError):
        found = path.stat()
        return [found.st_size, found.st_mtime_ns]
    return []


def flush_folder(folder: Path) -> None:
    """Make names in a folder last through a power cut, where the system can do that for folders."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def locked(root: Path, *, wait: bool = True) -> Iterator[None]:
    """Keep other runs out of a root, until the end of this one at the latest: the system takes the lock back.

    Raises BlockingIOError where another run is in it and nobody wants to wait.
    """
    if fcntl is None:
        yield
        return
    handle = os.open(root, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        except BlockingIOError:
            raise
        except OSError:  # no locks on this file system
            pass
        yield
    finally:
        os.close(handle)
