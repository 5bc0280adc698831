"""A page for each contributor and each wearer: what they tested, newest first, to give credit and to find one's own."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import partial

from builder.findings.dataset import Dataset, Row
from builder.findings.testers import levels_by_tester, references, rows_by_tester
from builder.fit.compare.tester_levels import BesideOthers
from builder.site.addresses import contributor_address, wearer_address
from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import count, say

SECTION = "data.md"
MOST_TESTS = 8
"""Rows of a list on a page; the pages of the masks have all, and the open data."""


def tester_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give the list of all who tested, then a page for each contributor and each wearer."""
    contributors, wearers = rows_by_tester(data, "contributor"), rows_by_tester(data, "wearer")
    yield PublishedPage(
        address="testers/",
        title=say("page.testers"),
        description=say("about.testers"),
        html=render(
            "testers.html",
            depth=1,
            contributors=[_line(name, own) for name, own in contributors.items()],
            wearers=[_line(name, own) for name, own in wearers.items()],
        ),
        section=SECTION,
    )
    levels = levels_by_tester(data)
    for name, own in contributors.items():
        yield _contributor_page(data, render, name, own, levels.get(name))
    for name, own in wearers.items():
        tests = (row["test"] for row in own)
        yield data.of_same_tests(f"wearer {name}", tests, partial(_wearer_page, render, name, own))


def _line(name: str, own: Sequence[Row]) -> Row:
    """Count what somebody tested."""
    return {
        "name": name,
        "tests": len(own),
        "masks": len({row["mask"] for row in own}),
        "others": len({row["wearer"] for row in own}),
        "newest": own[0]["date"],
        "oldest": own[-1]["date"],
    }


def _contributor_page(
    data: Dataset, render: Renderer, name: str, own: Sequence[Row], level: BesideOthers | None
) -> PublishedPage:
    return PublishedPage(
        address=contributor_address(name),
        title=say("tester.contributor", name=name),
        description=say("about.contributor", tests=count("test", len(own)), name=name),
        html=render(
            "contributor.html",
            depth=2,
            line=_line(name, own),
            references=references(data, own),
            level=level,
            **_list(own),
        ),
        section=SECTION,
    )


def _wearer_page(render: Renderer, name: str, own: Sequence[Row]) -> PublishedPage:
    # The face is the same in every test; one may state more of it than another.
    stated = next((row for row in own if not math.isnan(row["face_length_mm"])), own[0])
    return PublishedPage(
        address=wearer_address(name),
        title=say("tester.wearer", name=name),
        description=say("about.wearer", tests=count("test", len(own)), name=name),
        html=render("wearer.html", depth=2, line=_line(name, own), face_row=stated, **_list(own)),
        section=SECTION,
    )


def _list(own: Sequence[Row]) -> dict[str, object]:
    return {
        "tests": own[:MOST_TESTS],
        "more": max(0, len(own) - MOST_TESTS),
        "of_masks": sorted(Counter(row["mask"] for row in own).items()),
    }
