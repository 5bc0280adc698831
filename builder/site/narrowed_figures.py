"""The figures of a page by one method alone: the same blocks of its template, filled again, in a file of their own."""

from __future__ import annotations

from collections.abc import Mapping

from builder.findings.methods_used import MethodUsed
from builder.site.published import PublishedFile, compact_json, packed
from builder.words.method_words import narrowed_sentence


def narrowed_file(address: str, used: MethodUsed, places: Mapping[str, str]) -> PublishedFile:
    """Give the file with the places of a page by their names, filled over the tests of one method."""
    written = {"said": narrowed_sentence(used), "places": dict(places)}
    return PublishedFile(f"{address}methods/{used.id}.packed", packed(compact_json(written)))
