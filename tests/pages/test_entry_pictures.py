"""Pictures of masks, parts and changes on their pages: described, sized, escaped; a drawing where there is none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.site.entry_pictures import of_configuration, of_mask, of_part
from builder.site.kinds import published_files, published_pages
from tests.records import samples
from tests.records.pictures_made import drawn, written

HOSTILE = '\\"><script>alert(1)</script>'
SHOT = '\n[[picture]]\nfile = "{file}"\nalt = "{alt}"\nlicence = "cc0"\nshows = [{shows}]\n'
PART = samples.PART.replace("thin", "wide").replace("Thin", "Wide")


def pictured(folder: Path) -> Dataset:
    """A mask as sold and with a wide foam, each with a picture, and one of the foam itself on the mask."""
    as_sold = SHOT.format(file="drum-cup.png", alt=f"From the front. {HOSTILE}", shows="")
    changed = SHOT.format(file="drum-cup-wide.webp", alt="With the foam.", shows='"wide-foam"')
    foam = SHOT.format(file="wide-foam.jpg", alt="The foam.", shows='"drum-cup"')
    files: dict[str, str | bytes] = {
        samples.MASK_PATH: samples.MASK + as_sold + changed,
        "masks/drum-cup.png": written("png", drawn(300, 200)),
        "masks/drum-cup-wide.webp": written("webp"),
        "parts/wide-foam.toml": PART + foam,
        "parts/wide-foam.jpg": written("jpg"),
        samples.TEST_PATH: samples.TEST.replace('nose-foam = "none"', 'nose-foam = "wide-foam"'),
    }
    return build_dataset(samples.write(folder, files))


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return pictured(tmp_path_factory.mktemp("pictured"))


def html(data: Dataset, address: str) -> str:
    return next(page.html for page in published_pages(data) if page.address == address)


def test_the_pages_show_them_described_and_with_their_size(data: Dataset) -> None:
    page = html(data, "masks/drum-cup/")
    assert (
        '<img src="../../pictures/masks/drum-cup.png" '
        'alt="From the front. &#34;&gt;&lt;script&gt;alert(1)&lt;/script&gt;" '
        'width="300" height="200" loading="lazy" decoding="async">'
        '<figcaption dir="auto">Picture: CC0 1.0.</figcaption>'
    ) in page
    assert '<figcaption dir="auto">With Wide foam. Picture: CC0 1.0.</figcaption>' in page
    assert '<figcaption dir="auto">On Drum. Picture: CC0 1.0.</figcaption>' in page
    assert "sb-drawing" not in page
    assert "<script>alert" not in page
    assert re.findall(r"pictures/\S+?(?=\")", html(data, "hacks/wide-foam/")) == [
        "pictures/parts/wide-foam.jpg",
        "pictures/masks/drum-cup-wide.webp",
    ]
    assert re.findall(r"pictures/\S+?(?=\")", html(data, "masks/drum-cup/share/")) == [
        "pictures/masks/drum-cup-wide.webp"
    ]


def test_their_bytes_are_published_as_they_are(data: Dataset) -> None:
    files = {file.path: file.content for file in published_files(data) if file.path.startswith("pictures/")}
    assert sorted(files) == [
        "pictures/masks/drum-cup-wide.webp",
        "pictures/masks/drum-cup.png",
        "pictures/parts/wide-foam.jpg",
    ]
    assert files["pictures/masks/drum-cup.png"] == written("png", drawn(300, 200))


def test_a_configuration_has_the_pictures_of_just_its_parts(data: Dataset) -> None:
    assert [one.alt for one in of_configuration(data, "drum-cup", "wide-foam").pictures] == ["With the foam."]
    assert len(of_configuration(data, "drum-cup", "").pictures) == 1
    assert of_configuration(data, "drum-cup", "no-nose-foam").pictures == ()


def test_where_there_is_none_the_style_is_drawn_with_what_was_changed(demo: Dataset) -> None:
    mask = next(mask for mask, rows in sorted(demo.summary_by_mask.items()) if any(row["parts"] for row in rows))
    shown = of_mask(demo, mask)
    style = demo.entries.masks[mask].mask.style.label
    assert shown.pictures == ()
    assert shown.said.startswith(
        f"A drawing of the style, {style.lower()}, not of the model. Marked where it was changed: "
    )
    assert shown.drawing
    assert f'<title id="drawn.{mask}.title">{style}, marked: ' in shown.drawing
    gone = of_part(demo, "no-nose-foam", ["brodipim"])
    assert gone.said == "A drawing of the style, three-panel, not of the model. Marked where it was changed: nose foam."
    assert "not of the model." in of_configuration(demo, mask, "").said
    assert "Marked" not in of_configuration(demo, mask, "").said
