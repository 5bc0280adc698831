"""Each shape as SVG: in fixed inks, in those of a page, painted by a style sheet, or as wide as there is room."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

from builder.pictures.markup import coordinates, escaped, number, short, tag
from builder.pictures.palette import Ink
from builder.pictures.shapes import (
    HALO,
    RING,
    Area,
    Box,
    Dot,
    Dots,
    Group,
    Line,
    Lines,
    Link,
    Mark,
    Point,
    Shape,
    Text,
)

Attributes: TypeAlias = dict[str, str]


_NAMES: Attributes = {"fill": Ink.INK.variable, "font-size": "12"}
_FIGURES: Attributes = {"fill": Ink.MUTED.variable, "font-size": "12"}
"""The look of most words over the drawings of a page; its style sheet gives the same to what has no other."""


class File:
    """Writes shapes in fixed inks."""

    def all(self, shapes: Iterable[Shape]) -> Iterable[str]:
        return map(self.one, shapes)

    def one(self, shape: Shape) -> str:
        match shape:
            case Text():
                written = self.text(shape)
            case Line():
                written = self.line(shape)
            case Lines():
                written = self.lines(shape)
            case Dot():
                written = self.dot(shape)
            case Dots():
                written = self.dots(shape)
            case Area():
                written = self.area(shape)
            case Mark():
                written = self.mark(shape)
            case Box():
                written = self.box(shape)
            case Group():
                written = self.group(shape)
            case Link():
                written = self.link(shape)
        return written

    def group(self, group: Group) -> str:
        return tag("g", _hidden(group), *self.all(group.shapes))

    def colour(self, ink: Ink) -> str:
        return ink.light

    def paint(self, css: str, look: Attributes) -> Attributes:
        """Give what says how a shape looks: its class, or its look itself, or both."""
        return look

    def x(self, value: float) -> str:
        return number(value)

    def fill(self, ink: Ink, edged: bool = False) -> Attributes:
        return {"fill": self.colour(ink)} | ({"stroke": self.colour(Ink.PAPER)} if edged else {})

    def stroke(self, ink: Ink, width: float) -> Attributes:
        return {"stroke": self.colour(ink), "stroke-width": number(width)}

    def text(self, text: Text) -> str:
        css, look = text.css, {"fill": self.colour(text.ink), "font-size": f"{text.size}"}
        if text.anchor != "start":
            look["text-anchor"] = text.anchor
        if text.bold:
            look["font-weight"] = "600"
        if text.halo:
            css, look = self.halo(css, look)
        turn = {"transform": f"rotate({text.turn} {number(text.x)} {number(text.y)})"} if text.turn else {}
        place = {"x": self.x(text.x), "y": number(text.y)} | turn
        return tag("text", place | self.paint(css, look), escaped(text.text))

    def halo(self, css: str, look: Attributes) -> tuple[str, Attributes]:
        """Give the class and the look of a text that stands clear of what it is written over."""
        return css, look | self.stroke(Ink.PAPER, HALO) | {"stroke-linejoin": "round", "paint-order": "stroke"}

    def line(self, line: Line) -> str:
        dashes = {"stroke-dasharray": f"{line.dash}"} if line.dash else {}
        look = self.paint(line.css, self.stroke(line.ink, line.width) | dashes)
        return tag("line", self.between(line.start, line.end) | look)

    def between(self, start: Point, end: Point) -> Attributes:
        return {"x1": self.x(start[0]), "y1": number(start[1]), "x2": self.x(end[0]), "y2": number(end[1])}

    def lines(self, lines: Lines) -> str:
        look = {"fill": "none"} | self.stroke(lines.ink, lines.width)
        return tag("path", {"d": self.path(lines)} | self.paint(lines.css, look))

    def path(self, lines: Lines) -> str:
        return "".join("M" + "L".join(f"{number(x)} {number(y)}" for x, y in part) for part in lines.parts)

    def dot(self, dot: Dot) -> str:
        ring = self.fill(Ink.PAPER) | self.stroke(dot.ink, RING)
        look = self.paint(dot.css, ring if dot.is_open else self.fill(dot.ink))
        # Half of a ring's stroke lies outside its radius; a style sheet's own ring is as wide as it likes.
        radius = dot.radius - RING / 2 if "stroke-width" in look else dot.radius
        return tag("circle", {"cx": self.x(dot.x), "cy": number(dot.y), "r": number(radius)} | look)

    def dots(self, dots: Dots) -> str:
        if dots.edged:
            return self.circles(dots)
        # A line of no length with round ends is a dot, and the shortest way to write many.
        path = "".join(f"M{number(x)} {number(y)}h0" for x, y in dots.points)
        look = self.stroke(dots.ink, 2 * dots.radius) | {"stroke-linecap": "round"}
        return tag("path", {"d": path} | self.paint(dots.css, look))

    def circles(self, dots: Dots) -> str:
        # Numbers need no escaping, and there are thousands.
        radius = number(dots.radius)
        discs = (f'<circle cx="{self.x(x)}" cy="{number(y)}" r="{radius}" />' for x, y in dots.points)
        return tag("g", self.paint(dots.css, self.fill(dots.ink, dots.edged)), *discs)

    def area(self, area: Area) -> str:
        return tag("polygon", {"points": coordinates(area.points)} | self.paint(area.css, self.fill(area.ink)))

    def mark(self, mark: Mark) -> str:
        points = coordinates((mark.x + x, mark.y + y) for x, y in mark.outline)
        return tag("polygon", {"points": points} | self.paint(mark.css, self.fill(mark.ink, mark.edged)))

    def box(self, box: Box) -> str:
        known = {f"data-{box.data[0]}": box.data[1]} if box.data else {}
        place = self.rectangle(box.left, box.top, box.right, box.bottom)
        return tag("rect", known | place | self.paint(box.css, self.fill(box.ink, box.edged)))

    def rectangle(self, left: float, top: float, right: float, bottom: float) -> Attributes:
        return {"x": self.x(left), "y": number(top), "width": self.x(right - left), "height": number(bottom - top)}

    def link(self, link: Link) -> str:
        return ""


class Inked(File):
    """Writes shapes in the inks of a page."""

    def group(self, group: Group) -> str:
        known = {f"data-{group.data[0]}": group.data[1]} if group.data else {}
        named = ({"class": group.css} if group.css else {}) | known | _hidden(group)
        title = [tag("title", {}, escaped(group.title))] if group.title else []
        if group.address:
            return tag("a", named | {"href": group.address, "aria-label": group.title}, *title, *self.all(group.shapes))
        return tag("g", named, *title, *self.all(group.shapes))

    def colour(self, ink: Ink) -> str:
        return ink.variable

    def paint(self, css: str, look: Attributes) -> Attributes:
        return ({"class": css} if css else {}) | look

    def link(self, link: Link) -> str:
        sheet = self.rectangle(link.left, link.top, link.right, link.bottom) | self.paint(
            link.css, {"fill": "transparent"}
        )
        return tag("a", {"href": link.address, "aria-label": link.label}, tag("rect", sheet))


class Styled(Inked):
    """Writes shapes for a style sheet to paint."""

    def paint(self, css: str, look: Attributes) -> Attributes:
        return {"class": css} if css else {}


class Fluid(Inked):
    """Writes shapes with level places as shares of the width there is."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height

    def x(self, value: float) -> str:
        return f"{short(f'{100 * value / self.width:.2f}')}%"

    def halo(self, css: str, look: Attributes) -> tuple[str, Attributes]:
        # A page has hundreds: its style sheet says how most of them look, names at the left and figures at the right.
        usual = _FIGURES if look.get("text-anchor") == "end" else _NAMES
        return f"{css} sb-halo".strip(), {key: value for key, value in look.items() if usual.get(key) != value}

    def lines(self, lines: Lines) -> str:
        # A picture of its own that is stretched, but for the width of its lines: far shorter than each line in shares.
        frame = {"viewBox": f"0 0 {number(self.width)} {number(self.height)}", "preserveAspectRatio": "none"}
        # That they are not filled and their width is not stretched, the style sheet says by the frame.
        path = tag("path", {"d": self.path(lines)} | self.paint(lines.css, self.stroke(lines.ink, lines.width)))
        return tag("svg", frame, path)

    def dots(self, dots: Dots) -> str:
        return self.circles(dots)

    def area(self, area: Area) -> str:
        raise ValueError("an area has no place in a fluid drawing: draw boxes or marks")

    def mark(self, mark: Mark) -> str:
        # A picture of its own, of which only the place is a share.
        outline = tag("polygon", {"points": coordinates(mark.outline)} | self.fill(mark.ink, mark.edged))
        return tag(
            "svg", {"x": self.x(mark.x), "y": number(mark.y), "overflow": "visible"} | self.paint(mark.css, {}), outline
        )


def _hidden(group: Group) -> Attributes:
    return {"aria-hidden": "true"} if group.hidden else {}
