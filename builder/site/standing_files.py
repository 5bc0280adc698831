"""Files of a served site that a save did not change: they stay where they lie instead of being written again."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path


class StandingFiles:
    """What lies in a served folder, by path: kept from a cleaning before a build, removed where it is not made again.

    Opening a file to write takes several times as long as everything else that is done for a small one.
    """

    def __init__(self) -> None:
        self._digests: dict[str, bytes] = {}
        self._made: frozenset[str] = frozenset()
        self._aside: tuple[Path, Path] | None = None

    def set_aside(self, folder: Path) -> None:
        """Put a folder that an earlier build made where no cleaning finds it; `put_back` soon after."""
        if not self._made:
            return
        aside = folder.with_name(f".{folder.name}-aside")
        with suppress(OSError):  # where it cannot be moved it is cleaned, and written again
            folder.rename(aside)
            self._aside = aside, folder

    def put_back(self) -> None:
        """Put the folder back in its place."""
        if self._aside:
            aside, folder = self._aside
            self._aside = None
            aside.rename(folder)

    def write(self, path: str, content: bytes, write: Callable[[], None]) -> None:
        """Have a file written unless it holds just this."""
        digest = blake2b(content, digest_size=16).digest()
        if self._digests.get(path) != digest or not Path(path).is_file():
            self._digests.pop(path, None)
            write()
            self._digests[path] = digest

    def keep_only(self, paths: Iterable[str]) -> None:
        """Remove what an earlier build made and this one, which makes files at `paths`, does not."""
        made = frozenset(paths)
        for path in self._made - made:
            self._digests.pop(path, None)
            Path(path).unlink(missing_ok=True)
        self._made = made
