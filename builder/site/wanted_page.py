"""The page of tests wanted."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.wanted import wanted_tests
from builder.site.published import PublishedPage, Renderer

SECTION = "contribute.md"
COUNT = 20


def wanted_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Give the page of wanted tests."""
    return PublishedPage(
        address="wanted/",
        title="Tests wanted",
        description="Which masks to test on which faces, so that the figures for everybody become surer.",
        html=render("wanted.html", depth=1, wanted=wanted_tests(data, COUNT)),
        section=SECTION,
    )
