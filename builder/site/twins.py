"""The pages of a site in several languages: where those of each lie, and what the frame of a page says of its twins."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache, cached_property
from posixpath import dirname, join, normpath

from markupsafe import Markup

from builder.words.catalogue import language_of, say_html, speaking

_RELATIVE = re.compile(r'(?<=\s)(href|src)="(?!(?:[a-z][a-z+.-]*:|/|#))([^"#?]*)', re.IGNORECASE)


@dataclass(frozen=True)
class Tongue:
    """A language as the frame of its pages speaks it; `folder` is where they lie below the site's root."""

    code: str
    folder: str

    @property
    def name(self) -> str:
        """Give what the language calls itself."""
        return language_of(self.code).name

    def say(self, message: str, /, **values: object) -> Markup:
        """Say a message in HTML."""
        if not values:
            return _plain(self.code, message)
        with speaking(self.code):
            return say_html(message, **values)


# The frame of every page says the same.
@cache
def _plain(code: str, message: str) -> Markup:
    with speaking(code):
        return say_html(message)


@dataclass(frozen=True)
class Tongues:
    """All languages of a site, the first of them at its root."""

    codes: tuple[str, ...]

    @cached_property
    def each(self) -> tuple[Tongue, ...]:
        """Give the languages in order."""
        return tuple(self[code] for code in self.codes)

    def __getitem__(self, code: str) -> Tongue:
        """Give a language of the site."""
        return Tongue(code, folder_of(code, self.codes))

    def split(self, address: str) -> tuple[Tongue, str]:
        """Tell which language an address or the path of a source is of, and what it is within that language."""
        for tongue in self.each[1:]:
            if address.startswith(tongue.folder):
                return tongue, address.removeprefix(tongue.folder)
        return self.each[0], address


def folder_of(code: str, languages: Collection[str]) -> str:
    """Give where the pages of a language lie below the site's root: the first language of a site at the root itself."""
    return "" if code == next(iter(languages)) else f"{code}/"


def moved_below(html: str, url: str, twins: Collection[str], folder: str) -> str:
    """Give a page's HTML as it works from the twin's place below `folder`: pages that have twins lead to these.

    `url` is the page's own and `twins` are those of all that have one, below the root and ending in "/".
    """
    up = "../" * folder.count("/")

    def moved(found: re.Match[str]) -> str:
        target = normpath(join(dirname(url), found[2])).removeprefix("./")
        is_page = found[2] == "" or (f"{target}/" if target != "." else "") in twins
        return f'{found[1]}="{"" if is_page else up}{found[2]}'

    return _RELATIVE.sub(moved, html)
