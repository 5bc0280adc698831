"""Masks of about one size laid out alike, so that many are eliminated by one call.

What a mask has less of than the largest of its batch (arms, groups, columns) is filled up with rows and columns of
zeros: they add nothing to any sum, and an own coefficient that no reading touches keeps its prior.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.facemodel.blocks import MaskBlock

_MOST = 500_000
"""Numbers in the largest array of a batch: what fits into a processor's cache goes fastest."""
_ALIKE = 1.5
"""How many times as many shared coefficients as the smallest mask of a batch its largest may touch."""


@dataclass(frozen=True)
class Batch:
    """M masks with at most A arms, G groups and `own` columns of their own, beside `shared` ones.

    Arms and groups are found by their places among M × A and M × G.
    """

    masks: IntArray
    """Numbers of the masks, (M,)."""
    own: int
    shared: int
    rows: FloatArray
    """(M, A, own + shared)"""
    terms: IntArray
    """Number of each column's term, (M, own + shared)."""
    member: FloatArray
    """1 where an arm is of a group, (M, G, A)."""
    group: IntArray
    """Group of each arm, (M, A)."""
    index: IntArray
    """Shared coefficients that each mask touches, wearers last, (M, shared + G); one beyond them for none."""
    arms: IntArray
    """Numbers of all arms in the design, (n,), and the place of each."""
    arm_place: IntArray
    groups: IntArray
    group_place: IntArray
    wearers: IntArray
    """Wearer of each group, in the order of `groups`."""

    def of_arms(self, values: FloatArray) -> FloatArray:
        """Lay out a value of each arm of the design, (M, A)."""
        return _laid_out(values[self.arms], self.arm_place, self.group.shape)

    def of_groups(self, values: FloatArray) -> FloatArray:
        """Lay out a value of each group of the design, (M, G)."""
        return _laid_out(values[self.groups], self.group_place, self.member.shape[:2])

    def of_wearers(self, values: FloatArray) -> FloatArray:
        """Lay out a value of each wearer by group, (M, G)."""
        return _laid_out(values[self.wearers], self.group_place, self.member.shape[:2])

    def pairs(self, size: int) -> IntArray:
        """Places of all pairs of a mask's shared coefficients in a matrix over `size` + 1, (M, shared + G, same)."""
        return np.asarray(self.index[:, :, None] * (size + 1) + self.index[:, None, :])


def _laid_out(values: FloatArray, place: IntArray, shape: tuple[int, ...]) -> FloatArray:
    laid = np.zeros(shape)
    laid.reshape(-1)[place] = values
    return laid


def batches_of(blocks: Sequence[MaskBlock], first_wearer: int, nowhere: int) -> tuple[Batch, ...]:
    """Put masks together by how many shared coefficients they touch; `nowhere` is the number of none of these."""
    reach = np.array([len(block.shared) + len(block.wearers) for block in blocks])
    chosen: list[list[int]] = []
    for number in np.argsort(reach, kind="stable").tolist():
        together = chosen[-1] if chosen else []
        fits = (len(together) + 1) * int(reach[number]) ** 2 <= _MOST
        if together and fits and reach[number] <= _ALIKE * reach[together[0]]:
            together.append(number)
        else:
            chosen.append([number])
    return tuple(_batch(blocks, np.array(numbers), first_wearer, nowhere) for numbers in chosen)


def _batch(blocks: Sequence[MaskBlock], numbers: IntArray, first_wearer: int, nowhere: int) -> Batch:
    ours = [blocks[number] for number in numbers]
    own, shared = max(block.own for block in ours), max(len(block.shared) for block in ours)
    most_arms = max(1, *(len(block.group) for block in ours))
    most_groups = max(1, *(len(block.wearers) for block in ours))
    count, width = len(ours), own + shared
    rows, terms = np.zeros((count, most_arms, width)), np.zeros((count, width), dtype=np.intp)
    group = np.zeros((count, most_arms), dtype=np.intp)
    member = np.zeros((count, most_groups, most_arms))
    index = np.full((count, shared + most_groups), nowhere, dtype=np.intp)
    for at, block in enumerate(ours):
        arms, groups, touched = len(block.group), len(block.wearers), len(block.shared)
        rows[at, :arms, : block.own] = block.rows[:, : block.own]
        rows[at, :arms, own : own + touched] = block.rows[:, block.own :]
        terms[at, : block.own] = block.terms[: block.own]
        terms[at, own : own + touched] = block.terms[block.own :]
        group[at, :arms] = block.group
        member[at, block.group, np.arange(arms)] = 1
        index[at, :touched] = block.shared
        index[at, shared : shared + groups] = first_wearer + block.wearers
    return Batch(
        masks=numbers,
        own=own,
        shared=shared,
        rows=rows,
        terms=terms,
        member=member,
        group=group,
        index=index,
        arms=np.concatenate([np.arange(block.arms.start, block.arms.stop) for block in ours]),
        arm_place=_places([len(block.group) for block in ours], most_arms),
        groups=np.concatenate([np.arange(block.groups.start, block.groups.stop) for block in ours]),
        group_place=_places([len(block.wearers) for block in ours], most_groups),
        wearers=np.concatenate([block.wearers for block in ours]),
    )


def _places(counts: Sequence[int], most: int) -> IntArray:
    """Where so many of each mask stand when each has place for `most`."""
    return np.concatenate([at * most + np.arange(count) for at, count in enumerate(counts)])
