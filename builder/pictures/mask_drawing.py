"""A plain drawing of a mask by its shape, seen from the front, with the places marked that were changed.

It shows a style, no model: an outline, its seams, the straps. Each place lies on the outline itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from builder.pictures.palette import Ink
from builder.pictures.shapes import Anchor, Drawing, Line, Lines, Point, Shape, Text

WIDTH, HEIGHT = 320, 204
_MIDDLE = 160.0
_STEPS = 12
_LINE, _MARK = 2.0, 5.0
_NOSE = 6
"""Points of the outline from its top on that lie over the nose."""
_LETTERS = 13

_Curve = tuple[Point, ...]

# The right half of each outline from the nose to the chin: a start, then two points of control and an end, twice. The
# cheek, where straps begin, is the middle one.
_OUTLINES: Mapping[str, _Curve] = {
    "flat-fold": ((160, 34), (184, 34), (196, 62), (250, 86), (254, 112), (226, 160), (160, 174)),
    "three-panel": ((160, 36), (192, 36), (216, 62), (256, 90), (256, 130), (214, 168), (160, 172)),
    "cup": ((160, 32), (206, 32), (236, 66), (240, 104), (240, 148), (200, 176), (160, 176)),
    "duckbill": ((160, 40), (190, 40), (222, 62), (252, 88), (250, 122), (214, 162), (160, 168)),
    "pleated": ((160, 52), (190, 52), (222, 56), (246, 64), (244, 100), (242, 156), (160, 162)),
    "elastomeric": ((160, 38), (184, 42), (204, 72), (214, 100), (222, 142), (190, 170), (160, 172)),
    "other": ((160, 36), (200, 36), (232, 66), (238, 100), (240, 146), (200, 172), (160, 172)),
}
# Seams and folds, whole, in the same way of writing.
_SEAMS: Mapping[str, tuple[_Curve, ...]] = {
    "flat-fold": (((160, 34), (166, 80), (166, 130), (160, 174)),),
    "three-panel": (
        ((64, 90), (110, 68), (210, 68), (256, 90)),
        ((66, 104), (110, 144), (210, 144), (254, 104)),
    ),
    "cup": (((112, 112), (112, 66), (208, 66), (208, 112), (208, 156), (112, 156), (112, 112)),),
    "duckbill": (
        ((68, 90), (120, 78), (200, 78), (252, 90)),
        ((80, 112), (98, 156), (222, 156), (240, 112)),
    ),
    "pleated": tuple(
        ((75.0, 70.0 + down), (120.0, 64.0 + down), (200.0, 64.0 + down), (245.0, 70.0 + down)) for down in (16, 38, 60)
    ),
    "elastomeric": (
        ((206, 126), (206, 92), (258, 92), (258, 126), (258, 160), (206, 160), (206, 126)),
        ((114, 126), (114, 92), (62, 92), (62, 126), (62, 160), (114, 160), (114, 126)),
        ((146, 140), (146, 121), (174, 121), (174, 140), (174, 159), (146, 159), (146, 140)),
    ),
    "other": (),
}
# Where the name of each place stands, which end of it, and where the line to it begins; None for none.
_NAMES: Mapping[str, tuple[Point, Anchor, Point | None]] = {
    "straps": ((316, 172), "end", None),
    "nose-wire": ((208, 20), "start", (206, 16)),
    "nose-foam": ((112, 20), "end", (114, 16)),
    "edge": ((236, 190), "start", (234, 186)),
    "brace": ((84, 190), "end", (86, 186)),
    "other": ((160, 200), "middle", (160, 188)),
}
STYLES = tuple(_OUTLINES)
PLACES = tuple(_NAMES)


def mask_drawing(style: str, marked: Mapping[str, str], title: str, description: str) -> Drawing:
    """Draw a mask of a style. `marked` gives the places that were changed, each with its name.

    KeyError for a style or a place that is none.
    """
    half = _points(_OUTLINES[style])
    places = _places(half)
    shapes: list[Shape] = [Lines(places["straps"], Ink.SOLD, _LINE)]
    shapes.append(Lines((_both(half),), Ink.INK, _LINE))
    if seams := tuple(_points(seam) for seam in _SEAMS[style]):
        shapes.append(Lines(seams, Ink.MUTED, 1.25))
    for place, name in marked.items():
        shapes.append(Lines(places[place], Ink.CHANGED, _MARK))
        shapes += _name(place, name, places[place])
    return Drawing(WIDTH, HEIGHT, title, description, tuple(shapes))


def _name(place: str, name: str, parts: tuple[_Curve, ...]) -> list[Shape]:
    (x, y), anchor, begins = _NAMES[place]
    written = Text(x, y, name, _LETTERS, anchor=anchor)
    if begins is None:
        return [written]
    near = min(
        (point for part in parts for point in part), key=lambda at: (at[0] - begins[0]) ** 2 + (at[1] - begins[1]) ** 2
    )
    return [Line(begins, near, Ink.MUTED, 1), written]


@cache
def _places(half: _Curve) -> Mapping[str, tuple[_Curve, ...]]:
    nose, rest = half[: _NOSE + 1], half[_NOSE:]
    cheek, jaw = half[_STEPS], half[_STEPS + 5]
    straps = ((cheek, (316.0, cheek[1] - 32)), (jaw, (316.0, jaw[1] + 14)))
    return {
        "straps": (*straps, *(_mirrored(strap) for strap in straps)),
        "nose-wire": (_both(nose),),
        "nose-foam": (_both(tuple((x, y + 9) for x, y in nose)),),
        "edge": (rest, _mirrored(rest)),
        "brace": (_both(tuple(_drawn_in(point, 0.68) for point in half)),),
        "other": (((148.0, 112.0), (172.0, 112.0)), ((160.0, 100.0), (160.0, 124.0))),
    }


@cache
def _points(curve: _Curve) -> _Curve:
    """Give points along cubic Bézier curves, each beginning where the last one ended."""
    points = [curve[0]]
    for first in range(0, len(curve) - 1, 3):
        a, b, c, d = curve[first : first + 4]
        for step in range(1, _STEPS + 1):
            t = step / _STEPS
            weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
            x, y = (sum(w * p[axis] for w, p in zip(weights, (a, b, c, d), strict=True)) for axis in (0, 1))
            points.append((round(x, 1), round(y, 1)))
    return tuple(points)


def _mirrored(half: _Curve) -> _Curve:
    return tuple((2 * _MIDDLE - x, y) for x, y in half)


def _both(half: _Curve) -> _Curve:
    """Join a half that begins in the middle with its other side."""
    return (*reversed(_mirrored(half)), *half[1:])


def _drawn_in(point: Point, factor: float) -> Point:
    x, y = point
    return round(_MIDDLE + (x - _MIDDLE) * factor, 1), round(112 + (y - 112) * factor, 1)
