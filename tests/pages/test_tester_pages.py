"""A page for each contributor and wearer, linked from tests and masks; whatever they wrote is escaped."""

from __future__ import annotations

import json
import re
from pathlib import Path

from builder.findings.dataset import Dataset
from builder.site.kinds import published_pages
from builder.site.tester_pages import MOST_TESTS


def pages(data: Dataset) -> dict[str, str]:
    return {page.address: page.html for page in published_pages(data)}


def test_everybody_has_a_page_that_lists_what_they_tested(demo: Dataset) -> None:
    made = pages(demo)
    for role, folder in (("contributor", "testers"), ("wearer", "wearers")):
        for name, own in demo.table.groupby(role):
            page = made[f"{folder}/{name}/"]
            listed = re.findall(r'<td class="sb-date">(\d{4}-\d\d-\d\d)</td>', page)
            assert listed == sorted(own["date"], reverse=True)[:MOST_TESTS]
            assert f"{len(own)} tests" in page
            assert (f"{len(own) - MOST_TESTS} more test" in page) == (len(own) > MOST_TESTS)
    index = made["testers/"]
    assert set(re.findall(r'href="\.\./testers/([a-z-]+)/"', index)) == set(demo.table["contributor"])
    assert set(re.findall(r'href="\.\./wearers/([a-z-]+)/"', index)) == set(demo.table["wearer"])


def test_masks_lead_to_who_tested_them_and_tests_back_to_the_mask(demo: Dataset) -> None:
    made = pages(demo)
    mask = str(demo.table["mask"].value_counts().index[0])
    own = demo.table[demo.table["mask"] == mask]
    assert set(re.findall(r"wearers/([a-z-]+)/", made[f"masks/{mask}/"])) == set(own["wearer"])
    assert set(re.findall(r"testers/([a-z-]+)/", made[f"masks/{mask}/"])) == set(own["contributor"])
    for test in own["test"]:
        assert f'id="{test.partition("/")[2]}"' in made[f"masks/{mask}/"]
    for wearer, tests in demo.table.groupby("wearer"):
        page = made[f"wearers/{wearer}/"]
        newest = tests.sort_values(["date", "test"], ascending=False).iloc[0]
        assert f'href="../../masks/{newest["mask"]}/#{newest["test"].partition("/")[2]}"' in page
        if len(tests) > MOST_TESTS:
            counted = {name: int(n) for name, n in re.findall(r'masks/([a-z-]+)/#tests">[^<]+</a> \((\d+)\)', page)}
            assert counted == tests["mask"].value_counts().to_dict()


def test_a_contributor_s_page_says_whether_the_bench_moved_and_how_it_reads(demo: Dataset) -> None:
    made = pages(demo)
    said = {name: made[f"testers/{name}/"] for name in demo.table["contributor"].unique()}
    assert any(
        'Had <span class="sb-date">20' in page and "it would have stood out (95\u202f% interval)." in page
        for page in said.values()
    )
    assert all('id="others"' in page for page in said.values())
    assert sum("No mask was measured on the same face on two days" in page for page in said.values()) == 1


def test_everybody_is_found_by_the_search_of_the_site(built_site: Path, demo: Dataset) -> None:
    found = json.loads((built_site / "assets" / "search.json").read_text("utf-8"))
    places = dict(zip(found["address"], found["name"], strict=True))
    for name in demo.table["contributor"].unique():
        assert places[f"testers/{name}/"] == f"Contributor {name}"
    for name in demo.table["wearer"].unique():
        assert places[f"wearers/{name}/"] == f"Wearer {name}"


def test_a_wearer_s_page_has_the_face_and_its_cell(demo: Dataset) -> None:
    wearer = str(demo.table["wearer"].value_counts().index[0])
    face = demo.table[demo.table["wearer"] == wearer].iloc[0]
    assert f'href="../../faces/cell-{face["cell"]}/"' in pages(demo)[f"wearers/{wearer}/"]
