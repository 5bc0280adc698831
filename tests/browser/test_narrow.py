"""Pages narrowed to one method of measuring: what they show, what the address holds, and what links take along."""

from __future__ import annotations

import math
import re

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from builder.findings.dataset import Dataset, rows_of
from builder.fit.summary.summaries import FIGURES, summarise
from builder.words.catalogue import count
from builder.words.method_words import methods_sentence, narrowed_sentence
from builder.words.numbers import figure, fit
from builder.words.summary_figures import interval_label, reach_label
from tests.browser.conftest import Watch, at, axe

METHOD = "short-four-exercise.condensation-counter.all-sizes"
OTHER = "one-exercise.optical-counter.all-sizes"
SAID = ".sb-narrow__said"
MEASURED_BY = "Measured by"
MASK = "skevuthar"


def rows(page: Page) -> list[list[str]]:
    """The table of a mask's configurations: what each is called, and its median."""
    table = page.locator("[aria-labelledby=configurations] tbody tr")
    found: list[list[str]] = table.evaluate_all(
        "all => all.map(row => [row.id, row.cells[1].textContent.trim().replace(/\\s+/g, ' ')])"
    )
    return found


def expected(data: Dataset) -> list[list[str]]:
    tested = [row for row in data.summary_by_mask[MASK] if row["tests"]]
    return [
        [row["configuration"], re.sub(r"\s+", " ", fit(row["median_fit_factor"], row["median_at_least"]))]
        for row in tested
    ]


def said_of(data: Dataset, method: str) -> str:
    used = next(used for used in data.methods_by_mask[MASK].each if used.id == method)
    return narrowed_sentence(used)


def test_a_mask_is_narrowed_kept_by_a_reload_and_undone_by_back(page: Page, demo: Dataset) -> None:
    page.goto(f"masks/{MASK}/")
    mixed = methods_sentence(demo.methods_by_mask[MASK])
    assert mixed == "Measured in 5 ways, mixed in these figures, on 13 wearers."
    expect(page.locator(SAID)).to_have_text(mixed)
    expect(page.get_by_label(MEASURED_BY)).to_be_visible()
    expect(page.locator(".sb-donnings__said")).to_have_count(1)  # the picture's script is done with it
    everything = rows(page)
    chart = page.locator("[data-narrowed=donnings] .sb-chart__box > svg").inner_html()
    page.get_by_label(MEASURED_BY).select_option(METHOD)
    expect(page.locator(SAID)).to_have_text(said_of(demo, METHOD))
    at(page, f"masks/{MASK}/?method={METHOD}")
    narrowed = rows(page)
    assert sorted(narrowed) == sorted(expected(demo.by_method[METHOD]))
    assert narrowed != everything
    assert page.locator("[data-narrowed=donnings] .sb-chart__box > svg").inner_html() != chart
    page.reload()
    expect(page.locator(SAID)).to_have_text(said_of(demo, METHOD))
    assert rows(page) == narrowed
    expect(page.get_by_label(MEASURED_BY)).to_have_value(METHOD)
    page.get_by_label(MEASURED_BY).select_option(OTHER)
    expect(page.locator(SAID)).to_have_text(said_of(demo, OTHER))
    assert sorted(rows(page)) == sorted(expected(demo.by_method[OTHER]))
    page.go_back()
    expect(page.locator(SAID)).to_have_text(said_of(demo, METHOD))
    page.get_by_label(MEASURED_BY).select_option("")
    expect(page.locator(SAID)).to_have_text(mixed)
    at(page, f"masks/{MASK}/")
    assert rows(page) == everything
    assert page.locator("[data-narrowed=donnings] .sb-chart__box > svg").inner_html() == chart


def test_a_narrowed_chart_can_be_looked_into(page: Page, demo: Dataset) -> None:
    page.goto(f"masks/{MASK}/?method={METHOD}")
    expect(page.locator(SAID)).to_have_text(said_of(demo, METHOD))
    page.get_by_role("button", name="Look closer").click()
    expect(page.locator(".sb-chart__live")).to_be_focused()
    page.keyboard.press("End")
    expect(page.locator("[data-narrowed=donnings] .sb-chart__more [role=status]")).not_to_be_empty()


def test_links_between_pages_of_figures_keep_the_method(page: Page, demo: Dataset) -> None:
    page.goto(f"explore/?method={METHOD}&q={MASK}")
    expect(page.locator(".sb-explorer__method")).to_contain_text("Only what was measured by")
    page.locator(f".sb-explorer__table a[href*='{MASK}/'][href$='#{MASK}']").click()
    expect(page.locator(SAID)).to_have_text(said_of(demo, METHOD))
    at(page, f"masks/{MASK}/?method={METHOD}#{MASK}")
    compare = (
        page.get_by_role("link", name="Compare", exact=False, include_hidden=True).and_(page.locator("main a")).first
    )
    assert (compare.get_attribute("href") or "").endswith(f"&method={METHOD}")
    assert page.locator(".sb-crumbs a").get_attribute("href") == f"../../explore/?method={METHOD}"
    share = page.get_by_role("link", name="Share the figures").get_attribute("href")
    assert share == "share/"
    page.get_by_label(MEASURED_BY).select_option("")
    expect(page.locator(SAID)).to_contain_text("mixed in these figures")
    assert page.locator(".sb-crumbs a").get_attribute("href") == "../../explore/"


def test_a_hack_shows_what_was_measured_alike_and_what_that_comes_to(page: Page, demo: Dataset) -> None:
    page.goto(f"hacks/broad-strip/?method={METHOD}")
    expect(page.locator(SAID)).to_contain_text("Only what was measured by Short, four exercises")
    effect = demo.by_method[METHOD].hacks["broad-strip"]
    table = page.get_by_role("region", name="Effect by mask and wearer", include_hidden=True)
    expect(table.locator("tbody tr")).to_have_count(len(effect.contrasts))
    expect(page.locator("[data-narrowed=lead] .sb-lead").first).to_contain_text(f"over {effect.k} comparisons")


def test_a_cell_shows_what_was_tried_in_it_by_a_method(page: Page, demo: Dataset) -> None:
    page.goto(f"faces/cell-4/?method={METHOD}")
    expect(page.locator(SAID)).to_contain_text("Only what was measured by Short, four exercises")
    tried = demo.by_method[METHOD].summary_by_cell["4"]
    expect(page.locator("[aria-labelledby=tried] tbody tr")).to_have_count(len(tried))


def test_a_method_that_a_page_has_no_test_of_is_said(page: Page, demo: Dataset) -> None:
    page.goto(f"masks/{MASK}/?method=free..")
    expect(page.locator(SAID)).to_have_text(
        "Nothing here was measured by the method that the address asks for, so all methods are shown."
    )
    expect(page.get_by_label(MEASURED_BY)).to_have_value("")
    one = next(mask for mask, methods in demo.methods_by_mask.items() if not methods.mixed)
    page.goto(f"masks/{one}/?method={demo.methods_by_mask[one].each[0].id}")
    expect(page.locator(SAID)).to_contain_text("All measured by one method: ")


def test_figures_that_do_not_come_leave_all_methods_and_say_so(context: BrowserContext, watch: Watch) -> None:
    context.route("**/methods/*.packed", lambda route: route.abort())
    page = context.new_page()
    page.goto(f"masks/{MASK}/")
    everything = rows(page)
    page.get_by_label(MEASURED_BY).select_option(METHOD)
    expect(page.locator(SAID)).to_have_text("The figures by this method could not be loaded, so all methods are shown.")
    assert rows(page) == everything
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


@pytest.mark.parametrize("address", [f"masks/{MASK}/", "hacks/broad-strip/", "faces/cell-4/"])
def test_narrowed_pages_have_no_accessibility_faults(page: Page, address: str) -> None:
    page.goto(f"{address}?method={METHOD}")
    expect(page.locator(SAID)).to_contain_text("Only what was measured by")
    assert axe(page) == []


def face_types(data: Dataset, mask: str) -> list[tuple[str, str]]:
    own = data.counted[data.counted["mask"] == mask]
    cells, bridges = ([*sorted(own[column].unique()), ""] for column in ("cell", "nose_bridge"))
    return [(cell, bridge) for cell in cells for bridge in bridges]


def test_figures_over_a_face_type_are_the_builders(scripts: Page, demo: Dataset) -> None:
    """All that the table shows, of every mask, every cell, every nose bridge and both together."""
    script = """async (asked) => {
        const { load } = await import("/assets/scripts/common/files.js");
        const { overFaces } = await import("/assets/scripts/common/over-faces.js");
        return Promise.all(asked.map(async ([mask, types]) => {
            const published = await load(`/masks/${mask}/donnings.packed`);
            return types.map(([cell, bridge]) => {
                const { dots, wearers, figures } = overFaces(published, { cell, bridge });
                return { tests: dots.length, wearers, rows: published.ids.map((id, row) => [id, figures[row]]) };
            });
        }));
    }"""
    masks = sorted(demo.counted["mask"].unique())[:6]
    asked = [[mask, face_types(demo, mask)] for mask in masks]
    shown = [name for name in FIGURES if not name.startswith(("geometric_mean", "set_aside", "gsd"))]
    compared = 0
    for (mask, types), found in zip(asked, scripts.evaluate(script, asked), strict=True):
        for (cell, bridge), over in zip(types, found, strict=True):
            own = demo.counted[demo.counted["mask"] == mask]
            own = own[(own["cell"] == (cell or own["cell"])) & (own["nose_bridge"] == (bridge or own["nose_bridge"]))]
            assert (over["tests"], over["wearers"]) == (len(own), own["wearer"].nunique())
            summary = {row["configuration"]: row for row in rows_of(summarise(own))} if len(own) else {}
            for configuration, figures in over["rows"]:
                assert (figures is None) == (configuration not in summary)
                for name in shown if figures else ():
                    known = summary[configuration][name]
                    known = None if isinstance(known, float) and math.isnan(known) else known
                    assert figures[name] == pytest.approx(known), (configuration, cell, bridge, name)
                    compared += 1
    assert compared > 3000


def test_a_mask_is_narrowed_to_a_face_type_beside_a_method_and_back(page: Page, demo: Dataset) -> None:
    page.goto(f"masks/{MASK}/")
    everything, lead = rows(page), page.locator("[data-narrowed=lead]").text_content()
    still = page.locator("[data-narrowed=donnings] .sb-chart__box > svg")
    expect(page.locator(".sb-donnings__said")).to_have_count(1)
    picture = still.inner_html()
    page.get_by_label("Nose bridge").select_option("high")
    own = demo.counted[(demo.counted["mask"] == MASK) & (demo.counted["nose_bridge"] == "high")]
    summary = {row["configuration"]: row for row in rows_of(summarise(own))}
    expect(page.locator(SAID)).to_have_text(
        f"{methods_sentence(demo.methods_by_mask[MASK])} Only these faces: high bridge. {len(own)} tests on 2 wearers."
    )
    at(page, f"masks/{MASK}/?bridge=high")
    table = page.locator("[aria-labelledby=configurations] tbody tr:not([hidden])")
    assert table.evaluate_all("all => all.map(row => row.id)") == [name for name, _ in everything if name in summary]
    sold = table.first.locator("td").all_text_contents()
    row = summary[MASK]
    assert [re.sub(r"[^\S\u202f]+", " ", text).strip() for text in sold] == [
        fit(row["median_fit_factor"], row["median_at_least"]),
        "",
        "2",
        f"{figure(row['lowest_fit_factor'])}–{fit(row['highest_fit_factor'], row['highest_at_least'])}",
        str(row["tests"]),
        f"{reach_label(row)} ({interval_label(row)})",
    ]
    expect(page.locator("[data-narrowed=lead]")).to_have_text(
        f"On these faces, as sold: a median fit factor of {fit(row['median_fit_factor'], row['median_at_least'])}"
        f" on 2 wearers; {reach_label(row)} reach 100. Only 2 faces: a start, no more."
    )
    shown = still.locator("[data-wearer]:not(.sb-donnings--out)")
    assert sorted(shown.evaluate_all("all => all.map(one => one.dataset.wearer)")) == sorted(own["wearer"].unique())
    expect(page.locator(".sb-narrow__whole")).to_be_visible()
    # The figure to look into is of these faces too.
    page.get_by_role("button", name="Look closer").click()
    expect(page.locator(".sb-chart__live .scatterlayer .trace")).to_have_count(1 + own["wearer"].nunique())
    assert axe(page) == []
    # A method beside it.
    page.get_by_label(MEASURED_BY).select_option(METHOD)
    both = own[own["protocol"] == METHOD.partition(".")[0]]
    expect(page.locator(SAID)).to_contain_text(
        f"Only these faces: high bridge. {count('test', len(both))} on {count('wearer', both['wearer'].nunique())}."
    )
    assert page.locator(".sb-crumbs a").get_attribute("href") == f"../../explore/?method={METHOD}&bridge=high"
    page.reload()
    expect(page.locator(SAID)).to_contain_text("Only these faces: high bridge.")
    page.get_by_label(MEASURED_BY).select_option("")
    page.get_by_label("Nose bridge").select_option("")
    expect(page.locator(SAID)).to_have_text(methods_sentence(demo.methods_by_mask[MASK]))
    assert page.locator("[data-narrowed=lead]").text_content() == lead
    assert rows(page) == everything
    assert still.inner_html().replace(' class=""', "") == picture
    expect(page.locator(".sb-narrow__whole")).to_be_hidden()


def test_a_face_that_nobody_has_is_said_and_what_does_not_come_too(context: BrowserContext, watch: Watch) -> None:
    page = context.new_page()
    page.goto(f"masks/{MASK}/?cell=4&bridge=high")
    expect(page.locator(SAID)).to_contain_text("Nobody with such a face tried this, so all faces are shown.")
    page.goto(f"masks/{MASK}/?cell=no")
    expect(page.locator(SAID)).to_contain_text("Nobody with such a face tried this, so all faces are shown.")
    context.route("**/donnings.packed", lambda route: route.abort())
    page.get_by_label("Nose bridge").select_option("low")
    page.get_by_label("Faces in").select_option("")
    expect(page.locator(SAID)).to_contain_text(
        "The figures over these faces could not be loaded, so all faces are shown."
    )
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()
