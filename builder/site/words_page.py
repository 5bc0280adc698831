"""The page of words: every term that pages explain where they stand, with a way to the methods."""

from __future__ import annotations

from builder.site.published import PublishedPage, Renderer
from builder.words.catalogue import say


def words_page(render: Renderer) -> PublishedPage:
    """List the terms by name, each under its own anchor."""
    return PublishedPage(
        address="words/",
        title=say("page.words"),
        description=say("page.words_about"),
        html=render("words.html", depth=1),
        section="methods.md",
    )
