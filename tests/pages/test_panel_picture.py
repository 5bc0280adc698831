"""The face panel as a picture: where cells and axes stand, how dark a cell is, and what its links say."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from builder.findings.dataset import Dataset
from builder.fit.panel import CELLS
from builder.site.panel_picture import panel_picture, wearers_by_cell

SHORT = {"x": "width", "y": "height"}
WEARERS = {"4": 9, "1": 1, "7": 4, "3": 6}


def drawn(wearers: dict[str, int], *, linked: bool = False, here: str = "") -> ET.Element:
    return ET.fromstring(panel_picture(wearers, (lambda cell: f'cells/{cell}/?a&"b"') if linked else None, here))


def of_class(picture: ET.Element, name: str) -> list[ET.Element]:
    return [element for element in picture.iter() if name in element.get("class", "").split()]


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


@pytest.fixture(scope="module")
def plain() -> ET.Element:
    return drawn(WEARERS)


def place(picture: ET.Element, axis: str) -> list[tuple[float, float]]:
    """Millimetres and where they stand, of both ends of every cell."""
    ends = []
    for cell, rect in zip(CELLS, of_class(picture, "sb-panel__cell"), strict=True):
        start, end = number(rect, axis), number(rect, axis) + number(rect, SHORT[axis])
        # Length grows upwards.
        ends += (
            [(cell.width_low, start), (cell.width_high, end)]
            if axis == "x"
            else [(cell.length_high, start), (cell.length_low, end)]
        )
    return sorted(set(ends))


@pytest.mark.parametrize(("axis", "per_mm"), [("x", 10), ("y", -10)])
def test_cells_stand_at_their_millimetres(plain: ET.Element, axis: str, per_mm: float) -> None:
    ends = place(plain, axis)
    assert len(ends) > 4
    for (mm, at), (next_mm, next_at) in pairwise(ends):
        assert next_at - at == pytest.approx(per_mm * (next_mm - mm))


def test_axes_are_those_of_the_cells(plain: ET.Element) -> None:
    ticks = of_class(plain, "sb-panel__tick")
    lengths = of_class(plain, "sb-panel__tick--y")
    widths = [tick for tick in ticks if tick not in lengths]
    (mm, at), *_ = place(plain, "x")
    assert [tick.text for tick in widths] == ["120", "130", "140", "150"]
    stand = [number(tick, "x") for tick in widths]
    assert stand == pytest.approx([at + 10 * (tick - mm) for tick in (120, 130, 140, 150)])
    (mm, at), *_ = place(plain, "y")
    # The foot of a figure 11 px high lies 4 px below its middle.
    assert [tick.text for tick in lengths] == ["100", "110", "120", "130"]
    stand = [number(tick, "y") - 4 for tick in lengths]
    assert stand == pytest.approx([at - 10 * (tick - mm) for tick in (100, 110, 120, 130)])


def test_all_of_it_is_inside_the_picture_and_the_axes_are_outside_the_cells(plain: ET.Element) -> None:
    left, top, width, height = map(float, plain.get("viewBox", "").split())
    assert (left, top) == (0, 0)
    rects = of_class(plain, "sb-panel__cell")
    first, last = min(number(r, "x") for r in rects), max(number(r, "x") + number(r, "width") for r in rects)
    upper, lower = min(number(r, "y") for r in rects), max(number(r, "y") + number(r, "height") for r in rects)
    assert upper > 0 and lower < height and last < width
    lengths = of_class(plain, "sb-panel__tick--y")
    assert all(24 < number(tick, "x") < first - 15 for tick in lengths)
    widths = [tick for tick in of_class(plain, "sb-panel__tick") if tick not in lengths]
    across, upright = of_class(plain, "sb-panel__axis")
    assert all(lower + 8 < number(tick, "y") < number(across, "y") - 11 < height - 11 for tick in widths)
    assert (across.text, upright.text) == ("face width, mm", "face length, mm")
    # In the middle of the 41 mm by 42.5 mm that are drawn.
    assert number(across, "x") == (first - 15 + width) / 2
    assert number(upright, "y") == upper - 15 + 425 / 2
    assert upright.get("transform") == f"rotate(-90 {number(upright, 'x'):g} {number(upright, 'y'):g})"
    assert 0 < number(upright, "x") < 24


def test_a_cell_says_number_wearers_and_share_within_itself(plain: ET.Element) -> None:
    rects = of_class(plain, "sb-panel__cell")
    texts = [of_class(plain, f"sb-panel__{name}") for name in ("name", "n", "share")]
    for cell, rect, name, n, share in zip(CELLS, rects, *texts, strict=True):
        assert rect.get("data-cell") == name.text == cell.name
        assert n.text == str(WEARERS.get(cell.name, "–"))
        assert share.text == f"{cell.share_percent:g} %"
        x, y, w, h = (number(rect, key) for key in ("x", "y", "width", "height"))
        assert number(n, "x") == x + w / 2
        assert x < number(name, "x") < number(n, "x") < number(share, "x") < x + w
        assert y < number(name, "y") < number(n, "y") < number(share, "y") < y + h


def shades(picture: ET.Element) -> list[str]:
    return [
        rect.get("class", "").split()[1].removeprefix("sb-panel__cell--")
        for rect in of_class(picture, "sb-panel__cell")
    ]


def test_more_wearers_are_darker(plain: ET.Element) -> None:
    assert shades(plain) == ["1", "0", "3", "4", "0", "0", "2", "0", "0", "0"]
    assert shades(drawn({"2": 1, "outside": 9})) == ["0", "4", *["0"] * 8]
    assert shades(drawn({})) == ["0"] * 10


def test_links_say_which_cell_and_how_many(plain: ET.Element) -> None:
    assert plain.get("aria-hidden") == "true"
    assert [element for element in plain.iter() if element.tag == "a"] == []
    linked = drawn({"4": 6, "1": 1}, linked=True)
    assert linked.get("aria-hidden") is None
    links = [element for element in linked.iter() if element.tag == "a"]
    assert [link.get("href") for link in links] == [f'cells/{cell.name}/?a&"b"' for cell in CELLS]
    names = [link.get("aria-label") for link in links]
    assert names[:4] == ["Cell 1: 1 wearer", "Cell 2: 0 wearers", "Cell 3: 0 wearers", "Cell 4: 6 wearers"]
    for rect, link in zip(of_class(linked, "sb-panel__cell"), links, strict=True):
        assert all(link[0].get(key) == rect.get(key) for key in ("x", "y", "width", "height"))


def test_one_cell_is_marked() -> None:
    marked = of_class(drawn({}, here="10"), "sb-panel__cell--here")
    assert [rect.get("data-cell") for rect in marked] == ["10"]
    assert of_class(drawn({}), "sb-panel__cell--here") == []


def test_wearers_are_counted_once_a_cell(demo: Dataset) -> None:
    counts = wearers_by_cell(demo.counted)
    assert counts == {
        cell: len(set(demo.counted["wearer"][demo.counted["cell"] == cell])) for cell in set(demo.counted["cell"])
    }
    assert sum(counts.values()) < len(demo.counted)
