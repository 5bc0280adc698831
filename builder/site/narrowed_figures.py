"""The figures of a page by one method alone: the same places of its template, filled again, in a file of their own."""

from __future__ import annotations

import re

from builder.findings.methods_used import MethodUsed
from builder.site.published import PublishedFile, compact_json, packed
from builder.words.method_words import narrowed_sentence

_PLACE = re.compile(r'data-narrowed="(?P<name>\w+)">(?P<html>.*?)<!--/narrowed-->', re.DOTALL)


def places(html: str) -> dict[str, str]:
    """Cut out of a page, by their names, the places whose figures can be narrowed."""
    return {found["name"]: found["html"].strip() for found in _PLACE.finditer(html)}


def narrowed_file(address: str, used: MethodUsed, html: str) -> PublishedFile:
    """Give the file with the places of a page that was rendered over the tests of one method."""
    written = {"said": narrowed_sentence(used), "places": places(html)}
    return PublishedFile(f"{address}methods/{used.id}.packed", packed(compact_json(written)))
