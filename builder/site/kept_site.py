"""All that a build made of the entries, kept for the next build of the same bytes. Nothing in it is ever run."""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, partial
from hashlib import blake2b
from importlib.metadata import distributions
from itertools import chain, islice
from pathlib import Path
from typing import Any

from builder.findings.dataset import Dataset
from builder.pictures.palette import style_rule
from builder.records.bundles import bundled, unbundled
from builder.records.memory import Memory, builder_version
from builder.records.pieces import Pieces
from builder.records.spoken import SPOKEN
from builder.site.fragments import filled
from builder.site.kinds import Task, file_tasks, page_tasks
from builder.site.published import PublishedFile, PublishedPage, Renderer

MOST_BYTES = 200_000_000
"""A larger site is not kept: it would crowd everything else out of the memory."""
_QUICK = 1
"""How hard to pack: the memory is read soon, and by nobody else."""


Made = Sequence[PublishedPage | PublishedFile]


@dataclass
class KeptSite:
    """The generated pages and files, and hand-written pages with their pieces filled in.

    Each under a key that names all it is made of: what an edit cannot have changed is taken from the site before.
    """

    made: Mapping[str, Made] = field(default_factory=dict)
    filled: dict[str, str] = field(default_factory=dict)
    is_new: bool = True
    """Whether there is something in it that the memory has not."""
    before: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    """Hand-written pages of the site before."""
    packed: dict[str, tuple[bytes, ...]] = field(default_factory=dict, compare=False, repr=False)
    """What was made as it is kept, by the same keys."""

    @classmethod
    def of(
        cls,
        data: Dataset,
        repository: str,
        address: str,
        languages: tuple[str, ...],
        before: KeptSite | None = None,
    ) -> KeptSite:
        """Make everything of the entries, in every language, that is not in the site `before`."""
        tasks: list[Task] = [
            *page_tasks(data, repository, address, languages),
            *file_tasks(data, address, languages),
        ]
        keys = [_key(task.key) for task in tasks]
        known = before if before and data.digest else cls()
        wanted = {key: task for key, task in zip(keys, tasks, strict=True) if key not in known.made}
        # In haste not all of it is needed.
        if not data.hasty and any(not task.kind.with_remarks for task in wanted.values()):
            data.figured.work_out_shared()
        # What a kind's pages and files, and its languages, have in common is then worked out in one process.
        of_kinds: dict[str, list[str]] = {}
        for key, task in wanted.items():
            of_kinds.setdefault(task.kind.name, []).append(key)
        parts = [partial(_made_and_packed, [wanted[key] for key in own], not data.hasty) for own in of_kinds.values()]
        new = dict(zip(chain(*of_kinds.values()), chain(*data.pieces.known_from(data.run, parts)), strict=True))
        return cls(
            {key: new[key][0] if key in new else known.made[key] for key in keys},
            before=known.filled,
            packed={key: new[key][1] if key in new else known.packed[key] for key in keys},
        )

    @property
    def pages(self) -> tuple[PublishedPage, ...]:
        """Give the pages."""
        return tuple(one for made in self.made.values() for one in made if isinstance(one, PublishedPage))

    @property
    def files(self) -> tuple[PublishedFile, ...]:
        """Give the files."""
        return tuple(one for made in self.made.values() for one in made if isinstance(one, PublishedFile))

    def fill(self, markdown: str, render: Renderer, depth: int) -> str:
        """Fill the pieces of a hand-written page (`filled`), once for the same page."""
        made_of = render.data.digest, render.data.name, render.repository, render.folder, SPOKEN.get()
        key = _key("\n".join([*made_of, str(depth), markdown]))
        if key not in self.filled:
            kept = self.before.get(key)
            self.filled[key] = filled(markdown, render, depth) if kept is None else kept
            self.is_new = True
        return self.filled[key]

    def as_bytes(self) -> bytes:
        """Write all of it: a list of what follows, then each page, file and filled page, packed."""
        parts = [part for key, made in self.made.items() for part in self.packed.get(key) or map(_packed, made)]
        about = {"made": {key: list(map(_told, made)) for key, made in self.made.items()}, "filled": list(self.filled)}
        return bundled(about, [*parts, *map(_text, self.filled.values())])

    @classmethod
    def from_bytes(cls, content: bytes) -> KeptSite:
        """Read what `as_bytes` wrote."""
        about, parts = unbundled(content)
        packed = {key: tuple(islice(parts, len(told))) for key, told in about["made"].items()}
        made = {key: tuple(map(_as_made, told, packed[key])) for key, told in about["made"].items()}
        filled = {key: zlib.decompress(part).decode() for key, part in zip(about["filled"], parts, strict=True)}
        return cls(made, filled, is_new=False, packed=packed)


def _made_and_packed(tasks: Sequence[Task], pack: bool) -> list[tuple[Made, tuple[bytes, ...]]]:
    """Run tasks, and pack what each makes here, where that is shared out too."""
    return [(made, tuple(map(_packed, made)) if pack else ()) for made in (task() for task in tasks)]


def _packed(one: PublishedPage | PublishedFile) -> bytes:
    part = one.html if isinstance(one, PublishedPage) else one.content
    # What is no text is a picture, or packed already.
    return _text(part) if isinstance(part, str) else part


def _text(text: str) -> bytes:
    return zlib.compress(text.encode(), _QUICK)


def _told(one: PublishedPage | PublishedFile) -> dict[str, Any] | list[Any]:
    """Say what is not in the part of a page or file."""
    return {**vars(one), "html": ""} if isinstance(one, PublishedPage) else [one.path, isinstance(one.content, str)]


def _as_made(told: Any, part: bytes) -> PublishedPage | PublishedFile:
    if isinstance(told, dict):
        return PublishedPage(**{**told, "html": zlib.decompress(part).decode()})
    path, text = told
    return PublishedFile(path, zlib.decompress(part).decode() if text else part)


def _key(made_of: str) -> str:
    """Name something by what it is made of, by the builder, all it is built with and the colours."""
    about = "\n".join([builder_version(), style_rule(), *_installed(), made_of])
    return blake2b(about.encode(), digest_size=32).hexdigest()


def site_key(data: Dataset, repository: str, address: str, languages: tuple[str, ...]) -> str:
    """Name the site of some entries: of their bytes, the builder with all it needs, and what a site is given."""
    made_of = "\n".join([data.digest, data.name, repository, address, *languages])
    return f"site-{_key(made_of)}"


def pieces_of(memory: Memory, root: Path) -> Pieces:
    """Give the pieces kept of a folder of entries."""
    return Pieces(memory, f"pieces-{_key(str(root.resolve()))}")


@cache
def _installed() -> tuple[str, ...]:
    return tuple(sorted(f"{found.name} {found.version}" for found in distributions()))


def recalled_site(memory: Memory, key: str) -> KeptSite | None:
    """Give the site that was kept; None where there is none."""
    kept = memory.recall(key)
    return None if kept is None else KeptSite.from_bytes(kept)


def last_site(memory: Memory, root: Path) -> KeptSite | None:
    """Give the site that was kept last of a folder of entries; None where there is none."""
    key = memory.recall(_last(root))
    return None if key is None else recalled_site(memory, key.decode())


def keep_site(memory: Memory, key: str, site: KeptSite, root: Path) -> None:
    """Keep a site unless it is kept already, or too large."""
    if site.is_new and len(content := site.as_bytes()) <= MOST_BYTES:
        memory.keep(key, content)
        memory.keep(_last(root), key.encode())
        site.is_new = False


def _last(root: Path) -> str:
    return f"last-{_key(str(root.resolve()))}"
