"""Drawings as SVG files that stand alone: no script, no style sheet, no font or address of any other host.

SVG: Scalable Vector Graphics (SVG) 2, W3C Candidate Recommendation, 2018; title and desc as its chapter 5 has them.
"""

from __future__ import annotations

from xml.etree import ElementTree

from builder.pictures.shapes import RING, Area, Dot, Drawing, Ink, Line, Shape, Text

_NAMESPACE = "http://www.w3.org/2000/svg"


def as_svg(drawing: Drawing) -> str:
    """Write a drawing as SVG, every text escaped."""
    size = {"width": f"{drawing.width}", "height": f"{drawing.height}"}
    root = ElementTree.Element(
        "svg",
        {"xmlns": _NAMESPACE, "viewBox": f"0 0 {drawing.width} {drawing.height}", **size, "role": "img"},
        **{"aria-labelledby": "title desc", "font-family": "system-ui, sans-serif"},
    )
    ElementTree.SubElement(root, "title", id="title").text = _text(drawing.title)
    ElementTree.SubElement(root, "desc", id="desc").text = _text(drawing.description)
    ElementTree.SubElement(root, "rect", size, fill=Ink.PAPER)
    for shape in drawing.shapes:
        _add(root, shape)
    return ElementTree.tostring(root, encoding="unicode") + "\n"


def _add(root: ElementTree.Element, shape: Shape) -> None:
    match shape:
        case Text():
            element = ElementTree.SubElement(root, "text", x=_n(shape.x), y=_n(shape.y), fill=shape.ink)
            element.set("font-size", f"{shape.size}")
            if shape.anchor != "start":
                element.set("text-anchor", shape.anchor)
            if shape.bold:
                element.set("font-weight", "600")
            element.text = _text(shape.text)
        case Line((x1, y1), (x2, y2)):
            path = ElementTree.SubElement(root, "path", d=f"M{_n(x1)} {_n(y1)}L{_n(x2)} {_n(y2)}", stroke=shape.ink)
            path.set("stroke-width", f"{shape.width}")
            if shape.dash:
                path.set("stroke-dasharray", f"{shape.dash}")
        case Dot():
            radius = shape.radius - RING / 2 if shape.is_open else shape.radius
            disc = ElementTree.SubElement(root, "circle", cx=_n(shape.x), cy=_n(shape.y), r=_n(radius))
            disc.set("fill", Ink.PAPER if shape.is_open else shape.ink)
            if shape.is_open:
                disc.set("stroke", shape.ink)
                disc.set("stroke-width", f"{RING}")
        case Area():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in shape.points)
            ElementTree.SubElement(root, "polygon", points=points, fill=shape.ink)


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _text(text: str) -> str:
    """Leave out what XML 1.0 cannot hold, not even escaped."""
    return "".join(
        c for c in text if c in "\t\n\r" or " " <= c <= "\ud7ff" or "\ue000" <= c <= "\ufffd" or c > "\uffff"
    )
