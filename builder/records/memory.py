"""What an earlier run worked out, kept so that the same files need not be worked through again.

It lies in the user's own cache folder and never beside the entries, where a stranger's branch could bring answers of
its own. Anything in it may be deleted, damaged or written by two at once: what cannot be used is worked out anew.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
import time
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from platformdirs import user_cache_path

PLACE = "SEALBOOK_CACHE"
"""Environment variable that names another folder for it; empty for none."""

MOST_FILES = 32
MOST_BYTES = 500_000_000
_ABANDONED_S = 3_600
"""Age of a draft whose writer is surely gone."""
_SEAL = 32


@dataclass(frozen=True)
class Memory:
    """A folder of answers by key; without a folder it remembers nothing."""

    folder: Path | None = None

    @classmethod
    def of_user(cls) -> Memory:
        """The memory of whoever runs this."""
        place = os.environ.get(PLACE)
        if place == "":
            return cls()
        return cls(Path(place) if place else user_cache_path("sealbook", appauthor=False))

    def recall(self, key: str) -> bytes | None:
        """Give what was kept under a key; None where there is nothing, or nothing whole."""
        if self.folder is None:
            return None
        try:
            kept = (self.folder / key).read_bytes()
        except OSError:
            return None
        seal, content = kept[:_SEAL], kept[_SEAL:]
        return content if seal == _sealed(key, content) else None

    def keep(self, key: str, content: bytes) -> None:
        """Keep an answer, as well as this machine allows: what cannot be kept is worked out again next time."""
        if self.folder is None:
            return
        draft = None
        with suppress(OSError):
            try:
                self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
                handle, draft = tempfile.mkstemp(dir=self.folder, prefix=".draft-")
                with os.fdopen(handle, "wb") as file:
                    file.write(_sealed(key, content) + content)
                Path(draft).replace(self.folder / key)
                self._make_room()
            except BaseException:
                if draft is not None:
                    Path(draft).unlink(missing_ok=True)
                raise

    def _make_room(self) -> None:
        """Forget what was kept longest ago beyond the limits, and drafts that nobody will finish."""
        assert self.folder is not None
        with os.scandir(self.folder) as scan:
            found = [(entry.stat().st_mtime, entry.stat().st_size, entry.path) for entry in scan if entry.is_file()]
        size = 0
        for number, (when, bytes_, path) in enumerate(sorted(found, reverse=True)):
            size += bytes_
            abandoned = Path(path).name.startswith(".draft-") and time.time() - when > _ABANDONED_S
            if abandoned or number >= MOST_FILES or size > MOST_BYTES:
                Path(path).unlink(missing_ok=True)


def digest_of(contents: Mapping[str, bytes]) -> str:
    """Give a fingerprint of files, by path in a fixed order: any other byte, path or file gives another."""
    found = hashlib.blake2b(digest_size=32)
    for path, content in contents.items():
        found.update(f"{len(path)} {len(content)} {path}".encode("utf-8", "surrogateescape"))
        found.update(content)
    return found.hexdigest()


@cache
def builder_version() -> str:
    """Give a fingerprint of the builder's own code, its templates and words, and of the Python it runs on."""
    top = Path(__file__).parent.parent
    # What a package carries for the site's own pages is no part of what is worked out.
    rooms = (path for path in top.iterdir() if path.name != "site_src")
    paths = (path for room in rooms for path in (room.rglob("*") if room.is_dir() else (room,)))
    # Another Python that starts now may be writing its compiled modules there.
    found = sorted(path for path in paths if "__pycache__" not in path.parts and path.is_file())
    files = {path.relative_to(top).as_posix(): path.read_bytes() for path in found}
    return digest_of(files | {"python": sys.version.encode()})


def _sealed(key: str, content: bytes) -> bytes:
    """Tell damage, and an answer that lies under another key."""
    return hashlib.blake2b(content, key=key.encode()[:64], digest_size=_SEAL).digest()
