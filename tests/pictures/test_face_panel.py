"""The panel of face cells."""

from __future__ import annotations

from xml.etree import ElementTree

from builder.pictures.face_panel import PanelCell, face_panel
from builder.pictures.png import as_png
from builder.pictures.svg import as_svg, styled

CELLS = [
    PanelCell("1", 98.5, 108.5, 120.5, 132.5, 0, "5.5 %"),
    PanelCell("2", 98.5, 108.5, 132.5, 144.5, 3, "5.3 %", here=True),
    PanelCell("3", 108.5, 118.5, 120.5, 132.5, 4, "10.5 %"),
]
LINKED = PanelCell("4", 108.5, 118.5, 132.5, 144.5, 1, "25 %", address="../cell-4/?a&b", label="Cell 4: 1 wearer")


def test_cells_are_darker_where_there_are_more_and_one_is_marked() -> None:
    root = ElementTree.fromstring(styled(face_panel(CELLS, "length", "width"), "sb-panel"))
    boxes = [(box.attrib["data-cell"], box.attrib["class"]) for box in root.iter("rect")]
    assert boxes == [
        ("1", "sb-panel__cell sb-panel__cell--0"),
        ("2", "sb-panel__cell sb-panel__cell--3 sb-panel__cell--here"),
        ("3", "sb-panel__cell sb-panel__cell--4"),
    ]
    numbers = [text.text for text in root.iter("text") if text.attrib["class"] == "sb-panel__n"]
    assert numbers == ["–", "3", "4"]


def test_a_cell_is_as_large_as_its_limits() -> None:
    first, second, above = list(
        ElementTree.fromstring(styled(face_panel(CELLS, "length", "width"), "sb-panel")).iter("rect")
    )
    assert (first.attrib["width"], first.attrib["height"]) == ("120", "100")
    assert float(second.attrib["x"]) == float(first.attrib["x"]) + 120
    assert float(above.attrib["y"]) == float(first.attrib["y"]) - 100


def test_links_are_named_and_a_panel_without_them_is_hidden() -> None:
    root = ElementTree.fromstring(styled(face_panel([*CELLS, LINKED], "length", "width"), "sb-panel"))
    (link,) = root.iter("a")
    assert (link.attrib["href"], link.attrib["aria-label"]) == ("../cell-4/?a&b", "Cell 4: 1 wearer")
    assert "aria-hidden" not in root.attrib
    assert (
        ElementTree.fromstring(styled(face_panel(CELLS, "length", "width"), "sb-panel")).attrib["aria-hidden"] == "true"
    )


def test_files_lead_nowhere() -> None:
    assert "href" not in as_svg(face_panel([LINKED], "length", "width"))
    assert as_png(face_panel([LINKED], "length", "width")) == as_png(face_panel([LINKED], "length", "width"))
