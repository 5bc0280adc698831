"""A feed of new tests in the Atom format (RFC 4287), for feed readers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

from builder.findings.dataset import Dataset, Row, rows_of
from builder.site.addresses import test_address
from builder.site.published import PublishedFile
from builder.words.catalogue import say
from builder.words.labels import configuration_label
from builder.words.numbers import fit
from builder.words.opendata.about import LICENCE_TITLE, About

PATH = "feed.xml"
NEWEST = 50
NAMESPACE = "http://www.w3.org/2005/Atom"
NO_TEST = "1970-01-01"
"""Date of a feed without entries, since every feed has one (RFC 4287, section 4.1.1)."""

# What XML 1.0 has no place for (section 2.2, Char).
_NO_CHARACTER = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def feed_files(data: Dataset, address: str) -> Iterator[PublishedFile]:
    """Give the feed of the newest tests. Its links need the site's `address`, ending in "/"; without one there is none.

    An entry's id is the address of its test, which stays; an entry is as old as its test, whenever the site is built.
    """
    if address:
        yield PublishedFile(PATH, feed(data, address))


def feed(data: Dataset, address: str) -> str:
    """Write the feed."""
    newest = data.table.sort_values(["date", "test"], ascending=[False, True]).head(NEWEST)
    root = ET.Element("feed", xmlns=NAMESPACE)
    about = About.of(data, address)
    _text(root, "title", say("feed.title", database=about.title))
    if data.invented:
        _text(root, "subtitle", say("open_data.invented"))
    _text(root, "id", address + PATH)
    ET.SubElement(root, "link", rel="self", type="application/atom+xml", href=address + PATH)
    ET.SubElement(root, "link", rel="alternate", type="text/html", href=address)
    _text(root, "updated", _time(data.newest or NO_TEST))
    _text(ET.SubElement(root, "author"), "name", about.authors)
    _text(root, "rights", LICENCE_TITLE)
    for test in rows_of(newest):
        _entry(root, data, test, address + test_address(test["test"]))
    ET.indent(root)
    return f'<?xml version="1.0" encoding="utf-8"?>\n{ET.tostring(root, encoding="unicode")}\n'


def _entry(root: ET.Element, data: Dataset, test: Row, address: str) -> None:
    entry = ET.SubElement(root, "entry")
    reading = fit(test["fit_factor"], test["at_least"])
    label = configuration_label(data, test["configuration"])
    _text(entry, "title", say("feed.test", configuration=label, figure=reading))
    _text(entry, "id", address)
    ET.SubElement(entry, "link", rel="alternate", type="text/html", href=address)
    _text(entry, "updated", _time(test["date"]))
    _text(ET.SubElement(entry, "author"), "name", test["contributor"])
    said = [say("feed.about", configuration=label, wearer=test["wearer"], date=test["date"], figure=reading)]
    if test["invented"]:
        said.insert(0, say("feed.invented"))
    if not test["counted"]:
        said.append(say("feed.set_aside", reason=test["set_aside"]))
    _text(entry, "summary", " ".join(said))


def _text(parent: ET.Element, name: str, text: str) -> None:
    ET.SubElement(parent, name).text = _NO_CHARACTER.sub("\ufffd", text)


def _time(date: str) -> str:
    """Give a day as a point in time (RFC 3339), as section 3.3 asks."""
    return f"{date}T00:00:00Z"
