"""Names that masks, parts and configurations had before, as the list of old addresses tells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from builder.records.kept_addresses import Renaming

FormerNames = Mapping[str, tuple[Renaming, ...]]
"""By the name it has now, what was renamed to it."""


def former_masks(renamed: Iterable[Renaming]) -> FormerNames:
    """Give the masks that have one name instead of one; of a mask that was split no old name is that of one size."""
    return _by_name(line for line in renamed if line.mask and len(line.to) == 1)


def former_parts(renamed: Iterable[Renaming]) -> FormerNames:
    """Give the parts."""
    return _by_name(line for line in renamed if line.part)


def former_configurations(
    configurations: tuple[str, ...], masks: FormerNames, parts: FormerNames
) -> Iterator[tuple[tuple[str, ...], dt.date]]:
    """Give what some configurations were called at any time before, and the day since when they are not.

    A mask or a part that several of them have was called the same in each; the last names come first.
    """
    called = {(place == 0, name): name for one in configurations for place, name in enumerate(one.split("+"))}
    lines = [(line, name) for name in called for line in (masks if name[0] else parts).get(name[1], ())]
    for line, renamed in sorted(lines, key=lambda one: one[0].date)[::-1]:
        called[renamed] = line.old
        yield (
            tuple(
                "+".join(called[place == 0, name] for place, name in enumerate(one.split("+")))
                for one in configurations
            ),
            line.date,
        )


def _by_name(lines: Iterable[Renaming]) -> FormerNames:
    found: dict[str, tuple[Renaming, ...]] = {}
    for line in lines:
        found[line.to[0]] = (*found.get(line.to[0], ()), line)
    return found
