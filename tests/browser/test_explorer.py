"""The explorer in a browser: what is found, what the address holds, and that its figures are the builder's own."""

from __future__ import annotations

import csv
import io
import itertools
import json
import math
import re
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pandas as pd
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from builder.findings.dataset import Dataset
from builder.fit.summary.shares import wilson
from builder.fit.summary.summaries import summarise
from builder.site.explorer_page import COLUMNS, FIGURES, SHOWN_COLUMNS, configuration_rows
from builder.site.row_strips import RowStrips
from builder.words.catalogue import count
from builder.words.change_effects import change_effects
from builder.words.numbers import figure, fit
from builder.words.opendata.formats import FORMULA_STARTS, as_csv
from tests.browser.conftest import Watch, axe

ROWS = ".sb-explorer__table tbody tr"
COUNT = ".sb-explorer__count"
NOTE = ".sb-explorer__note"
BAR = ".sb-explorer__bar"
CHOSEN = f"{BAR} [role=status]"
BOXES = f"{ROWS} input[type=checkbox]"


def explore(page: Page, query: str = "") -> None:
    """Open the explorer and wait until its script has drawn the table."""
    page.goto(f"explore/{query}")
    expect(page.locator(COUNT)).not_to_be_empty()


def shown(page: Page) -> list[str]:
    """The configurations in the table, all of them, by the anchor their links lead to."""
    # Beyond a screen's rows they come in the next frame; fifty, and more when asked for.
    if said := page.locator(COUNT).text_content():  # nothing without scripts
        expect(page.locator(ROWS)).to_have_count(min(int(said.split()[0]), 50))
    more = page.locator(".sb-explorer__next")
    while more.is_visible():
        more.click()
    links: list[str] = page.locator(f"{ROWS} th a").evaluate_all("all => all.map(a => a.getAttribute('href'))")
    return [link.partition("#")[2] for link in links]


def in_page(page: Page, script: str, *arguments: object) -> Any:
    """Run a piece of script over the explorer's modules and the published files."""
    prepared = """
        const from = (name) => import(`/assets/scripts/${name}.js`);
        const load = async (name) => (await fetch(`/explore/${name}.json`)).json();
    """
    return page.evaluate(f"async (args) => {{ {prepared} {script} }}", arguments)


@pytest.fixture
def explorer(page: Page) -> Page:
    """The explorer, opened at its plain address."""
    explore(page)
    return page


def test_everything_is_shown_at_first(explorer: Page, demo: Dataset) -> None:
    n = len(configuration_rows(demo))
    expect(explorer.locator(COUNT)).to_have_text(re.compile(f"^{n} configurations"))
    expect(explorer.locator(ROWS)).to_have_count(min(n, 50))


def test_the_script_draws_what_the_builder_wrote(browser: Browser, site_url: str, explorer: Page) -> None:
    bare = browser.new_context(base_url=site_url, java_script_enabled=False)
    without = bare.new_page()
    without.goto("explore/")
    assert sorted(shown(explorer)) == sorted(shown(without))
    cells = """all => all.map(row => [...row.cells].filter(cell => !cell.matches(".sb-explorer__tick"))
        .map(cell => cell.textContent.trim().replace(/\\s+/g, " ")).sort())"""
    by_text = [sorted(page.locator(ROWS).evaluate_all(cells)) for page in (without, explorer)]
    assert by_text[0] == by_text[1]
    # Python writes a whole number as 9.0, a browser as 9.
    markup = "all => all.map(svg => svg.outerHTML.replace(/\\.0(?!\\d)/g, '')).sort()"
    pictures = [page.locator(f"{ROWS} .sb-strip").evaluate_all(markup) for page in (without, explorer)]
    assert pictures[0] == pictures[1]
    bare.close()


def test_search_finds_every_word(explorer: Page) -> None:
    published = in_page(explorer, "return (await from('explorer/rows')).rowsFrom(await load('configurations'))")
    for words in ("", "stiff", "FFP2", "headbands", "three-panel ffp2"):
        explorer.get_by_label("Search", exact=True).fill("")
        explorer.get_by_label("Search", exact=True).press_sequentially(words)
        wanted = words.lower().split()
        expected = {row["id"] for row in published if all(word in row["text"].lower() for word in wanted)}
        assert set(shown(explorer)) == expected
        assert words == "" or 0 < len(expected) < len(published)


def test_search_ignores_case_accents_and_order(explorer: Page, demo: Dataset) -> None:
    first = configuration_rows(demo)[0]
    words = f"{first.maker} {first.mask_label}".upper().replace("E", "É")
    explorer.get_by_label("Search", exact=True).fill(words)
    assert first.id in shown(explorer)


def test_nothing_found_says_so(explorer: Page) -> None:
    explorer.get_by_label("Search", exact=True).fill("no such thing")
    expect(explorer.locator(COUNT)).to_contain_text(re.compile(r"^0 of \d+ configurations. Try fewer"))
    expect(explorer.locator(ROWS)).to_have_count(0)


def test_each_filter_keeps_what_it_names(explorer: Page, demo: Dataset) -> None:
    filters = {"Style": "style", "Class": "mask_class", "Straps": "straps", "Change": "parts"}
    for label, column in filters.items():
        filter_keeps_what_it_names(explorer, demo, label, column)
        explorer.get_by_label(label, exact=True).select_option("")


def filter_keeps_what_it_names(explorer: Page, demo: Dataset, label: str, column: str) -> None:
    rows = configuration_rows(demo)
    select = explorer.get_by_label(label, exact=True)
    values = select.locator("option").evaluate_all("all => all.map(option => option.value).filter(Boolean)")
    assert len(values) > 1
    for value in values:
        select.select_option(value)
        if value == "as_sold":
            expected = {row.id for row in rows if not row.parts}
        elif value == "any_part":
            expected = {row.id for row in rows if row.parts}
        else:
            expected = {row.id for row in rows if value in getattr(row, column).split("+")}
        assert set(shown(explorer)) == expected
        assert expected


def test_fewest_wearers(explorer: Page, demo: Dataset) -> None:
    explorer.get_by_label("At least … wearers").fill("5")
    summary = demo.summary[demo.summary["wearers"] >= 5]
    assert set(shown(explorer)) == set(summary["configuration"])
    expect(explorer.locator(COUNT)).to_have_text(
        re.compile(f"^{len(summary)} of {len(configuration_rows(demo))} configurations")
    )


def test_two_of_two_do_not_stand_above_twenty_of_twenty_three(scripts: Page) -> None:
    script = """async shares => {
        const { view } = await import(new URL("../assets/scripts/explorer/rows.js", location.href));
        const { EVERYTHING } = await import(new URL("../assets/scripts/explorer/view-state.js", location.href));
        const rows = shares.map((share, place) => ({ ...share, id: String(place), tokens: [], text: "", wearers: 9 }));
        return view(rows, { ...EVERYTHING, sort: "-share" }).map((row) => Number(row.id));
    }"""
    shares = [
        {"share_at_100": reached / n, "share_at_100_low": wilson(reached, n).low}
        for reached, n in [(2, 2), (20, 23), (0, 5), (3, 4)]
    ]
    assert scripts.evaluate(script, shares) == [1, 0, 3, 2]


def test_columns_sort_by_keyboard(explorer: Page, demo: Dataset) -> None:
    header = explorer.locator("th[data-sort=median]")
    header.locator("button").focus()
    medians = demo.summary.set_index("configuration")["median_fit_factor"]
    for key, order, falling in (("Enter", "descending", True), ("Space", "ascending", False)):
        explorer.keyboard.press(key)
        expect(header).to_have_attribute("aria-sort", order)
        values = [medians[configuration] for configuration in shown(explorer)]
        assert values == sorted(values, reverse=falling)
    expect(explorer.locator("th[aria-sort]")).to_have_count(1)
    expect(header.locator("button")).to_be_focused()


def test_what_has_no_figure_comes_last_in_either_order(scripts: Page, demo: Dataset) -> None:
    script = """
        const { rowsFrom, view, SORTS } = await from("explorer/rows");
        const { EVERYTHING } = await from("explorer/view-state");
        const [columns, figures] = args;
        const [first, ...rest] = rowsFrom(await load("configurations"));
        const without = { ...first, ...Object.fromEntries(figures.map((figure) => [figure, null])) };
        if (columns.some((column) => SORTS[column].by(without) !== null)) throw new Error("there is a figure");
        // In the middle, so that it has to move in both orders.
        const rows = [...rest.slice(0, 20), without, ...rest.slice(20)];
        const place = (sort) => view(rows, { ...EVERYTHING, sort }).indexOf(without);
        return columns.flatMap((column) => [place(column), place(`-${column}`)]);
    """
    columns = ["median", "lowest", "wearer_median", "geometric_mean", "leakage", "share"]
    last = len(configuration_rows(demo)) - 1
    assert in_page(scripts, script, columns, FIGURES) == [last] * 12


def test_every_control_is_reached_by_keyboard(explorer: Page) -> None:
    explorer.get_by_label("Search", exact=True).focus()
    reached = set()
    for _ in range(32):
        explorer.keyboard.press("Tab")
        reached.add(
            explorer.evaluate(
                "(() => { const a = document.activeElement;"
                "return a.name || a.dataset.action || a.closest('[data-sort]')?.dataset.sort || a.type || 'row' })()"
            )
        )
    controls = {"style", "class", "straps", "hack", "cell", "bridge", "wearers", "clear", "copy", "checkbox", "row"}
    assert controls | {"csv", "mask", "change", "median", "lowest", "share", "wearers", "effect"} <= reached


def test_a_row_leads_to_its_place_on_the_masks_page(explorer: Page, demo: Dataset) -> None:
    explorer.get_by_label("Change", exact=True).select_option("any_part")
    wanted = shown(explorer)[0]
    explorer.locator(f"{ROWS} th a").first.click()
    explorer.wait_for_url(f"**/masks/{wanted.partition('+')[0]}/#{wanted}")
    expect(explorer.locator(":target")).to_have_count(1)


STATES = [
    "",
    "?q=stiff+strip",
    "?q=%22a%26b%23%22",
    "?style=cup&sort=-median",
    "?class=ffp2&hack=as_sold&wearers=3",
    "?straps=ear-loops&hack=any_part&sort=change",
    "?cell=4&sort=wearers",
    "?bridge=high&wearers=2&sort=mask",
    "?sort=tests&columns=median.tests",
]


def test_an_address_opens_the_same_view(page: Page) -> None:
    for query in STATES:
        page.goto("about:blank")
        opens_the_same_view(page, query)


def opens_the_same_view(page: Page, query: str) -> None:
    explore(page, query)
    expect(page.locator(NOTE)).to_be_hidden()
    first = (shown(page), page.locator(COUNT).text_content(), page.locator("form.sb-explorer__form").evaluate(FIELDS))
    # Taking the state from the page and writing it back must give the same address.
    page.evaluate("navigator.clipboard.writeText = async (text) => { window.copied = text }")
    page.get_by_role("button", name="Copy link").click()
    expect(page.locator(NOTE)).to_have_text("Link copied.")
    copied = page.evaluate("window.copied")
    expect(page).to_have_url(copied)
    assert copied.partition("?")[2] == query.removeprefix("?")
    page.goto("about:blank")
    page.goto(copied)
    expect(page.locator(COUNT)).not_to_be_empty()
    again = (shown(page), page.locator(COUNT).text_content(), page.locator("form.sb-explorer__form").evaluate(FIELDS))
    assert again == first


FIELDS = "form => Object.fromEntries(new FormData(form))"


def test_state_and_query_are_inverse(scripts: Page) -> None:
    texts = ["", "a b", "ä+&=#%25", "≥ 1", "'\"<>"]
    choices = itertools.product(texts, ["", "cup"], ["", "as_sold"], ["", "outside"], ["", "12"], ["mask", "-median"])
    states = [
        {"q": q, "style": style, "class": "", "straps": "", "hack": hack, "cell": cell, "bridge": "", "wearers": n}
        | {"sort": sort, "method": "one-exercise..all-sizes" if hack else "", "near": "" if q else "117.3x138-high"}
        | {"columns": "tests" if cell else ""}
        for q, style, hack, cell, n, sort in choices
    ]
    script = """
        const { queryOf, stateFrom } = await from("explorer/view-state");
        const { chosenFrom } = await from("compare/choice");
        const [states, ids] = args;
        const queries = states.map((state, i) => queryOf(state, ids.slice(0, i % 7)));
        return queries.map((query) => [stateFrom(query, {}), chosenFrom(query, new Set(ids))]);
    """
    ids = [f"mask-{n}+part-a+no-nose-foam" for n in range(6)]
    for n, (shown, chosen) in enumerate(in_page(scripts, script, states, ids)):
        assert shown == {"state": states[n], "ignored": []}
        assert chosen == {"chosen": ids[: n % 7], "unknown": [], "tooMany": []}


def test_the_address_follows_and_going_back_restores(explorer: Page) -> None:
    explorer.get_by_label("Style", exact=True).select_option("cup")
    expect(explorer).to_have_url(re.compile(r"explore/\?style=cup$"))
    found = shown(explorer)
    explorer.locator(f"{ROWS} th a").first.click()
    explorer.wait_for_url("**/masks/**")
    explorer.go_back()
    expect(explorer.get_by_label("Style", exact=True)).to_have_value("cup")
    expect(explorer.locator(ROWS)).to_have_count(len(found))
    explorer.evaluate("history.pushState(null, '', '?q=ffp2')")
    explorer.go_back()
    expect(explorer.get_by_label("Style", exact=True)).to_have_value("cup")
    explorer.go_forward()
    expect(explorer.get_by_label("Search", exact=True)).to_have_value("ffp2")
    expect(explorer.get_by_label("Style", exact=True)).to_have_value("")


def test_unknown_values_are_named_and_left_out(page: Page, demo: Dataset) -> None:
    explore(page, "?style=<b>x&sort=-nothing&wearers=-3&stray=1&class=ffp2")
    note = page.locator(NOTE)
    expect(note).to_contain_text("style “<b>x”, order “-nothing”, number of wearers “-3”")
    expected = {row.id for row in configuration_rows(demo) if row.mask_class == "ffp2"}
    assert set(shown(page)) == expected
    page.get_by_role("button", name="Show all").click()
    expect(note).to_be_hidden()
    expect(page).to_have_url(re.compile(r"explore/$"))
    expect(page.get_by_label("Class", exact=True)).to_have_value("")


def test_the_headers_search_leads_here(page: Page) -> None:
    page.goto("")
    page.get_by_label("Find a mask, a part or a page").first.fill("headbands")
    page.keyboard.press("Enter")
    page.wait_for_url("**/explore/?q=headbands")
    expect(page.get_by_label("Search", exact=True)).to_have_value("headbands")


def test_choosing_a_face_shows_those_figures(explorer: Page, demo: Dataset) -> None:
    counted = demo.counted
    cell, bridge = counted[["cell", "nose_bridge"]].value_counts().index[0]
    explorer.get_by_label("Face cell").select_option(cell)
    explorer.get_by_label("Nose bridge").select_option(bridge)
    mine = counted[(counted["cell"] == cell) & (counted["nose_bridge"] == bridge)]
    expected = summarise(mine).set_index("configuration")
    who = count("wearer", mine["wearer"].nunique())
    expect(explorer.locator(COUNT)).to_contain_text(f"Figures are over the {who} in cell {cell} with a {bridge} bridge")
    assert set(shown(explorer)) == set(expected.index)
    cells = "all => all.map(row => [row.querySelector('a').hash.slice(1), row.cells[3].textContent])"
    assert dict(explorer.locator(ROWS).evaluate_all(cells)) == {
        configuration: fit(row["median_fit_factor"], row["median_at_least"])
        for configuration, row in expected.iterrows()
    }


def test_a_face_type_that_nobody_has_leaves_nothing(explorer: Page, demo: Dataset) -> None:
    types = set(zip(demo.counted["cell"], demo.counted["nose_bridge"], strict=True))
    offered = (sorted(set(demo.counted[name])) for name in ("cell", "nose_bridge"))
    cell, bridge = next(face for face in itertools.product(*offered) if face not in types)
    explorer.get_by_label("Face cell").select_option(cell)
    explorer.get_by_label("Nose bridge").select_option(bridge)
    expect(explorer.locator(COUNT)).to_contain_text("Figures are over the 0 wearers")
    expect(explorer.locator(ROWS)).to_have_count(0)


def test_a_face_type_in_words(scripts: Page) -> None:
    words = {
        ("4", "high"): "in cell 4 with a high bridge",
        ("outside", ""): "outside the panel",
        ("", "low"): "with a low bridge",
        ("unknown", "low"): "with a low bridge whose face was not measured",
        ("unknown", "unknown"): "whose face was not measured and whose bridge was not judged",
    }
    script = """
        const { faceWords } = await from("explorer/view-words");
        return args[0].map(([cell, bridge]) => faceWords(3, { cell, bridge }));
    """
    expected = [f"Figures are over the 3 wearers {who}." for who in words.values()]
    assert in_page(scripts, script, list(words)) == expected


def test_without_its_file_the_face_filter_is_off(context: BrowserContext, watch: Watch, demo: Dataset) -> None:
    context.route("**/faces/*.packed", lambda route: route.abort())
    page = context.new_page()
    explore(page, "?cell=4")
    expect(page.locator(NOTE)).to_have_text(
        "The tests could not be loaded, so the figures are over all faces and methods."
    )
    expect(page.get_by_label("Face cell")).to_have_value("")
    assert len(shown(page)) == len(configuration_rows(demo))
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


def test_without_the_data_the_published_table_stays(context: BrowserContext, watch: Watch, demo: Dataset) -> None:
    context.route("**/configurations.json", lambda route: route.abort())
    page = context.new_page()
    page.goto("explore/")
    expect(page.locator(NOTE)).to_contain_text("could not be loaded")
    assert len(shown(page)) == len(configuration_rows(demo))
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


def test_figures_are_written_as_the_builder_writes_them(scripts: Page) -> None:
    random = np.random.default_rng(5)
    numbers = [
        *(0.0, 1.0, 9.995, 9.996, 10.0, 99.95, 100.0, 112.5, 113.5, 999.5, 1000.0, 1125.0, 1135.0, 12345.678, 1e7),
        *(1.005, 1.125, 1.135, 2.675, 0.5, 0.1245, 0.0001235, 1 / 3, 2 / 3, 100 / 3),
        *(numerator / 8 for numerator in range(1, 2000)),
        *np.exp(random.uniform(-7, 16, 2000)).tolist(),
    ]
    script = """
        const { figure, fit } = await from("common/figures");
        return [args[0].map(figure), args[0].map((number) => fit(number, true)), figure(null), fit(null, true)];
    """
    plain, lower, none, no_limit = in_page(scripts, script, numbers)
    assert plain == [figure(number) for number in numbers]
    assert lower == [fit(number, True) for number in numbers]
    assert (none, no_limit) == (figure(math.nan), fit(math.nan, True))


def test_strips_are_those_of_the_builder(explorer: Page, context: BrowserContext) -> None:
    geometry = json.loads(context.request.get("explore/configurations.json").text())["strip"]
    random = np.random.default_rng(3)
    values = np.sort(np.exp(random.uniform(0, math.log(geometry["top"]), (200, 3))), axis=1).round(2).tolist()
    limits = (random.random((200, 2)) < 0.5).tolist()
    rows = [(*reach, *of_reach) for reach, of_reach in zip(values, limits, strict=True)]
    script = """
        const { strip } = await from("common/strip");
        return args[0].map(([low, middle, high, highAtLeast, atLeast]) => strip({
          lowest_fit_factor: low, median_fit_factor: middle, highest_fit_factor: high,
          highest_at_least: highAtLeast, median_at_least: atLeast,
        }, args[1]).outerHTML);
    """
    strips = RowStrips(geometry["top"])
    for row, given in zip(rows, in_page(explorer, script, rows, geometry), strict=True):
        expected = ElementTree.fromstring(strips.strip(*row))
        assert _elements(ElementTree.fromstring(given)) == _elements(expected), row


def test_the_picture_of_comfort_is_the_builders_and_follows_the_filter(explorer: Page) -> None:
    marks = explorer.locator(".sb-comfort__marks > a")
    script = 'all => all.map(one => [one.outerHTML.replace(/ xmlns="[^"]*"/g, \'\'), one.textContent])'
    built = marks.evaluate_all(script)
    explorer.locator(".sb-comfort > summary").click()
    expect(marks.first).to_be_visible()
    expect(marks).to_have_count(len(built))
    for (drawn, said), (known, told) in zip(marks.evaluate_all(script), built, strict=True):
        assert said == told
        assert _elements(ElementTree.fromstring(drawn)) == _elements(ElementTree.fromstring(known)), said
    assert axe(explorer) == []
    explorer.get_by_label("Nose bridge").select_option("high")
    expect(marks).not_to_have_count(len(built))
    assert 0 < marks.count() < len(built)
    assert "bridge=high" in (marks.first.get_attribute("href") or "")
    with explorer.expect_navigation():
        marks.first.press("Enter")
    expect(explorer.locator(".sb-narrow__said")).to_contain_text("high bridge")


def _elements(picture: ElementTree.Element) -> list[tuple[str, dict[str, str]]]:
    """Each element of a picture with its attributes."""
    return [(element.tag.rpartition("}")[2], dict(element.attrib)) for element in picture.iter()]


def test_many_rows_come_fifty_at_a_time(context: BrowserContext, demo: Dataset) -> None:
    published = json.loads(context.request.get("explore/configurations.json").text())
    columns = published["configurations"]
    places = [index % len(columns["id"]) for index in range(3000)]
    published["configurations"] = {name: [column[place] for place in places] for name, column in columns.items()}
    context.route("**/configurations.json", lambda route: route.fulfill(json=published))
    page = context.new_page()
    explore(page)
    expect(page.locator(ROWS)).to_have_count(50)
    expect(page.locator(COUNT)).to_have_text("3\u202f000 configurations.")
    more = page.get_by_role("button", name=re.compile("Show 50 more"))
    more.click()
    expect(page.locator(ROWS)).to_have_count(100)
    expect(page.locator(f"{ROWS} th a").nth(50)).to_be_focused()


def choose(page: Page, n: int) -> list[str]:
    """Tick the first n boxes; the ids they stand for."""
    boxes = page.locator(BOXES)
    for place in range(n):
        boxes.nth(place).check()
    ids: list[str] = boxes.evaluate_all(f"all => all.slice(0, {n}).map(box => box.value)")
    return ids


def test_each_tested_configuration_can_be_ticked(explorer: Page, demo: Dataset) -> None:
    shown(explorer)
    names = {
        f"Compare {row.mask_label}, {row.change}" for row in configuration_rows(demo) if row.figures["wearers"] != 0
    }
    boxes = explorer.get_by_role("checkbox", name=re.compile("^Compare "))
    expect(boxes).to_have_count(len(names))
    assert set(boxes.evaluate_all("all => all.map(box => box.ariaLabel)")) == names
    expect(explorer.locator(CHOSEN)).to_be_empty()
    expect(explorer.locator(BAR).get_by_role("link")).to_be_hidden()


def test_without_a_test_that_counts_there_is_no_box(context: BrowserContext, watch: Watch) -> None:
    published = json.loads(context.request.get("explore/configurations.json").text())
    published["configurations"]["wearers"][0] = 0
    ids = published["configurations"]["id"]
    context.route("**/configurations.json", lambda route: route.fulfill(json=published))
    page = context.new_page()
    explore(page, f"?c={ids[0]}&c={ids[1].replace('+', '%2B')}")
    assert ids[0] not in page.locator(BOXES).evaluate_all("all => all.map(box => box.value)")
    expect(page.locator(NOTE)).to_have_text(f"There is no test that counts of {ids[0]} here, so it cannot be compared.")
    expect(page.locator(CHOSEN)).to_contain_text("1 configuration chosen.")


def test_ticked_rows_lead_to_their_comparison(explorer: Page) -> None:
    ids = choose(explorer, 2)
    assert any("+" in configuration for configuration in ids)
    expect(explorer.locator(CHOSEN)).to_have_text("2 configurations chosen.")
    explorer.locator(BAR).get_by_role("link", name="Compare").click()
    query = "&".join(f"c={configuration.replace('+', '%2B')}" for configuration in ids)
    explorer.wait_for_url(lambda address: address.endswith(f"/compare/?{query}"))
    expect(explorer.locator(".sb-compare__chosen li")).to_have_count(2)
    explorer.go_back()
    expect(explorer.locator(CHOSEN)).to_have_text("2 configurations chosen.")
    expect(explorer.locator(f"{BOXES}:checked")).to_have_count(2)
    checked = explorer.locator(f"{BOXES}:checked").evaluate_all("all => all.map(box => box.value)")
    assert checked == ids


def test_ticks_outlast_search_filters_and_order(explorer: Page) -> None:
    ids = choose(explorer, 3)
    search = explorer.get_by_label("Search", exact=True)
    search.fill("no such thing")
    expect(explorer.locator(ROWS)).to_have_count(0)
    expect(explorer.locator(CHOSEN)).to_have_text("3 configurations chosen.")
    search.fill("")
    explorer.locator("th[data-sort=median] button").click()
    explorer.get_by_label("Class", exact=True).select_option(index=1)
    explorer.get_by_label("Face cell").select_option(index=1)
    explorer.get_by_role("button", name="Show all").click()
    expect(explorer.locator(f"{BOXES}:checked")).to_have_count(3)
    assert explorer.locator(f"{BOXES}:checked").evaluate_all("all => all.map(box => box.value)") == ids
    explorer.locator(f"{BOXES}:checked").first.uncheck()
    expect(explorer).to_have_url(
        re.compile(rf"explore/\?{'&'.join(f'c={one}' for one in ids[1:])}$".replace("+", "%2B"))
    )


def test_a_tick_keeps_the_rows_and_the_keyboard_in_place(explorer: Page, demo: Dataset) -> None:
    rows = len(shown(explorer))
    box = explorer.locator(BOXES).nth(rows // 2)
    box.focus()
    explorer.keyboard.press("Space")
    expect(box).to_be_checked()
    expect(box).to_be_focused()
    expect(explorer.locator(ROWS)).to_have_count(rows)
    expect(explorer.locator(CHOSEN)).to_have_text("1 configuration chosen. Choose another to compare it with.")
    # What has the keyboard is never beneath the bar.
    for _ in range(4 * (rows - rows // 2)):
        covered = explorer.evaluate(
            "document.activeElement.getBoundingClientRect().bottom"
            f" - document.querySelector('{BAR}').getBoundingClientRect().top"
        )
        if explorer.locator(f"{BAR} :focus").count():
            break
        assert covered <= 0
        explorer.keyboard.press("Tab")
    expect(explorer.locator(BAR).get_by_role("link")).to_be_focused()
    explorer.keyboard.press("Tab")
    explorer.keyboard.press("Enter")
    expect(explorer.locator(f"{BOXES}:checked")).to_have_count(0)
    expect(explorer.locator(CHOSEN)).to_be_empty()
    expect(explorer.locator(BAR).get_by_role("link")).to_be_hidden()
    expect(box).to_be_focused()
    expect(explorer).to_have_url(re.compile(r"explore/$"))


def test_six_are_the_most(page: Page, demo: Dataset) -> None:
    ids = [row.id for row in configuration_rows(demo) if row.figures["wearers"] != 0]
    explore(page, "?" + "&".join(f"c={one}" for one in [*ids[:7], "no-such"]).replace("+", "%2B"))
    expect(page.locator(NOTE)).to_contain_text(
        f"There is no test that counts of no-such here, so it cannot be compared. "
        f"At most 6 can be compared, so {ids[6]} was left out."
    )
    expect(page.locator(CHOSEN)).to_contain_text("6 configurations chosen. That is the most that can be compared")
    boxes = page.locator(BOXES)
    assert set(shown(page)) >= set(ids)
    expect(page.locator(f"{BOXES}:disabled")).to_have_count(len(ids) - 6)
    expect(page.locator(f"{BOXES}:disabled").first).to_have_attribute("title", "At most 6 can be compared")
    page.locator(f"{BOXES}:checked").first.uncheck()
    expect(page.locator(f"{BOXES}:disabled")).to_have_count(0)
    expect(boxes.and_(page.locator("[title]:not([title=''])"))).to_have_count(0)


@pytest.mark.parametrize("width", [1280, 390])
def test_the_bar_stays_in_sight_and_covers_no_row_at_the_end(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 700})
    explore(page)
    choose(page, 6)
    bar = page.locator(BAR)
    page.evaluate("scrollTo(0, 900)")
    expect(bar.get_by_role("button", name="Unselect all")).to_be_in_viewport(ratio=1)
    box = bar.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    shown(page)
    page.locator(".md-footer, footer").last.scroll_into_view_if_needed()
    last = page.locator(ROWS).last.bounding_box()
    box = bar.bounding_box()
    assert last is not None
    assert box is not None
    assert last["y"] + last["height"] <= box["y"]


def phone_page(browser: Browser, site_url: str, watch: Watch, width: int = 390) -> Page:
    """A page on a phone; closing its context is up to the test."""
    phone = browser.new_context(base_url=site_url, viewport={"width": width, "height": 844}, has_touch=True)
    watch.over(phone)
    return phone.new_page()


@pytest.mark.parametrize("width", [390, 320])
def test_a_phone_shows_the_essentials_without_scrolling_sideways(
    browser: Browser, site_url: str, watch: Watch, width: int
) -> None:
    page = phone_page(browser, site_url, watch, width)
    for query in ("", "?cell=4&style=nothing"):
        explore(page, query)
        assert page.evaluate("document.documentElement.scrollWidth") == width
        right = page.locator(".sb-explorer__table").evaluate("table => table.getBoundingClientRect().right")
        assert right <= width - 16
        expect(page.locator("thead")).to_be_hidden()
        clipped = "all => all.filter(cell => cell.scrollWidth > cell.clientWidth).map(cell => cell.textContent)"
        assert page.locator(f"{ROWS} > :visible").evaluate_all(clipped) == []
    explore(page)
    card = page.locator(ROWS).first
    assert card.locator(".sb-explorer__suffix").bounding_box()["height"] > 10  # type: ignore[index]
    labels = "all => all.map(cell => cell.dataset.label)"
    cells = card.locator("td[data-label]:visible").evaluate_all(labels)
    assert cells == ["Median", "Range", "Reach 100", "Wearers", "What the change did"]
    page.context.close()


@pytest.mark.parametrize("width", [1280, 960])
def test_labels_of_the_scale_keep_apart(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    explore(page)
    labels = page.locator("thead .sb-ticks text:visible").evaluate_all(
        "all => all.map(text => [text.getBoundingClientRect().left, text.getBoundingClientRect().right])"
    )
    assert labels
    assert all(right + 3 < left for (_, right), (left, _) in itertools.pairwise(labels))


def test_a_phone_folds_the_filters_away(browser: Browser, site_url: str, watch: Watch) -> None:
    page = phone_page(browser, site_url, watch)
    explore(page)
    summary = page.locator(".sb-explorer summary").first
    style = page.get_by_label("Style", exact=True)
    expect(page.get_by_label("Search", exact=True)).to_be_visible()
    expect(summary).to_have_text("Filters")
    expect(style).to_be_hidden()
    summary.focus()
    page.keyboard.press("Enter")
    style.select_option("cup")
    expect(summary).to_have_text("Filters (1 set)")
    page.get_by_label("At least … wearers").fill("2")
    expect(summary).to_have_text("Filters (2 set)")
    page.set_viewport_size({"width": 1280, "height": 844})
    expect(summary).to_be_hidden()
    expect(style).to_be_visible()
    page.context.close()


@pytest.mark.parametrize(("query", "open_"), [("?q=ffp2&sort=-median", False), ("?cell=4", True), ("?wearers=2", True)])
def test_on_a_phone_a_filter_in_the_address_opens_the_filters(
    browser: Browser, site_url: str, watch: Watch, query: str, open_: bool
) -> None:
    page = phone_page(browser, site_url, watch)
    explore(page, query)
    expect(page.locator(".sb-explorer summary").first).to_have_text("Filters (1 set)" if open_ else "Filters")
    expect(page.get_by_label("Style", exact=True)).to_be_visible(visible=open_)
    page.context.close()


def test_on_a_desktop_the_filters_are_always_there(explorer: Page) -> None:
    expect(explorer.get_by_label("Style", exact=True)).to_be_visible()
    expect(explorer.locator(".sb-explorer summary").first).to_be_hidden()


def test_without_scripts_the_table_is_there(browser: Browser, site_url: str, demo: Dataset) -> None:
    bare = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = bare.new_page()
    page.goto("explore/")
    assert shown(page) == [row.id for row in configuration_rows(demo)]
    expect(page.locator(".sb-explorer__form")).to_be_hidden()
    expect(page.get_by_role("checkbox")).to_have_count(0)
    expect(page.get_by_role("link", name="Compare")).to_have_count(1)  # That of the menu.
    expect(page.get_by_text("need scripts")).to_be_visible()
    bare.close()


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (320, "dark")])
def test_it_is_accessible(browser: Browser, site_url: str, watch: Watch, width: int, scheme: str) -> None:
    options: Any = {"color_scheme": scheme, "viewport": {"width": width, "height": 900}}
    context = browser.new_context(base_url=site_url, **options)
    watch.over(context)
    page = context.new_page()
    explore(page, "?cell=4&style=nothing&sort=-median")
    assert axe(page) == []
    choose(page, 6)
    expect(page.locator(CHOSEN)).to_contain_text("6 configurations")
    assert axe(page) == []
    context.close()


METHOD = "one-exercise.particle-sensor.all-sizes"
METHOD_SAID = ".sb-explorer__method"


def test_one_method_is_chosen_kept_in_the_address_and_taken_along(explorer: Page, demo: Dataset) -> None:
    page = explorer
    expect(page.locator(METHOD_SAID)).to_have_text("Measured in 5 ways, mixed in these figures, on 16 wearers.")
    page.get_by_label("Measured by").select_option(METHOD)
    expect(page.locator(METHOD_SAID)).to_have_text(
        "Only what was measured by One exercise · Particle sensor · All sizes."
    )
    page.wait_for_url(f"**/explore/?method={METHOD}")
    page.reload()
    own = demo.by_method[METHOD].summary
    tested = own[own["tests"] > 0]
    expect(page.locator(COUNT)).to_contain_text(f"{len(tested)} of ")
    expect(page.locator(COUNT)).to_contain_text("Figures are over the 7 wearers.")
    expect(page.get_by_label("Measured by")).to_have_value(METHOD)
    expect(page.locator(ROWS)).to_have_count(len(tested))
    links = page.locator(f"{ROWS} th a").evaluate_all("all => all.map(a => a.search)")
    assert links == [f"?method={METHOD}"] * len(tested)
    page.locator(BOXES).nth(0).check()
    page.locator(BOXES).nth(1).check()
    assert (page.locator(f"{BAR} a").get_attribute("href") or "").endswith(f"&method={METHOD}")
    assert axe(page) == []


def test_a_method_and_a_face_type_hold_together(page: Page, demo: Dataset) -> None:
    explore(page, f"?cell=4&method={METHOD}")
    table = demo.by_method[METHOD].counted
    own = summarise(table[table["cell"] == "4"])
    assert len(own) > 0
    assert sorted(link.replace("%2B", "+") for link in shown(page)) == sorted(own["configuration"])


def test_a_method_that_nobody_used_is_left_out_and_named(page: Page) -> None:
    explore(page, "?method=free.none.all")
    expect(page.locator(NOTE)).to_have_text(
        "The address asks for method of measuring “free.none.all”, which this page does not have. It was left out."
    )


def test_the_best_come_first(explorer: Page, demo: Dataset) -> None:
    rows = configuration_rows(demo)
    assert shown(explorer) == [row.id for row in rows]
    lows = [row.figures["share_at_100_low"] for row in rows]
    assert lows == sorted(lows, key=lambda low: (math.isnan(low), -low))
    expect(explorer.locator("th[aria-sort]")).to_have_attribute("data-sort", "share")


def visible_columns(page: Page) -> list[str]:
    columns: list[str] = page.locator("thead [data-column]:visible").evaluate_all(
        "all => all.map(th => th.dataset.column)"
    )
    return columns


def test_columns_are_chosen_and_kept_in_the_address(explorer: Page) -> None:
    page = explorer
    assert visible_columns(page) == list(SHOWN_COLUMNS)
    page.locator(".sb-explorer__columns summary").click()
    page.get_by_role("checkbox", name="Tests").check()
    page.get_by_role("checkbox", name="Range").uncheck()
    page.wait_for_url("**/explore/?columns=median.share.wearers.effect.tests")
    page.reload()
    expect(page.locator(COUNT)).not_to_be_empty()
    assert visible_columns(page) == ["median", "share", "wearers", "effect", "tests"]
    expect(page.locator("td[data-column=lowest]").first).to_be_hidden()
    page.goto("explore/?columns=median.nothing")
    expect(page.locator(NOTE)).to_contain_text("columns “median.nothing”")
    assert visible_columns(page) == list(SHOWN_COLUMNS)


def test_the_script_knows_the_builders_columns(scripts: Page) -> None:
    known = in_page(
        scripts,
        "const { COLUMNS, columnsFrom } = await from('explorer/shown-columns'); return [COLUMNS, columnsFrom('')];",
    )
    assert known == [list(COLUMNS), list(SHOWN_COLUMNS)]


def test_a_table_wider_than_its_room_scrolls_by_keyboard_under_its_head(page: Page) -> None:
    explore(page, f"?columns={'.'.join(COLUMNS)}")
    scroll = page.locator(".sb-explorer__scroll")
    expect(scroll).to_have_attribute("tabindex", "0")
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280
    name = page.locator(f"{ROWS} th").nth(20)
    name.scroll_into_view_if_needed()
    scroll.evaluate("element => element.scrollTo(400, 600)")
    box, head = scroll.bounding_box(), page.locator("thead th[data-sort=mask]").bounding_box()
    assert box is not None
    assert head is not None
    assert abs(head["x"] - box["x"]) < 2
    assert abs(head["y"] - box["y"]) < 2
    explore(page)
    expect(scroll).not_to_have_attribute("tabindex", "0")


def test_the_head_stays_in_sight(explorer: Page) -> None:
    shown(explorer)
    explorer.evaluate("scrollTo(0, 1200)")
    head = explorer.locator("thead th[data-sort=median]").bounding_box()
    assert head is not None
    assert abs(head["y"]) < 2


def test_what_a_change_did_is_what_the_builder_says(explorer: Page, demo: Dataset) -> None:
    cells = """all => all.map(row =>
        [row.querySelector('a').hash.slice(1), row.querySelector('[data-column=effect]').textContent])"""
    shown(explorer)
    said = dict(explorer.locator(ROWS).evaluate_all(cells))
    effects = change_effects(demo)
    assert said == {row.id: effects[row.id].said if row.id in effects else "" for row in configuration_rows(demo)}
    assert any("likely higher" in words for words in said.values())
    explorer.get_by_label("Face cell").select_option("4")
    expect(explorer.locator(COUNT)).to_contain_text("in cell 4")
    assert set(explorer.locator("td[data-column=effect]").all_text_contents()) == {""}


def test_a_row_opens_to_every_donning(explorer: Page, demo: Dataset) -> None:
    first = shown(explorer)[0]
    tests = demo.counted[demo.counted["configuration"] == first]
    button = explorer.locator(".sb-explorer__open").first
    button.focus()
    explorer.keyboard.press("Enter")
    lines = explorer.locator(".sb-explorer__donnings li")
    expect(lines).to_have_count(tests["wearer"].nunique())
    expect(button).to_have_attribute("aria-expanded", "true")
    expected = []
    for wearer, own in tests.groupby("wearer", sort=True):
        figures = sorted(zip(own["fit_factor"], own["at_least"], strict=True), reverse=True)
        expected.append(f"{wearer}{' · '.join(fit(*reading) for reading in figures)}")
    assert lines.all_text_contents() == expected
    assert axe(explorer) == []
    explorer.keyboard.press("Enter")
    expect(lines).to_have_count(0)


def test_the_view_is_saved_as_csv(page: Page, demo: Dataset) -> None:
    explore(page, "?hack=any_part&columns=median.effect")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    rows = list(csv.DictReader(io.StringIO(download.value.path().read_text("utf-8"), newline="")))
    assert download.value.suggested_filename == "configurations-shown.csv"
    assert list(rows[0])[-3:] == ["median_fit_factor", "median_at_least", "effect"]
    assert [row["id"] for row in rows] == shown(page)
    medians = demo.summary.set_index("configuration")["median_fit_factor"]
    assert all(float(row["median_fit_factor"]) == pytest.approx(medians[row["id"]]) for row in rows)
    expect(page.locator(NOTE)).to_contain_text("Saved: ")


def test_a_saved_cell_is_no_formula(scripts: Page) -> None:
    texts = [*(f"{start}1+2" for start in FORMULA_STARTS), 'say "a, b"', "a\nb", "plain", "x=1"]
    script = "const { csv } = await from('common/csv'); return csv([...args[0].map(text => [text, -1, null]), [true]]);"
    found = in_page(scripts, script, texts)
    expected = as_csv(pd.DataFrame({"": pd.Series(texts, dtype="object")})).partition("\r\n")[2]
    assert found == expected.replace("\r\n", ",-1,\r\n") + "true\r\n"


def test_what_is_ticked_is_one_key_from_the_comparison(explorer: Page) -> None:
    choose(explorer, 2)
    explorer.locator(BOXES).nth(1).focus()
    explorer.keyboard.press("Tab")
    expect(explorer.get_by_role("button", name="On to the comparison").nth(1)).to_be_focused()
    explorer.keyboard.press("Enter")
    expect(explorer.locator(BAR).get_by_role("link", name="Compare")).to_be_focused()


def test_a_phone_chooses_the_order(browser: Browser, site_url: str, watch: Watch, demo: Dataset) -> None:
    page = phone_page(browser, site_url, watch)
    explore(page)
    page.get_by_label("Order", exact=True).select_option("Median, highest first")
    page.wait_for_url("**/explore/?sort=-median")
    medians = demo.summary.set_index("configuration")["median_fit_factor"]
    values = [medians[configuration] for configuration in shown(page)]
    assert values == sorted(values, reverse=True)
    page.context.close()


@pytest.mark.parametrize("width", [1280, 390])
def test_nothing_moves_while_it_loads(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 844})
    page.add_init_script(
        "window.moved = 0; new PerformanceObserver((list) => list.getEntries().forEach((entry) => {"
        " window.moved += entry.value; })).observe({ type: 'layout-shift', buffered: true });"
    )
    for address in ("explore/", ""):
        page.goto(address, wait_until="networkidle")
        assert page.evaluate("window.moved") < 0.05, address
