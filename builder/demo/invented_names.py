"""Invented words for masks, makers and people: syllables joined, so that they name nothing and nobody."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np


@dataclass(frozen=True)
class Syllables:
    """What words of one kind are made of: one head, one or more middles, one tail, in three lists."""

    heads: str
    middles: str
    tails: str

    def words(self, count: int, rng: np.random.Generator) -> list[str]:
        """Draw `count` different words: heads take turns, and words get longer when there are not enough short ones."""
        heads, middles, tails = self.heads.split(), self.middles.split(), self.tails.split()
        rest = [m + t for m, t in product(middles, tails)]
        while len(heads) * len(rest) < count:
            rest = [m + end for m, end in product(middles, rest)]
        turn = rng.permutation(len(heads))
        ends = rng.permuted(np.tile(np.arange(len(rest)), (len(heads), 1)), axis=1)
        return [heads[turn[i % len(heads)]] + rest[ends[i % len(heads), i // len(heads)]] for i in range(count)]


MODELS = Syllables(
    heads="Osk Prun Vel Brod Quem Ulm Drav Gliv Fesk Nuv Jorv Hesk Plov Wesk Yub Zelm Kruv Skev Lomb Trusk",
    middles="i a u o e iva olu ami edu uro",
    tails="vel dak rix mot nul bek sor zul pim thar gond lup",
)
MAKERS = Syllables(
    heads="Hov Dral Pesk Burl Munk Tesk Vand Orl Gesp Ruv Silb Culm",
    middles="ed ar il on um",
    tails="quint lor vass mur brul hoth dorn tyne skar gad",
)
PEOPLE = Syllables(
    heads="vil tam bru kes lor mip nor ruv sil dov fen hul jem pol zu gri wen yar emb ib",
    middles="ni ru sa lo mi du vu zo ba ti",
    tails="ka ro li mu ne sho da pi vo lu ta ggo",
)
