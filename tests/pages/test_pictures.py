"""Pictures for previews of links and for passing on: size, letters, the same bytes, and only what was measured."""

from __future__ import annotations

import io
import json
import re
import shutil
from html.parser import HTMLParser
from itertools import count, cycle
from xml.etree import ElementTree

import pytest
from markdown import markdown
from PIL import Image

from builder.findings.dataset import Dataset, build_dataset
from builder.pictures.lettering import has, width
from builder.pictures.palette import Ink
from builder.pictures.png import as_png
from builder.pictures.shapes import Drawing, Text
from builder.site.addresses import share_name
from builder.site.previews import cell_preview, general_preview, hack_preview, mask_preview, preview_files
from builder.site.share_pages import PNG_WIDTH, drawing, measured_by_mask, sentence, share_files, shared
from builder.words.catalogue import say, speaking
from builder.words.labels import configuration_label
from tests.conftest import ROOT

ADDRESS = "https://sealbook.example/"
HOSTILE = [
    "<script>alert(1)</script>",
    "]]></title><svg onload=alert(1)>",
    '"><image href="https://evil.example/x"/>',
    "](https://evil.example) ![x](y) **bold** `code`",
    "&amp; &#60;b&#62; \ufffe\uffff",
    "שלום abc",
    "마스크 Ж",
    "Ångström ≥ 3 × 4 – ½",
    "A mask whose name is so long that no line of any picture could ever hold the whole of it, however small",
]


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """The demo entries under hostile names, and a mask that nobody has tested."""
    entries = tmp_path_factory.mktemp("pictures") / "entries"
    shutil.copytree(ROOT / "entries", entries)
    names, number = cycle(HOSTILE), count(1)
    for path in sorted([*(entries / "masks").glob("*.toml"), *(entries / "parts").glob("*.toml")]):
        lines = path.read_text("utf-8").splitlines()
        renamed = [
            re.sub(r"^(model|name) = .*", lambda key: f"{key[1]} = {quoted(f'{next(names)} {next(number)}')}", line)
            for line in lines
        ]
        path.write_text("\n".join(renamed) + "\n", "utf-8")
    first = sorted((entries / "masks").glob("*.toml"))[0].read_text("utf-8")
    (entries / "masks" / "untested.toml").write_text(re.sub(r"(?m)^model = .*", 'model = "Untested"', first), "utf-8")
    return build_dataset(entries)


def quoted(text: str) -> str:
    """Write a basic TOML string, which for these texts is written as in JSON."""
    return json.dumps(text, ensure_ascii=False)


def drawings(data: Dataset) -> list[Drawing]:
    """Every drawing that becomes a PNG."""
    rows = [row for rows in measured_by_mask(data).values() for row in rows]
    return [
        general_preview(data),
        *(mask_preview(data, mask) for mask in data.entries.masks),
        *(hack_preview(data, token) for token in data.hacks),
        *(cell_preview(data, cell) for cell in ("1", "4", "outside", "unknown")),
        *(drawing(data, row, ADDRESS, plain=True) for row in rows),
    ]


def texts(drawn: Drawing) -> list[str]:
    """The texts of a drawing."""
    return [shape.text for shape in drawn.shapes if isinstance(shape, Text)]


def test_previews_have_the_size_that_previews_are_shown_in_and_are_small(demo: Dataset) -> None:
    files = list(preview_files(demo))
    assert len({file.path for file in files}) == len(files) > len(demo.entries.masks)
    for file in files:
        assert isinstance(file.content, bytes)
        assert len(file.content) < 25_000, file.path
        with Image.open(io.BytesIO(file.content)) as image:
            assert (image.format, image.mode, image.size) == ("PNG", "P", (1200, 630)), file.path


def test_pictures_to_pass_on_are_as_large_as_they_say_and_small(demo: Dataset) -> None:
    files = {file.path: file.content for file in share_files(demo, ADDRESS)}
    for mask, rows in measured_by_mask(demo).items():
        for row in rows:
            one = shared(demo, row, ADDRESS)
            content = files[f"masks/{mask}/share/{one.name}.png"]
            assert isinstance(content, bytes)
            assert len(content) < 12_000, one.name
            with Image.open(io.BytesIO(content)) as image:
                assert image.width == PNG_WIDTH
                assert f'width="{image.width}" height="{image.height}"' in one.html
            drawn = ElementTree.fromstring(files[f"masks/{mask}/share/{one.name}.svg"]).attrib
            assert (drawn["width"], drawn["height"]) == (f"{one.width}", f"{one.height}")


def test_a_drawing_gives_the_same_bytes_again(demo: Dataset) -> None:
    first = [as_png(drawn) for drawn in drawings(demo)]
    assert [as_png(drawn) for drawn in drawings(demo)] == first


def test_every_letter_of_a_png_is_in_the_font_and_inside_the_picture(hostile: Dataset) -> None:
    for drawn in drawings(hostile):
        for shape in drawn.shapes:
            if isinstance(shape, Text):
                assert all(has(character) for character in shape.text), shape.text
                long = width(shape.text, shape.size)
                left = shape.x - {"start": 0, "middle": long / 2, "end": long}[shape.anchor]
                assert left > 50, shape
                assert left + long < 1150, shape
                assert shape.size < shape.y < drawn.height, shape


def test_a_letter_that_only_other_languages_have_is_spelled_otherwise(demo: Dataset) -> None:
    with speaking("de"):
        assert "Gesichter: ausserhalb des Panels" in texts(cell_preview(demo, "outside"))


def test_a_mask_is_shown_as_sold_with_what_its_leading_change_did(demo: Dataset) -> None:
    mask = str(demo.counted["mask"].value_counts().index[0])
    sold = demo.summary_by_id[mask]
    said = texts(mask_preview(demo, mask))
    assert {f"{sold['tests']} tests", f"{sold['wearers']} wearers", "As sold", say("card.no_promise")} <= set(said)
    assert "Invented demo data" in said
    assert any(f"wearers who tried both ({word})" in " ".join(said) for word in ("clearly higher", "likely higher"))


def test_a_mask_without_tests_says_so(hostile: Dataset) -> None:
    assert "Nobody has tested it yet." in texts(mask_preview(hostile, "untested"))
    assert "untested" not in measured_by_mask(hostile)


def test_a_hack_is_shown_by_its_mean_and_interval(demo: Dataset) -> None:
    effect = next(effect for effect in demo.hacks.values() if effect.mean_ratio is not None)
    said = texts(hack_preview(demo, effect.part))
    assert f"{effect.mean_ratio:.3g}" in said
    assert any(text.startswith(f"{effect.low95:.3g} to ") for text in said)
    alone = next((effect for effect in demo.hacks.values() if effect.mean_ratio is None), None)
    if alone is not None:
        assert any("one face" in text or "only give a limit" in text for text in texts(hack_preview(demo, alone.part)))


def test_svg_files_are_well_formed_and_inert(hostile: Dataset) -> None:
    allowed = {"svg", "title", "desc", "rect", "polygon", "circle", "text", "line"}
    files = [file for file in share_files(hostile, ADDRESS) if file.path.endswith(".svg")]
    rows = [row for rows in measured_by_mask(hostile).values() for row in rows]
    for file, row in zip(files, rows, strict=True):
        root = ElementTree.fromstring(file.content)
        for element in root.iter():
            assert element.tag.removeprefix("{http://www.w3.org/2000/svg}") in allowed
            for name, value in element.attrib.items():
                assert not name.startswith("on") and "href" not in name and "url(" not in value
        label = configuration_label(hostile, row["configuration"]).replace("\ufffe", "").replace("\uffff", "")
        assert root[0].text == f"{label}: fit factor"
        assert (root[1].text or "").startswith(f"{label}: ")
        assert root[2].attrib["fill"] == Ink.PAPER.light


def test_a_sentence_says_tests_wearers_limits_and_what_it_is_not(demo: Dataset) -> None:
    rows = [row for rows in measured_by_mask(demo).values() for row in rows]
    for row in rows:
        said = sentence(demo, row)
        assert re.search(rf"\b{row['tests']} tests? on {row['wearers']} wearers?\b", said), said
        assert said.endswith(f"Invented demo data. {say('card.no_promise')}")
        assert ("≥" in said) == bool(row["median_at_least"] or row["highest_at_least"]), said
        assert shared(demo, row, ADDRESS).sentence == f"{said} {shared(demo, row, ADDRESS).sentence.split()[-1]}"
    assert any("≥" in sentence(demo, row) for row in rows)


class _Elements(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_snippets_are_one_picture_with_one_link_whatever_the_names(hostile: Dataset) -> None:
    for mask, rows in measured_by_mask(hostile).items():
        for row in rows:
            one, said = shared(hostile, row, ADDRESS), sentence(hostile, row)
            for snippet in (one.html, markdown(one.markdown).removeprefix("<p>").removesuffix("</p>")):
                (link, to), (image, of) = _Elements(snippet).found
                assert (link, image) == ("a", "img")
                assert str(to["href"]).startswith(f"{ADDRESS}masks/{mask}/#{mask}")
                assert of["src"] == f"{ADDRESS}masks/{mask}/share/{one.name}.png"
                assert of["alt"] == said


def test_without_an_address_nothing_points_anywhere(demo: Dataset) -> None:
    rows = next(iter(measured_by_mask(demo).values()))
    one = shared(demo, rows[0])
    assert (one.markdown, one.html) == ("", "")
    assert "http" not in one.sentence


def test_names_of_files_are_told_apart_and_fit_everywhere(demo: Dataset) -> None:
    long = "+".join(f"{'x' * 59}{slot}" for slot in range(6))
    changes = [*demo.summary["parts"].unique(), "as-sold", "as+sold", long, f"{long}y"]
    names = [share_name(parts) for parts in changes]
    assert len(set(names)) == len(changes)
    assert all(re.fullmatch(r"[a-z0-9_-]{1,250}", name) for name in names)
