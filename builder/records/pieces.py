"""Pieces of what was made of the entries, each by all that it is made of, for what is made after an edit.

They lie together in one file of the memory, for there are thousands: those that were asked for when it was written.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property, partial
from hashlib import blake2b
from typing import TypeVar

from builder.fit.shared_work import Runs
from builder.records.bundles import bundled, unbundled
from builder.records.memory import Memory

T = TypeVar("T")

MOST_BYTES = 100_000_000
"""More are not kept from one run to the next: they would crowd everything else out of the memory."""


class Pieces:
    """Pieces under one key of a memory, which names all that any of them depends on beside what it is made of."""

    def __init__(self, memory: Memory | None = None, key: str = "") -> None:
        """Read nothing until a piece is asked for; without a memory pieces are known for as long as this lives."""
        self._memory = memory or Memory()
        self.key = key
        """What they lie under; "" for nowhere."""
        self._used: dict[str, bytes] = {}

    def of(self, made_of: bytes, make: Callable[[], bytes]) -> bytes:
        """Give a piece, made unless it was before: `made_of` says what it is, and all that it is made of."""
        name = blake2b(made_of, digest_size=32).hexdigest()
        piece = self._used.get(name)
        if piece is None:
            kept = self._kept.get(name)
            piece = self._used[name] = make() if kept is None else kept
        return piece

    def kept(
        self, made_of: bytes, make: Callable[[], T], *, write: Callable[[T], bytes], read: Callable[[bytes], T]
    ) -> T:
        """Give what a piece is written of: as it was made, where it is made now, else as it is read."""
        made: list[T] = []

        def written() -> bytes:
            made.append(make())
            return write(made[0])

        piece = self.of(made_of, written)
        return made[0] if made else read(piece)

    def known_from(self, run: Runs, tasks: Sequence[Callable[[], T]]) -> list[T]:
        """Have tasks run; the pieces they ask for are known here, in whichever process they were asked for."""
        _ = self._kept  # read once, here
        made = run([partial(self._with_pieces, task) for task in tasks])
        for _, pieces in made:
            self._used |= {name: self._kept[name] if piece is None else piece for name, piece in pieces.items()}
        return [one for one, _ in made]

    def _with_pieces(self, task: Callable[[], T]) -> tuple[T, dict[str, bytes | None]]:
        before = set(self._used)
        made = task()
        new = self._used.keys() - before
        # Those that were kept are at hand where this is sent to.
        return made, {name: None if name in self._kept else self._used[name] for name in sorted(new)}

    def keep(self) -> None:
        """Keep the pieces that were asked for, where one of them is new: those that were not are then forgotten."""
        if self._used.keys() <= self._kept.keys() or sum(map(len, self._used.values())) > MOST_BYTES:
            return
        self._memory.keep(self.key, bundled({"names": list(self._used)}, list(self._used.values())))

    @cached_property
    def _kept(self) -> dict[str, bytes]:
        content = self._memory.recall(self.key) if self.key else None
        if content is None:
            return {}
        about, parts = unbundled(content)
        return dict(zip(about["names"], parts, strict=True))
