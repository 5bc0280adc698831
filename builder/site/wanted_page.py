"""The page of tests wanted."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.wanted import wanted_tests
from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import say

SECTION = "contribute.md"
COUNT = 20


def wanted_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Give the page of wanted tests."""
    return PublishedPage(
        address="wanted/",
        title=say("wanted_page.title"),
        description=say("about.wanted"),
        html=render("wanted.html", depth=1, wanted=wanted_tests(data, COUNT)),
        section=SECTION,
    )
