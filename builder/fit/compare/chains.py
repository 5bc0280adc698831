"""How two configurations hang together: by wearers who tried both, or by the shortest chain of such links."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import BoolArray, IntArray


@dataclass(frozen=True)
class Links:
    """How many wearers join each two configurations, (configurations × configurations); which ones it `passes` through.

    A configuration with readings of "at least" alone is only known to be above something: no chain goes through it.
    """

    wearers: IntArray
    passes: BoolArray

    @classmethod
    def of(cls, tried: BoolArray, exact: BoolArray, wearers: Sequence[str]) -> "Links":
        """From who tried what, and who has an exact reading of it, (faces × configurations) each, and whose face it is.

        A face whose readings of both are "at least" alone does not join them. A wearer counts once, with whatever hair.
        """
        joined = _joined(tried, exact)
        again = {wearer for wearer, faces in Counter(wearers).items() if faces > 1}
        for wearer in sorted(again):
            own = [_joined(tried[[face]], exact[[face]]) for face, of in enumerate(wearers) if of == wearer]
            joined -= np.sum(own, axis=0) - np.any(own, axis=0)
        np.fill_diagonal(joined, 0)
        return cls(joined, np.asarray(exact.any(axis=0)))

    def chains_from(self, start: int) -> "Chains":
        """The chains of fewest links from a configuration to each other one, of these those whose weakest link is best.

        Of equals that through the first in the order of configurations.
        """
        n = len(self.wearers)
        before = np.full(n, -1)
        weakest = np.zeros(n, dtype=np.int64)
        weakest[start] = np.iinfo(np.int64).max
        known = np.zeros(n, dtype=bool)
        known[start] = True
        front = np.array([start])
        while len(front):
            rest = np.flatnonzero(~known)
            over = np.minimum(weakest[front, None], self.wearers[np.ix_(front, rest)])
            best = over.argmax(axis=0)
            strength = over[best, np.arange(len(rest))]
            reached = rest[strength > 0]
            before[reached] = front[best[strength > 0]]
            weakest[reached] = strength[strength > 0]
            known[reached] = True
            front = reached[self.passes[reached]]
        return Chains(self, start, before)


@dataclass(frozen=True)
class Chains:
    """Where each configuration's chain from `start` comes from; −1 where there is none, and at the start."""

    links: Links
    start: int
    before: IntArray

    def to(self, end: int) -> tuple[tuple[int, int], ...]:
        """Each step of a chain as the configuration reached and the wearers behind it; empty without a chain."""
        steps: list[tuple[int, int]] = []
        while self.before[end] >= 0:
            previous = int(self.before[end])
            steps.append((end, int(self.links.wearers[previous, end])))
            end = previous
        return tuple(reversed(steps))


def _joined(tried: BoolArray, exact: BoolArray) -> IntArray:
    both = tried.astype(np.float32).T @ tried.astype(np.float32)
    limits = (tried & ~exact).astype(np.float32)
    return np.asarray(both - limits.T @ limits, dtype=np.intp)
