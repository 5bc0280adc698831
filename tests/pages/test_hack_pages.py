"""Hack pages: what a long history leaves readable, and what stands on the first page."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from builder.findings.dataset import Dataset
from builder.site import hack_pages as hacks
from builder.site import start_page as start
from builder.site.effects_charts import MOST_MASKS
from builder.site.hack_pages import hack_files, hack_pages, most_telling
from builder.site.published import Renderer
from builder.site.start_page import start_page
from builder.words.labels import mask_label
from builder.words.numbers import times


def page_of(demo: Dataset, token: str) -> str:
    pages = {page.address: page.html for page in hack_pages(demo, Renderer(demo))}
    return " ".join(pages[f"hacks/{token}/"].split())


def test_all_is_shown_while_it_can_be_read(demo: Dataset) -> None:
    page = page_of(demo, "foam-strip")
    assert page.count('<th scope="row">') >= len(demo.hacks["foam-strip"].contrasts)
    assert "more comparison" not in page.partition("With it against")[2]
    assert "more configuration" not in page


def test_of_many_contrasts_those_that_weigh_most_are_listed(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hacks, "MOST_LISTED", 5)
    monkeypatch.setattr(hacks, "MOST_ROWS", 3)
    effect = demo.hacks["crossed-band"]
    shown = most_telling(effect)
    assert len(shown) == 5
    assert shown == sorted(shown, key=lambda c: (c.mask, c.wearer, c.backgrounds))
    left = [c for c in effect.contrasts if c not in shown and c.bound == "none"]
    assert max(c.variance or math.inf for c in shown) <= min(c.variance or math.inf for c in left)
    page = page_of(demo, "crossed-band")
    assert f"</code> lists {len(effect.contrasts) - 5} more comparisons." in page
    assert 'href="../../explore/?hack=crossed-band"' in page


@pytest.fixture(scope="module")
def many(demo: Dataset) -> Dataset:
    """The demo, in which one part has 200 contrasts on twelve masks."""
    effect = demo.hacks["crossed-band"]
    masks = sorted(demo.entries.masks)
    random = np.random.default_rng(9)
    contrasts = tuple(
        replace(
            effect.contrasts[0],
            wearer=f"wearer-{number}",
            mask=masks[number % len(masks)],
            bound="none",
            ratio=float(np.exp(random.normal(0.6, 0.5))),
            low95=0.5,
            high95=4.0,
            variance=0.1,
        )
        for number in range(200)
    )
    other = replace(demo)
    other.__dict__["hacks"] = {**demo.hacks, "crossed-band": replace(effect, contrasts=contrasts)}
    return other


def test_two_hundred_contrasts_are_a_picture_of_one_screen_and_folded_tables(many: Dataset) -> None:
    effect = many.hacks["crossed-band"]
    page = page_of(many, "crossed-band")
    picture = page[page.index('<svg width="100%"') : page.index("</details>")]
    height = re.search(r'height="(\d+)" role="img" aria-labelledby="effect.title', picture)
    assert height and int(height[1]) < 900
    assert picture.count("<title>") == 200
    labels = {mask_label(record.mask) for record in many.entries.masks.values()}
    assert sum(f">{label}</text>" in picture for label in labels) == MOST_MASKS
    assert ">4 more masks</text>" in picture
    high, low = (pick(effect.contrasts, key=lambda c: c.ratio or 0) for pick in (max, min))
    assert f"Most it gave {times(high.ratio)}, on {high.wearer} and " in page
    assert f"; least {times(low.ratio)}, on {low.wearer} and " in page
    # The surest of them are in tables of fifty, none of which is open; the rest is the command's to tell.
    for part in ("1 to 50", "51 to 100"):
        assert f'<details class="sb-more"><summary>{part}</summary>' in page
    assert page.count("<td>wearer-") == 100
    assert "100 more comparisons" in page
    # And there is no figure to look into that would have a row for each.
    assert "effects.json" not in page
    assert "hacks/crossed-band/effects.json" not in {file.path for file in hack_files(many)}


def test_limits_come_after_what_tells_a_ratio(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hacks, "MOST_LISTED", 2)
    exact = next(effect for effect in demo.hacks.values() if effect.k >= 2 and not effect.limits)
    first, second, *_ = exact.contrasts
    limit = replace(first, bound="at_least", variance=0.0)
    assert limit not in most_telling(replace(exact, contrasts=(first, second, limit)))


def test_the_first_page_puts_one_lucky_face_after_what_several_measured(
    demo: Dataset, monkeypatch: pytest.MonkeyPatch
) -> None:
    html = start_page(demo, Renderer(demo)).html
    rows = demo.summary[(demo.summary["parts"] == "") & (demo.summary["tests"] > 0)]
    several = rows["wearers"] >= 3
    order = [html.index(f'href="masks/{mask}/"') for mask in [*rows["mask"][several], *rows["mask"][~several]]]
    assert max(order[: several.sum()]) < min(order[several.sum() :])
    monkeypatch.setattr(start, "MOST_ROWS", 4)
    html = start_page(demo, Renderer(demo)).html
    assert html.count('<th scope="row">') == 4
    assert f"Explore {len(rows) - 4} more masks" in html


def test_every_part_with_a_mean_is_in_the_picture_of_all(demo: Dataset) -> None:
    page = next(iter(hack_pages(demo, Renderer(demo))))
    picture = page.html[page.html.index("<svg") : page.html.index("</svg>")]
    told = [effect for effect in demo.hacks.values() if effect.pooled and effect.mean_ratio is not None]
    assert told
    assert picture.count("<circle") == len(told)
    for effect in told:
        assert f"{times(effect.mean_ratio)}, " in picture
