"""What the theme shows around every page: its language and its twins, the menu, the size and date of the data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from builder.findings.dataset import Dataset
from builder.site.twins import Tongue, Tongues
from builder.words.catalogue import count, say, speaking
from builder.words.unbroken import days


@dataclass(frozen=True)
class MenuEntry:
    """A page in the menu: its address below the site's root, its title, and whether it is shown or its section is."""

    address: str
    title: str
    current: str = ""
    """What `aria-current` says of it."""


@dataclass(frozen=True)
class Twin:
    """The page in another language: where it is below the site's root, and what the language calls itself."""

    code: str
    name: str
    address: str


def twins_of(tongues: Tongues, tongue: Tongue, address: str) -> list[Twin]:
    """Give the twins of a page whose `address` is below the pages of its language."""
    return [Twin(other.code, other.name, other.folder + address) for other in tongues.each if other != tongue]


@cache
def _menu_titles(language: str) -> dict[str, str]:
    """Give what the menu calls the pages of every database, by their sources."""
    with speaking(language):
        return {
            "explore.md": say("page.explore"),
            "faces.md": say("page.faces"),
            "hacks.md": say("page.hacks"),
            "compare.md": say("explorer.tick"),
            "bench.md": say("page.bench"),
            "contribute.md": say("page.contribute"),
            "methods.md": say("page.methods"),
            "data.md": say("page.data"),
        }


def menu_title(source: str, tongue: Tongue) -> str:
    """Give what the menu calls a page of every database, by its source; "" for a page of the folder's own."""
    return _menu_titles(tongue.code).get(source, "")


def frame_facts(
    data: Dataset, tongue: Tongue, tongues: Tongues, twins: Iterable[Twin], menu: Iterable[MenuEntry]
) -> dict[str, Any]:
    """Give the facts that templates of the theme read."""
    with speaking(tongue.code):
        tests = count("test", len(data.table))
    return {
        "invented": data.invented,
        "tests": tests,
        "newest": days(data.newest),
        "check_is_older": data.check_is_older,
        "language": tongue.code,
        "within": tongue.folder,
        "is_first": not tongue.folder,
        "say": tongue.say,
        "say_html": tongue.say,
        "tongues": tongues.each,
        "twins": list(twins),
        "menu": list(menu),
    }


def untranslated(html: str, tongue: Tongue, first: Tongue) -> str:
    """Say above a page in the first language that there is no translation of it."""
    return f'<p class="sb-muted">{tongue.say("frame.untranslated")}</p>\n<div lang="{first.code}">{html}</div>'
