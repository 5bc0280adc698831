"""A folder in which a counter's software saves its logs: which files have stopped growing, and what is in them.

It is looked at again and again, which works on network folders too. A file is ready once size and time of change have
stayed the same for some seconds. Files that browsers and other programs write under a name for the time being are left
until they have their own.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

from builder.records.disk import stamp_of

SETTLED_SECONDS = 2.0
"""Longer than software takes from one line of a log to the next: common practice, no published source."""

_FOR_NOW = (".tmp", ".temp", ".part", ".partial", ".crdownload", ".download", ".swp", ".lock", "~")
_MARKS = (".", "~", "#")
_LARGEST = 200 * 2**20


@dataclass
class WatchedFolder:
    """A folder with what was seen of its files so far: their stamps, since when, and which were given out."""

    path: Path
    settled: float = SETTLED_SECONDS
    _seen: dict[str, tuple[list[int], float]] = field(default_factory=dict)
    _given: dict[str, list[int]] = field(default_factory=dict)

    def ready(self, now: float) -> list[Path]:
        """Give each file once that has stopped growing, the oldest first; again when it has changed since.

        `now` is in seconds of any clock that only goes on. Raises OSError where the folder cannot be read.
        """
        found = []
        names = set()
        for path in self.path.iterdir():
            if not could_be_log(path):
                continue
            names.add(path.name)
            stamp = stamp_of(path)
            before, since = self._seen.get(path.name, ([], now))
            if stamp != before:
                since = now
                self._seen[path.name] = stamp, since
            if stamp and stamp[0] and now - since >= self.settled and self._given.get(path.name) != stamp:
                found.append((stamp[1], path.name, stamp))
        for gone in self._seen.keys() - names:
            del self._seen[gone]
        for _, name, stamp in found:
            self._given[name] = stamp
        return [self.path / name for _, name, _ in sorted(found)]

    def again(self, path: Path) -> None:
        """Give a file once more when it is next looked at: it could not be opened yet."""
        self._given.pop(path.name, None)


def could_be_log(path: Path) -> bool:
    """Whether a file has a name of its own, and is one."""
    name = path.name.lower()
    return not name.startswith(_MARKS) and not name.endswith(_FOR_NOW) and path.is_file()


def fingerprint(content: bytes) -> str:
    """Give what a log is known by, whatever its name: its size and the SHA-256 of its bytes."""
    return f"{len(content)}-{hashlib.sha256(content).hexdigest()}"


def grown_from(content: bytes, fingerprints: list[str]) -> str | None:
    """Find the fingerprint of an earlier state of a log that only got longer since; None for none."""
    for known in sorted(fingerprints, key=lambda one: -_size(one)):
        if 0 < _size(known) < len(content) and fingerprint(content[: _size(known)]) == known:
            return known
    return None


def read_log_bytes(path: Path) -> bytes:
    """Read a whole log. Raises OSError, and for one far larger than any log."""
    if path.stat().st_size > _LARGEST:
        raise OSError(27, "It is far larger than a log of one donning")
    return path.read_bytes()


def _size(known: str) -> int:
    size = known.partition("-")[0]
    return int(size) if size.isdigit() else 0
