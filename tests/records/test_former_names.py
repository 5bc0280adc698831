"""Former names of configurations: of their masks and of their parts, alike in all that have them."""

from __future__ import annotations

from datetime import date

from builder.records.former_names import former_configurations, former_masks, former_parts
from builder.records.kept_addresses import Renaming

FIRST, THEN = date(2026, 10, 2), date(2026, 10, 5)
RENAMED = (
    Renaming(mask="old-cup", to=("cup",), date=FIRST),
    Renaming(part="old-strip", to=("strip",), date=THEN),
    Renaming(part="cup", to=("wire",), date=FIRST),
    Renaming(mask="both", to=("small", "large"), date=FIRST),
    Renaming(test="cup/2026-01-01-blue-heron-1", to=("cup/2026-01-01-heron-1",), date=FIRST),
)


def test_every_name_that_both_had_at_one_time() -> None:
    found = former_configurations(("cup", "cup+strip"), former_masks(RENAMED), former_parts(RENAMED))
    assert list(found) == [
        (("cup", "cup+old-strip"), THEN),
        (("old-cup", "old-cup+old-strip"), FIRST),
    ]


def test_a_thousand_old_names_of_each_are_as_many_names_of_both() -> None:
    days = [date.fromordinal(740_000 + day) for day in range(1000)]
    masks = {"cup": tuple(Renaming(mask=f"cup-{n}", to=("cup",), date=day) for n, day in enumerate(days))}
    parts = {"wire": tuple(Renaming(part=f"wire-{n}", to=("wire",), date=day) for n, day in enumerate(days))}
    assert len(list(former_configurations(("cup+wire",), masks, parts))) == 2000


def test_a_size_never_had_the_name_of_the_mask_that_was_split() -> None:
    assert list(former_configurations(("small+wire",), former_masks(RENAMED), {})) == []
    assert list(former_configurations(("small+wire",), {}, former_parts(RENAMED))) == [(("small+cup",), FIRST)]
