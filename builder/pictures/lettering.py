"""Letters from the one font that comes with Pillow, so that every machine draws the same, and what fits where."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate

from PIL import ImageFont

ELLIPSIS = "…"
_NO_CHARACTER = "\uffff"
_PLAIN = str.maketrans(
    {
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
        "\u2011": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2212": "-",
        "×": "x",
        "≥": "at least ",
        "≤": "at most ",
        "ß": "ss",
        "æ": "ae",
        "Æ": "Ae",
        "œ": "oe",
        "Œ": "Oe",
        "ø": "o",
        "Ø": "O",
        "đ": "d",
        "Đ": "D",
        "ł": "l",
        "Ł": "L",
        "ı": "i",
        "þ": "th",
        "Þ": "Th",
    }
)
"""Signs and letters that the font lacks and that do not fall into a letter and its accent."""
DOTTED = "äöüÄÖÜ"
"""Letters that the font lacks and that are drawn as another one with two dots above: German means another by them."""
_BARE = str.maketrans(DOTTED + "\u2011\u202f", "aouAOU- ")
_BETWEEN_WORDS = re.compile(r"[^\S\u00a0\u202f]+")


def bare(text: str) -> str:
    """Leave off the dots that are drawn above a letter; write hyphens and spaces that no line ends at as any other."""
    return text.translate(_BARE)


@lru_cache(maxsize=64)
def font(size: int) -> ImageFont.FreeTypeFont:
    """Load the font; RuntimeError where Pillow was built without FreeType."""
    loaded = ImageFont.load_default(size)
    if not isinstance(loaded, ImageFont.FreeTypeFont):
        raise RuntimeError("Pillow has no FreeType: install a wheel of it, or build it with FreeType")
    return loaded


@lru_cache(maxsize=4096)
def has(character: str) -> bool:
    """Whether the font has a glyph for a character."""
    if character.isspace():
        return bare(character) == " "
    return bytes(font(40).getmask(bare(character))) != bytes(font(40).getmask(_NO_CHARACTER))


@lru_cache(maxsize=4096)
def written(text: str, instead: str) -> str:
    """Spell a text in letters that can be drawn, other accents left off; `instead` where some have no such spelling."""
    spaced = unicodedata.normalize("NFC", " ".join(text.translate(_PLAIN).split()))
    plain = "".join([_unaccented(letter) for letter in spaced])
    return plain if plain and all(has(character) for character in plain) else instead


@lru_cache(maxsize=4096)
def _unaccented(letter: str) -> str:
    """Leave off a letter's accents, but for dots that are drawn."""
    if letter in DOTTED:
        return letter
    decomposed = unicodedata.normalize("NFKD", letter)
    return "".join(character for character in decomposed if not unicodedata.combining(character))


@lru_cache(maxsize=16384)
def _advance(character: str, size: int) -> float:
    return font(size).getlength(bare(character)) if has(character) else size


@lru_cache(maxsize=16384)
def width(text: str, size: int) -> float:
    """Measure a text in pixels. A letter that the font lacks counts as a square, which few letters exceed."""
    # The font sets no two letters closer than others, and each a whole number of pixels from the next.
    return sum([_advance(character, size) for character in text])


def fitted(text: str, size: int, room: float, smallest: int) -> tuple[str, int]:
    """Shrink a text until it fits, then cut it; what it became and its size."""
    while size > smallest and width(text, size) > room:
        size -= 2
    return cut(text, size, room), size


def cut(text: str, size: int, room: float) -> str:
    """Cut a text to the room there is."""
    if width(text, size) <= room:
        return text
    ends = accumulate(_advance(character, size) for character in text)
    kept = bisect_right([*ends], room - width(ELLIPSIS, size))
    return text[:kept].rstrip() + ELLIPSIS


def wrapped(text: str, size: int, room: float, lines: int) -> tuple[str, ...]:
    """Break a text between words into at most so many lines; the last one is cut where more is left."""
    done: list[str] = []
    words = [word for word in _BETWEEN_WORDS.split(text) if word]
    while words and len(done) < lines - 1:
        ends = accumulate([width(f" {word}", size) for word in words[1:]], initial=width(words[0], size))
        n = max(1, bisect_right([*ends], room))
        done.append(cut(" ".join(words[:n]), size, room))
        words = words[n:]
    return (*done, cut(" ".join(words), size, room)) if words else tuple(done)


def block(text: str, room: float, ways: Sequence[tuple[int, int]]) -> tuple[tuple[str, ...], int]:
    """Set a text in the first of some ways, each a size and a number of lines, that holds all of it; lines and size."""
    for size, lines in ways:
        broken = wrapped(text, size, room, lines)
        if "".join("".join(broken).split()) == "".join(text.split()):
            break
    return broken, size
