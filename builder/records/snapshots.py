"""An entries folder as it was at one moment: every byte of it, and a fingerprint of these."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from builder.records.memory import builder_version, digest_of
from builder.records.problems import Found
from builder.records.reading import Listing, list_files, load


@dataclass(frozen=True)
class Snapshot:
    """What was listed and read below `root`; `contents` by path, with what was found where a file cannot be read."""

    root: Path
    listing: Listing
    contents: Mapping[str, bytes | Found]

    @classmethod
    def of(cls, root: Path) -> Snapshot:
        """Read the whole folder, once."""
        listing = list_files(root)
        paths = (*(file.path for file in listing.files), *listing.pictures)
        return cls(root, listing, {path: load(root, path) for path in paths})

    @cached_property
    def digest(self) -> str:
        """A fingerprint of all that was read, of where, and of the builder that makes something of it."""
        found = [*self.listing.found, *(content for content in self.contents.values() if isinstance(content, Found))]
        told = "\n".join(repr((item.rule.name, item.path, item.finding)) for item in found)
        about = {"builder": builder_version(), "root": self.root.as_posix(), "found": told}
        files = {path: content for path, content in self.contents.items() if isinstance(content, bytes)}
        return digest_of({f"\0{name}": text.encode("utf-8", "surrogateescape") for name, text in about.items()} | files)
