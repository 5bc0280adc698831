"""Which part did it, in words: from the committed entries, and from a table of a few tests."""

from __future__ import annotations

import pytest

from builder.findings.dataset import Dataset
from builder.findings.table import SLOT_COLUMNS
from builder.fit.compare.factorial import Factorial, all_factorials
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer
from builder.words.numbers import between, times
from builder.words.which_part import WearerParts, wearer_parts
from tests.fit.tables import measured, scatter_of_all, tidy

SCATTER = scatter_of_all(0.04)
BAND, STRIP = "Crossed band behind the head", "Stiff aluminium strip"


def told(demo: Dataset, fits: dict[str, float]) -> WearerParts:
    """Put the tests of one wearer on one mask into words; parts of the committed entries, in their slots."""
    slots = {"crossed-band": "straps", "loop-clip": "straps", "broad-strip": "nose_wire"}
    table = tidy([("m", "ann", fit) for fit in fits.values()], slots=SLOT_COLUMNS)
    for row, parts in enumerate(fits):
        table.loc[row, "configuration"] = f"m+{parts}" if parts else "m"
        for part in filter(None, parts.split("+")):
            table.loc[row, slots[part]] = part
    (one,) = wearer_parts(demo, all_factorials(table, measured(table, SCATTER), SLOT_COLUMNS))
    return one


def test_every_wearer_who_tried_parts_together_is_told(demo: Dataset) -> None:
    assert demo.factorials
    for mask, factorials in demo.factorials.items():
        own = wearer_parts(demo, factorials)
        assert len(own) == len(factorials)
        assert sorted(len(one.rows) for one in own) == sorted(len(found.effects) for found in factorials), mask
    counts = [len(one.configurations) for one in demo.factorials["skevuthar"]]
    first = wearer_parts(demo, demo.factorials["skevuthar"])[0]
    assert first.tried.startswith(f"{max(counts)} configurations")


def test_a_complete_grid_and_its_interaction(demo: Dataset) -> None:
    one = told(demo, {"": 20, "crossed-band": 22, "broad-strip": 30, "crossed-band+broad-strip": 400})
    assert (one.wearer, one.tried) == ("ann", "4 configurations, every combination")
    band, strip = one.rows
    assert (band.part, strip.part) == (BAND, STRIP)
    # Of ×1.1 and ×13.3, and of ×1.5 and ×18.2, drawn towards each other.
    assert band.remark == f"×1.54 without {STRIP}, ×9.5 with it"
    assert strip.remark == f"×2.11 without {BAND}, ×13 with it"


def test_what_cannot_be_told_apart_has_no_figure(demo: Dataset) -> None:
    one = told(demo, {"": 20, "crossed-band+broad-strip": 80})
    assert one.tried == "2 configurations, not every combination"
    assert [(row.ratio, row.interval, row.remark) for row in one.rows] == [
        ("–", "–", f"these tests cannot tell it from {STRIP}"),
        ("–", "–", f"these tests cannot tell it from {BAND}"),
    ]


def test_another_part_in_the_slot_is_named_where_nothing_was_as_sold(demo: Dataset) -> None:
    one = told(demo, {"crossed-band": 20, "loop-clip": 40, "loop-clip+broad-strip": 80})
    assert [row.part for row in one.rows] == [f"Clip joining the ear loops, against {BAND}", STRIP]


def test_the_page_shows_what_the_command_says(demo: Dataset) -> None:
    pages = {page.address: " ".join(page.html.split()) for page in mask_pages(demo, Renderer(demo))}
    for mask in demo.entries.masks:
        page, found = pages[f"masks/{mask}/"], demo.factorials.get(mask, ())
        assert ("Which part did it" in page) == bool(found)
        for effect in (effect.effect for one in found for effect in one.effects if effect.effect):
            assert f"<strong>{times(effect.ratio)}</strong></td><td>{between(effect.low95, effect.high95)}</td>" in page


@pytest.mark.parametrize("wearers", [3, 12])
def test_a_page_shows_ten_wearers_at_most(demo: Dataset, wearers: int, monkeypatch: pytest.MonkeyPatch) -> None:
    one: Factorial = demo.factorials["skevuthar"][0]
    monkeypatch.setitem(demo.factorials, "skevuthar", (one,) * wearers)
    html = next(page.html for page in mask_pages(demo, Renderer(demo)) if page.address == "masks/skevuthar/")
    assert html.count('scope="rowgroup"') == min(wearers, 10)
    assert ("2 more wearers" in html) == (wearers == 12)
