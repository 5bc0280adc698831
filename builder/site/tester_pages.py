"""A page for each contributor and each wearer: what they tested, newest first, to give credit and to find one's own."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import pandas as pd

from builder.findings.dataset import Dataset, Row, rows_of
from builder.findings.testers import references, rows_by_tester
from builder.fit.compare.tester_levels import BesideOthers, levels_of_testers
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
    levels = levels_of_testers(data.table)
    for name, own in contributors.items():
        yield _contributor_page(data, render, name, own, levels.get(name))
    for name, own in wearers.items():
        yield data.of_same_tests(f"wearer {name}", own, partial(_wearer_page, render, name, own))


def _line(name: str, own: pd.DataFrame) -> Row:
    """Count what somebody tested."""
    return {
        "name": name,
        "tests": len(own),
        "masks": int(own["mask"].nunique()),
        "others": int(own["wearer"].nunique()),
        "newest": str(own["date"].iloc[0]),
        "oldest": str(own["date"].iloc[-1]),
    }


def _contributor_page(
    data: Dataset, render: Renderer, name: str, own: pd.DataFrame, level: BesideOthers | None
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


def _wearer_page(render: Renderer, name: str, own: pd.DataFrame) -> PublishedPage:
    # The face is the same in every test; one may state more of it than another.
    stated = own.sort_values("face_length_mm", kind="stable", na_position="last")
    return PublishedPage(
        address=wearer_address(name),
        title=say("tester.wearer", name=name),
        description=say("about.wearer", tests=count("test", len(own)), name=name),
        html=render("wearer.html", depth=2, line=_line(name, own), face_row=rows_of(stated.head(1))[0], **_list(own)),
        section=SECTION,
    )


def _list(own: pd.DataFrame) -> dict[str, object]:
    of_masks = own["mask"].value_counts().sort_index()
    return {
        "tests": rows_of(own.head(MOST_TESTS)),
        "more": max(0, len(own) - MOST_TESTS),
        "of_masks": list(of_masks.items()),
    }
