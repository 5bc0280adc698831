"""People near the reader, on pages other than the face page: only where a face is kept on the device."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from builder.findings.dataset import Dataset
from builder.findings.tried import triers
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
        ("explore/", "."),
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
