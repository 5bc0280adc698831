"""What wearers noticed, in words."""

from __future__ import annotations

import math

from builder.findings.dataset import Dataset
from builder.findings.wearing import RATES
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer
from builder.words.wearing_words import open_seats, rate_text, wearing_rows


def test_a_rate_has_its_number() -> None:
    assert rate_text(0.6, 5) == "60 % of 5"
    assert rate_text(math.nan, 0) == "–"


def test_open_seats() -> None:
    assert open_seats("1×2+4×3") == "2 in cell 1, 3 in cell 4"
    assert open_seats("") == "none"


def test_the_page_has_sold_and_changed_beside_each_other(demo: Dataset) -> None:
    mask = "skevuthar"
    rows = wearing_rows(demo, demo.summary_by_mask[mask])
    assert rows[0].label == "as sold"
    assert {len(row.rates) for row in rows} == {len(RATES)}
    page = next(page for page in mask_pages(demo, Renderer(demo)) if page.address == f"masks/{mask}/")
    for row in rows:
        for rates in (row.rates[:4], row.rates[4:-1]):
            cells = "".join(f"<td>{rate}</td>" for rate in rates)
            assert f'<tr><th scope="row">{row.label}</th>{cells}</tr>' in page.html
        assert f"<td>{row.filled}</td><td>{row.passing}</td><td>{row.still_open}</td>" in page.html
