"""Dots of one row spread up and down, so that each is seen, and seen to belong to those of its group."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

STEP = 8.5
"""From one level of dots to the next: a dot and a little paper."""
_APART = 9.0
"""What two groups, or two dots without them, are apart at least on one level."""
_MOST_LEVELS = 12
_HIDDEN, _ASIDE = 4.0, 2.5
"""Dots of a group that are nearer to each other would be one; then each steps so far aside."""


def spread(xs: Sequence[float], groups: Sequence[Hashable]) -> list[float]:
    """Give each dot its distance from the first level, as near to it as the dots before leave room.

    Each group has a stretch of a level for itself. Where that would take too many levels, dots are spread one by one,
    and where even these are full, dots cover each other.
    """
    members: dict[Hashable, list[int]] = {}
    for dot in sorted(range(len(xs)), key=lambda dot: (xs[dot], dot)):
        members.setdefault(groups[dot], []).append(dot)
    offsets = [0.0] * len(xs)
    levels = _levels([(xs[own[0]], xs[own[-1]]) for own in members.values()])
    if max(levels, default=0) < _MOST_LEVELS:
        for level, own in zip(levels, members.values(), strict=True):
            aside = _steps_aside([xs[dot] for dot in own])
            for dot, step in zip(own, aside, strict=True):
                offsets[dot] = _height(level) + step
        return offsets
    order = [dot for own in members.values() for dot in own]
    order.sort(key=lambda dot: (xs[dot], dot))
    for dot, level in zip(order, _levels([(xs[dot], xs[dot]) for dot in order], _MOST_LEVELS), strict=True):
        offsets[dot] = _height(level)
    return offsets


def _levels(stretches: Sequence[tuple[float, float]], most: int | None = None) -> list[int]:
    """Give each stretch, sorted by its start, the first level that is free there, or of `most` the one free first."""
    ends: list[float] = []
    levels = []
    for start, end in stretches:
        level = next((level for level, before in enumerate(ends) if start - before >= _APART), len(ends))
        if most is not None and level == most:
            level = min(range(most), key=ends.__getitem__)
        if level == len(ends):
            ends.append(end)
        ends[level] = end
        levels.append(level)
    return levels


def _height(level: int) -> float:
    return STEP * ((level + 1) // 2) * (-1 if level % 2 else 1)


def _steps_aside(xs: Sequence[float]) -> list[float]:
    """Give steps up and down by turns to dots that would hide each other, 0 to the others."""
    steps = [0.0] * len(xs)
    for dot in range(1, len(xs)):
        if xs[dot] - xs[dot - 1] < _HIDDEN:
            steps[dot - 1] = steps[dot - 1] or -_ASIDE
            steps[dot] = -steps[dot - 1]
    return steps
