"""Closed tours through every combination of options, with one change from each to the next."""

from collections.abc import Sequence

Place = tuple[int, ...]


def closed_tour(sizes: Sequence[int]) -> list[Place]:
    """Every tuple of numbers below `sizes`, from all zeros, one place differing from each to the next.

    The last is a neighbour of the first, too. Later places change less often, but for an odd number's way back.
    With even sizes this is the reflected mixed-radix Gray code (D. E. Knuth, The Art of Computer Programming, 7.2.1.1).
    """
    tour: list[Place] = [()]
    for size in sizes:
        tour = _layered(tour, size)
    return tour


def _layered(tour: list[Place], layers: int) -> list[Place]:
    """Go through copies of a closed tour, one for each number in a new, slower place."""
    if layers % 2 == 0:
        return [(*place, layer) for layer in range(layers) for place in _back_and_forth(tour, layer)]
    # The reflected code of an odd number of layers ends far from where it began, so the first place of each copy
    # is left for the way back.
    first, *rest = tour
    out = [(*place, layer) for layer in range(layers) for place in _back_and_forth(rest, layer)]
    return [(*first, 0), *out, *((*first, layer) for layer in range(layers - 1, 0, -1))]


def _back_and_forth(tour: list[Place], turn: int) -> list[Place]:
    return tour[::-1] if turn % 2 else tour
