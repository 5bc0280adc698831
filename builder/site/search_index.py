"""What the search of the whole site finds: every mask and part, the pages, and the sections of those that explain."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator
from dataclasses import astuple, dataclass, fields
from typing import Literal

from builder.findings.dataset import Dataset
from builder.site import addresses
from builder.site.published import PublishedFile, compact_json
from builder.words import vocabulary_words
from builder.words.catalogue import say
from builder.words.labels import mask_label

ADDRESS = "assets/search.json"

_HEADING = re.compile(r'<(h[23])\b[^>]*?\sid="([^"]+)"[^>]*>(.*?)</\1>', re.DOTALL)
_LEFT_OUT = re.compile(r'<a class="headerlink".*?</a>|<(script|style|svg)\b.*?</\1>', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")
_WORD = re.compile(r"[^\W\d_][\w-]{2,}")
_NOT_FOUND_BY_TEXT = ("/source/", "/share/")
"""Ends of the addresses of pages that only say again what another says."""


@dataclass(frozen=True)
class Findable:
    """One thing to find: its address, what it is called, what it is or the page it is of, and what it speaks of."""

    address: str
    name: str
    within: str
    kind: Literal["mask", "part", "page"]
    words: str = ""


@dataclass(frozen=True)
class FinishedPage:
    """A page as it is published: its address, title and HTML; whether its sections are to be found, and by any word."""

    address: str
    title: str
    html: str
    has_sections: bool
    explains: bool


def search_file(data: Dataset, pages: Iterable[FinishedPage]) -> PublishedFile:
    """Give the file that the search reads, in columns: masks and parts, then pages with their sections, by address."""
    published = {page.address: page for page in pages}
    found = [one for one in (*_masks(data), *_parts(data)) if one.address in published]
    own = {one.address for one in found}
    for page in (published[address] for address in sorted(published)):
        if page.address and page.address not in own and not page.address.endswith(_NOT_FOUND_BY_TEXT):
            found += _page(page)
    names = [field.name for field in fields(Findable)]
    columns = zip(*map(astuple, found), strict=True) if found else [()] * len(names)
    return PublishedFile(ADDRESS, compact_json(dict(zip(names, map(list, columns), strict=True))))


def _masks(data: Dataset) -> Iterator[Findable]:
    for name, record in sorted(data.entries.masks.items()):
        mask = record.mask
        within = say("search.mask", style=vocabulary_words.within(mask.style))
        words = " ".join((mask.maker, vocabulary_words.label(mask.mask_class), name))
        yield Findable(addresses.mask_address(name), mask_label(mask), within, "mask", words)


def _parts(data: Dataset) -> Iterator[Findable]:
    for name, record in sorted(data.entries.parts.items()):
        within = say("search.part", slot=vocabulary_words.within(record.part.slot))
        yield Findable(addresses.hack_address(name), record.part.name, within, "part", name)


def _page(page: FinishedPage) -> Iterator[Findable]:
    """Give a page, with the words before its first section, and each section with its own."""
    pieces = _HEADING.split(page.html)
    yield Findable(page.address, page.title, say("search.page"), "page", _words(pieces[0], page.explains))
    if page.has_sections:
        for anchor, heading, text in zip(pieces[2::4], pieces[3::4], pieces[4::4], strict=True):
            address = f"{page.address}#{html.unescape(anchor)}"
            yield Findable(address, _text(heading), page.title, "page", _words(text, page.explains))


def _words(markup: str, wanted: bool) -> str:
    """Give each word of a text once, in small letters."""
    return " ".join(dict.fromkeys(word.lower() for word in _WORD.findall(_text(markup)))) if wanted else ""


def _text(markup: str) -> str:
    return " ".join(html.unescape(_TAG.sub(" ", _LEFT_OUT.sub("", markup))).split())
