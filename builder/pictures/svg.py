"""Drawings as SVG: files that stand alone, and pictures within a page.

A file has fixed inks, and no script, style sheet, font or address of any other host. Within a page the inks are the
page's own, light or dark.

SVG: Scalable Vector Graphics (SVG) 2, W3C Candidate Recommendation, 2018; title and desc as its chapter 5 has them.
"""

from __future__ import annotations

from functools import lru_cache

from builder.pictures.markup import escaped, number, tag
from builder.pictures.palette import Ink
from builder.pictures.shapes import Drawing, Group, Link, Shape
from builder.pictures.svg_shapes import Attributes, File, Fluid, Inked, Styled

# The same axes, heads and feet stand in thousands of drawings.
_IN_FILE = lru_cache(maxsize=4096)(File().one)
_STYLED = lru_cache(maxsize=4096)(Styled().one)
_INKED = lru_cache(maxsize=4096)(Inked().one)


def as_svg(drawing: Drawing) -> str:
    """Write a drawing as a file, every text escaped."""
    size = {"width": number(drawing.width), "height": number(drawing.height)}
    root = {"xmlns": "http://www.w3.org/2000/svg", "viewBox": _view_box(drawing), **size, "role": "img"}
    named = {**root, "aria-labelledby": "title desc", "font-family": "system-ui, sans-serif"}
    paper = tag("rect", {**size, "fill": Ink.PAPER.light})
    return tag("svg", named, *_words(drawing), paper, *map(_IN_FILE, drawing.shapes)) + "\n"


def forget_svgs() -> None:
    """Forget what was written with fixed inks: the colours are others now."""
    _IN_FILE.cache_clear()


def styled(drawing: Drawing, css: str) -> str:
    """Write a drawing for a page whose style sheet paints it: the drawing is of class `css`, each shape of its own.

    Without links in it, screen readers pass it by: what stands beside it has to say the same.
    """
    hidden = {} if any(isinstance(shape, Link) for shape in drawing.shapes) else {"aria-hidden": "true"}
    root = {"class": css, "viewBox": _view_box(drawing), **hidden}
    return tag("svg", root, *map(_STYLED, drawing.shapes))


def inked(drawing: Drawing, key: str) -> str:
    """Write a drawing for a page, its inks custom properties of the palette; `key` begins the ids of its words."""
    return tag(
        "svg", {"viewBox": _view_box(drawing)} | _named(key), *_words(drawing, key), *map(_INKED, drawing.shapes)
    )


def fluid(drawing: Drawing, key: str) -> str:
    """Write a drawing as `inked` does, to take the width there is: only what is level grows, no letter and no dot.

    ValueError for an `Area`, whose points no page can stretch.
    """
    root = {"width": "100%", "height": number(drawing.height)} | _named(key, leads=_leads(drawing.shapes))
    return tag("svg", root, *_words(drawing, key), *Fluid(drawing.width, drawing.height).all(drawing.shapes))


def _words(drawing: Drawing, key: str = "") -> tuple[str, str]:
    before = f"{key}." if key else ""
    return (
        tag("title", {"id": f"{before}title"}, escaped(drawing.title)),
        tag("desc", {"id": f"{before}desc"}, escaped(drawing.description)),
    )


def _leads(shapes: tuple[Shape, ...]) -> bool:
    """Whether there is something in it to follow: what is one image has nothing in it for a screen reader."""
    groups = [shape for shape in shapes if isinstance(shape, Group)]
    return any(group.address or _leads(group.shapes) for group in groups)


def _named(key: str, *, leads: bool = False) -> Attributes:
    return {"role": "group" if leads else "img", "aria-labelledby": f"{key}.title {key}.desc"}


def _view_box(drawing: Drawing) -> str:
    return f"0 0 {number(drawing.width)} {number(drawing.height)}"
