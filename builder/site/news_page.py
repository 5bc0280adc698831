"""The page of what changed: each month's tests, what was tried for the first time, and the medians that moved."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.month_by_month import month_by_month
from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import say

MOST_MONTHS, MOST_MOVED = 12, 10
OPEN_MONTHS = 3
"""The months before these are folded."""


def news_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Give the page of the newest months."""
    return PublishedPage(
        address="news/",
        title=say("page.news"),
        description=say("page.news_about"),
        html=render(
            "news.html", depth=1, months=month_by_month(data.counted, MOST_MONTHS), most=MOST_MOVED, open=OPEN_MONTHS
        ),
        section="data.md",
    )
