"""The feed is an Atom feed (RFC 4287) of the newest tests, whenever it is made."""

from __future__ import annotations

import re
from dataclasses import replace
from urllib.parse import unquote
from xml.etree import ElementTree as ET

import pytest

from builder.findings.dataset import Dataset
from builder.site.feed import NEWEST, feed, feed_files
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer

ADDRESS = "https://seals.example/bench/"
ATOM = "{http://www.w3.org/2005/Atom}"
# RFC 3339, section 5.6, with capital T and Z as RFC 4287, section 3.3 wants them.
TIME = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z")


@pytest.fixture(scope="module")
def root(demo: Dataset) -> ET.Element:
    (file,) = feed_files(demo, ADDRESS)
    assert (file.path, isinstance(file.content, str)) == ("feed.xml", True)
    return ET.fromstring(file.content)


def one(element: ET.Element, name: str) -> str:
    (found,) = element.findall(ATOM + name)
    return found.text or ""


def test_the_feed_has_what_a_feed_must_have(root: ET.Element) -> None:
    """RFC 4287, section 4.1.1: exactly one id, title and updated; an author; a link to itself."""
    assert root.tag == f"{ATOM}feed"
    assert one(root, "id") == f"{ADDRESS}feed.xml"
    assert "new tests" in one(root, "title")
    assert TIME.fullmatch(one(root, "updated"))
    assert root.find(f"{ATOM}author/{ATOM}name") is not None
    links = {link.get("rel"): link.get("href") for link in root.findall(f"{ATOM}link")}
    assert links == {"self": f"{ADDRESS}feed.xml", "alternate": ADDRESS}
    assert "Invented" in one(root, "subtitle")


def test_each_entry_has_what_an_entry_must_have(root: ET.Element) -> None:
    """RFC 4287, section 4.1.2: exactly one id, title and updated; a link or content; section 4.2.6: ids differ."""
    entries = root.findall(f"{ATOM}entry")
    assert len(entries) == NEWEST
    assert len({one(entry, "id") for entry in entries}) == NEWEST
    for entry in entries:
        assert one(entry, "title")
        assert TIME.fullmatch(one(entry, "updated"))
        assert one(entry, "summary").endswith(".")
        (link,) = entry.findall(f"{ATOM}link")
        assert (link.get("rel"), link.get("href")) == ("alternate", one(entry, "id"))


def test_the_newest_tests_come_first_by_date_then_id(demo: Dataset, root: ET.Element) -> None:
    days = dict(zip(demo.table["test"], demo.table["date"], strict=True))
    expected = sorted(sorted(days), key=days.__getitem__, reverse=True)[:NEWEST]
    ids = [one(entry, "id") for entry in root.findall(f"{ATOM}entry")]
    shown = [unquote(name.removeprefix(f"{ADDRESS}masks/")).replace("/#", "/") for name in ids]
    assert shown == expected
    dates = [one(entry, "updated") for entry in root.findall(f"{ATOM}entry")]
    assert dates == sorted(dates, reverse=True)
    assert one(root, "updated") == dates[0]


def test_each_link_ends_at_the_test_on_its_mask_page(demo: Dataset, root: ET.Element) -> None:
    pages = {page.address: page.html for page in mask_pages(demo, Renderer(demo))}
    for entry in root.findall(f"{ATOM}entry"):
        address, _, anchor = one(entry, "id").removeprefix(ADDRESS).partition("#")
        assert f'id="{unquote(anchor)}"' in pages[address]


def test_the_same_data_give_the_same_feed(demo: Dataset) -> None:
    assert feed(demo, ADDRESS) == feed(demo, ADDRESS)


def test_hostile_text_stays_text(demo: Dataset) -> None:
    table = demo.table.assign(set_aside="</summary><script>x</script>\uffff&amp;", counted=False)
    root = ET.fromstring(feed(replace(demo, table=table), ADDRESS))
    summary = one(root.findall(f"{ATOM}entry")[0], "summary")
    assert "</summary><script>x</script>\ufffd&amp;" in summary
    assert root.find(".//script") is None


def test_without_an_address_there_is_no_feed(demo: Dataset) -> None:
    assert list(feed_files(demo, "")) == []


def test_an_empty_database_has_an_empty_feed(demo: Dataset) -> None:
    root = ET.fromstring(feed(replace(demo, table=demo.table.iloc[:0]), ADDRESS))
    assert root.findall(f"{ATOM}entry") == []
    assert one(root, "updated") == "1970-01-01T00:00:00Z"
