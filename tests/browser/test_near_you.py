"""People near the reader, on pages other than the face page: only where a face is kept on the device."""

from __future__ import annotations

import json
import re
from urllib.parse import quote

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from builder.findings.dataset import Dataset, rows_of
from builder.findings.tried import triers
from builder.fit.levels import BRIDGE_MM, NEAR_MM
from builder.fit.summary.summaries import summarise
from builder.words.numbers import fit, none
from builder.words.summary_figures import leakage_label, range_label, reach_label
from tests.browser.conftest import axe

KEPT = {"length": "117.3", "width": "138.6", "cell": "", "bridge": "", "own": []}


def expected(demo: Dataset, wanted: str) -> set[tuple[int, int]]:
    """How many of those near that tried each configuration of a kind passed, of those known to pass or not."""
    near = [one for one in triers(demo.counted) if np.hypot(one.place[0] - 117.3, one.place[1] - 138.6) <= 10]
    found = set()
    for name in set(demo.counted["configuration"]):
        known = [one.tried[name] for one in near if one.tried.get(name) is not None]
        if known and re.search(wanted, name):
            found.add((known.count(True), len(known)))
    return found


@pytest.mark.parametrize(
    ("address", "wanted"),
    [
        ("masks/brodipim/", r"^brodipim\b"),
        ("hacks/wire-brace/", r"\+wire-brace(\+|$)"),
        ("compare/", "."),
    ],
)
def test_people_near_a_kept_face_are_shown_and_nothing_is_told(
    page: Page, demo: Dataset, address: str, wanted: str
) -> None:
    page.goto(address)
    place = page.locator("[data-module=near-you]")
    expect(place).to_be_hidden()
    page.evaluate("(kept) => localStorage.setItem('sealbook-face', kept)", json.dumps(KEPT))
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(address)
    place.locator("summary").click()
    shown = place.locator("li").all_inner_texts()
    numbers = [re.search(r": (\d+) of (\d+) reached 100$", text) for text in shown]
    assert {(int(one[1]), int(one[2])) for one in numbers if one} == expected(demo, wanted)
    assert len(numbers) == len(shown) > 0
    assert not any(re.search(r"117|138|cell", url) for url in asked)
    assert axe(page) == []


def near_rows(demo: Dataset, length: float, width: float, bridge: str) -> dict[str, list[str]]:
    """What the builder's summaries of the wearers near a face are printed as, by configuration."""
    order = ["low", "medium", "high"]
    near = set()
    for one in triers(demo.counted):
        both = bridge in order and one.nose_bridge in order
        steps = abs(order.index(bridge) - order.index(one.nose_bridge)) if both else 0
        if np.hypot(np.hypot(one.place[0] - length, one.place[1] - width), BRIDGE_MM * steps) <= NEAR_MM:
            near.add(one.wearer)
    found = {}
    for row in rows_of(summarise(demo.counted[demo.counted["wearer"].isin(near)])):
        exact = not demo.counted.loc[
            demo.counted["wearer"].isin(near) & (demo.counted["configuration"] == row["configuration"]), "at_least"
        ].any()
        found[row["configuration"]] = [
            fit(row["median_fit_factor"], row["median_at_least"]),
            range_label(row),
            reach_label(row),
            str(row["wearers"]),
            fit(row["wearer_median_fit_factor"], row["wearer_median_at_least"]),
            fit(row["geometric_mean"], False) if exact else none(),
            leakage_label(row),
            str(row["tests"]),
        ]
    return found


def explored(page: Page) -> dict[str, list[str]]:
    """The figures of the explorer's table as they stand there, by configuration."""
    rows = page.locator(".sb-explorer__table tbody tr")
    said = page.locator(".sb-explorer__count").inner_text()
    # Beyond a screen's rows they come in the next frame.
    expect(rows).to_have_count(min(int(said.split()[0]), 50))
    read = """all => all.map((row) => {
        const text = (cell) => [...cell.childNodes].find((node) => node.nodeType === 3)?.data
            ?? cell.querySelector(".sb-explorer__beneath")?.textContent ?? "";
        const own = [...row.cells].slice(3).filter((cell) => !cell.matches(".sb-explorer__effect"));
        return [decodeURIComponent(row.querySelector("a").hash.slice(1)), ...own.map(text)];
    })"""
    return {name: figures for name, *figures in rows.evaluate_all(read)}


def test_the_explorer_shows_figures_of_people_near_a_kept_face(page: Page, demo: Dataset) -> None:
    page.goto("explore/")
    expect(page.get_by_label("Figures of")).to_be_hidden()
    kept = json.dumps(KEPT | {"bridge": "high"})
    page.evaluate("(kept) => localStorage.setItem('sealbook-face', kept)", kept)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto("explore/")
    page.get_by_label("Face cell").select_option("4")
    page.get_by_label("Figures of").select_option(label="People near you")
    expect(page.locator(".sb-explorer__count")).to_contain_text("within 10 mm of your face, a step of the nose bridge")
    assert explored(page) == near_rows(demo, 117.3, 138.6, "high")
    expect(page.get_by_label("Face cell")).to_have_value("")
    page.get_by_label("At least … wearers").fill("2")
    expect(page).to_have_url(re.compile(r"/explore/\?wearers=2$"))
    assert not any(re.search(r"117|138", url) for url in asked)
    assert axe(page) == []


def test_only_a_link_that_is_copied_tells_of_the_face(page: Page, demo: Dataset) -> None:
    page.goto("explore/")
    page.evaluate("(kept) => localStorage.setItem('sealbook-face', kept)", json.dumps(KEPT))
    page.goto("explore/")
    page.get_by_label("Figures of").select_option(label="People near you")
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.get_by_role("button", name="Copy link").click()
    expect(page.locator(".sb-explorer__note")).to_be_visible()
    link = page.evaluate("navigator.clipboard.readText()")
    assert link.endswith("/explore/?near=117.3x138.6")
    page.evaluate("localStorage.clear()")
    page.goto(link)
    expect(page.get_by_label("Figures of")).to_have_value("117.3x138.6")
    expect(page.locator(".sb-explorer__count")).to_contain_text("within 10 mm of your face")
    assert explored(page) == near_rows(demo, 117.3, 138.6, "")


@pytest.mark.parametrize("written", ["117", "117x138-huge", "cell-11", "9999x1", "117x138 "])
def test_an_address_that_holds_no_face_is_named(page: Page, written: str) -> None:
    page.goto(f"explore/?near={quote(written)}")
    expect(page.locator(".sb-explorer__note")).to_contain_text(f"face “{written}”")
    expect(page.get_by_label("Figures of")).to_be_hidden()
