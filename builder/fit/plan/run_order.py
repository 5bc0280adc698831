"""In which order to test configurations: few changes of parts, drift spread evenly, what cannot be undone last.

A specimen is one mask of the model. Once it has a part that cannot be undone, every later configuration on it has
that part. The configurations with the same such parts are a phase; a specimen goes through phases that each keep
what the one before has. Where two phases keep different parts, they need a specimen each.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from builder.fit.plan.fractions import AS_SOLD, Combination, Factor
from builder.fit.plan.tours import closed_tour

Purpose = Literal["design", "baseline", "drift"]
"""Why a donning is there: as one of the planned repeats of a configuration, to see how a further specimen differs as
sold, or to see at the end of a phase how far readings have drifted since its beginning."""


@dataclass(frozen=True)
class Donning:
    """One row of a run: what is worn, on which specimen (from 1), and why."""

    specimen: int
    configuration: Combination
    purpose: Purpose


def run_order(factors: Sequence[Factor], half: bool, donnings: int, rng: np.random.Generator) -> tuple[Donning, ...]:
    """Every configuration of `fractions.configurations` `donnings` times, in the order to test them.

    Each specimen begins as sold. Inside a phase neighbours differ in one slot (in two where a half leaves no other
    way), the first factor's slot changes fastest, the last one's slowest, and repeats run in alternating direction,
    so that with an even number a steady drift cancels. A phase ends as it began.
    """
    phases = {kept: members for kept in _kept(factors) if (members := _Phase(factors, kept, half)).possible}
    run: list[Donning] = []
    for specimen, chain in enumerate(_chains(list(phases), rng), start=1):
        start: Combination = (AS_SOLD,) * len(factors)
        if chain[0] != start:
            run += [Donning(specimen, start, "baseline")] * donnings
        for kept in chain:
            tour = phases[kept].tour(start, rng, shuffle=donnings % 2 == 0)
            start = tour[0]
            for turn in range(donnings):
                run += [Donning(specimen, worn, "design") for worn in (tour[::-1] if turn % 2 else tour)]
            if donnings % 2 and len(tour) > 1:
                run.append(Donning(specimen, start, "drift"))
    return tuple(run)


def changes(before: Combination, after: Combination) -> int:
    """How many slots differ."""
    return sum(one != other for one, other in zip(before, after, strict=True))


@dataclass(frozen=True)
class _Phase:
    """The configurations that keep the same parts for good: `kept` has one for each factor, "" for none."""

    factors: Sequence[Factor]
    kept: Combination
    half: bool

    @property
    def possible(self) -> bool:
        """Whether a half holds any of them."""
        return not self.half or bool(self._free()) or self._fixed_parity() == 0

    def tour(self, near: Combination, rng: np.random.Generator, shuffle: bool) -> list[Combination]:
        """A closed tour through them from a member nearest to `near`.

        `shuffle` lets chance choose where in a slot's options the tour begins; otherwise it begins as sold, which
        keeps a drift in the slots that change slowest.
        """
        options = [
            [kept] if kept else _shuffled([o for o in factor.options if o not in factor.lasting], rng, shuffle)
            for factor, kept in zip(self.factors, self.kept, strict=True)
        ]
        free = self._free() if self.half else []
        # In a half the first slot of one part follows from the others.
        sizes = [1 if number in free[:1] else len(choice) for number, choice in enumerate(options)]
        tour = []
        for place in closed_tour(sizes):
            worn = [choice[index] for choice, index in zip(options, place, strict=True)]
            if free:
                others = sum(worn[number] != AS_SOLD for number in free[1:])
                part = self.factors[free[0]].parts[0]
                worn[free[0]] = part if (others + self._fixed_parity()) % 2 else AS_SOLD
            tour.append(tuple(worn))
        steps = np.array([changes(near, worn) for worn in tour])
        first = int(rng.choice(np.flatnonzero(steps == steps.min())))
        return tour[first:] + tour[:first]

    def _free(self) -> list[int]:
        """Factors of one part that can still be fitted and taken off here."""
        return [n for n, factor in enumerate(self.factors) if factor.two_level and not factor.lasting]

    def _fixed_parity(self) -> int:
        """Number of lasting parts among the factors of one part, modulo 2."""
        kept = zip(self.factors, self.kept, strict=True)
        return sum(bool(part) and factor.two_level for factor, part in kept) % 2


def _kept(factors: Sequence[Factor]) -> Iterator[Combination]:
    """Every choice of parts to keep for good, the fewest first."""
    choices = product(*((AS_SOLD, *(p for p in factor.parts if p in factor.lasting)) for factor in factors))
    return iter(sorted(choices, key=lambda kept: sum(map(bool, kept))))


def _chains(phases: list[Combination], rng: np.random.Generator) -> list[list[Combination]]:
    """Share the phases out over the fewest specimens; each keeps what the one before it on its specimen has.

    The fewest chains that cover a partial order leave as many phases without a successor as there are chains, so
    most successors, each of one phase only, is a largest matching (Dilworth's theorem by König's; R. P. Dilworth,
    Ann. Math. 1950;51:161–166).
    """
    follows = [[_extends(later, earlier) for later in phases] for earlier in phases]
    successor = maximum_bipartite_matching(csr_array(np.array(follows)), perm_type="column")
    heads = [number for number in range(len(phases)) if number not in successor]
    chains = []
    for head in [heads[0], *rng.permutation(heads[1:]).tolist()]:
        chain, number = [phases[head]], successor[head]
        while number >= 0:
            chain.append(phases[number])
            number = successor[number]
        chains.append(chain)
    return chains


def _extends(later: Combination, earlier: Combination) -> bool:
    return later != earlier and all(part in (AS_SOLD, kept) for part, kept in zip(earlier, later, strict=True))


def _shuffled(options: list[str], rng: np.random.Generator, everything: bool) -> list[str]:
    """Shuffle the options, or only those beside as sold."""
    fixed = [] if everything else options[:1]
    moved = options[len(fixed) :]
    return fixed + [moved[number] for number in rng.permutation(len(moved))]
