"""The compare page in a browser: its numbers are the builder's, its address holds the choice, its words say it all."""

from __future__ import annotations

import itertools
import json
import re
from collections import Counter
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from playwright.sync_api import Browser, BrowserContext, Download, Page, expect
from scipy import stats

from builder.findings.dataset import Dataset
from builder.fit.compare.bridging import estimate_methods, method_arms
from builder.fit.compare.measured_arms import MeasuredArms, measured_arms
from builder.fit.compare.methods import METHOD
from builder.fit.compare.nested_scatter import NestedScatter, nested_scatter
from builder.fit.compare.two_configurations import Comparison, compare
from builder.fit.compare.verdicts import Judgement, verdicts_in_list
from builder.fit.compare.yardstick import highest_first, measured_by
from builder.site.addresses import compare_address
from builder.site.compare_page import ADDRESS, arm_columns, method_values, ready_comparisons, scatter_values
from builder.site.ratio_axis import fitted_axis
from builder.words import comparisons as words
from builder.words import yardstick_words
from builder.words.catalogue import say
from builder.words.labels import configuration_label
from builder.words.numbers import between
from builder.words.pair_words import ratio_figures
from tests.browser.conftest import COLOURS, Held, Watch, at, axe, in_colours
from tests.fit.tables import scatter_of_all

HEADING = ".sb-compare__heading"
NOTE = ".sb-compare__note"
CHIPS = ".sb-compare__chosen li"
VERDICTS = ".sb-compare__verdicts li"
EXACT = ("bound", "verdict", "direction", "donnings_needed", "donnings_for_seen")
CLOSE = ("ratio", "low90", "high90", "low99", "high99")
CLOSE_OVERALL = (*CLOSE, "predict_low95", "predict_high95", "tau")
COUNTED = ("pooled", "only_a", "only_b", "n_a", "n_b", "wearers_same_method", "wearers_mixed_method")
EXACT_OVERALL = (*EXACT, "same_wearers", *COUNTED)

PAIR = ["brodipim", "brodipim+loop-clip"]
LIST = [
    "skevuthar",
    "skevuthar+crossed-band+broad-strip+foam-strip",
    "skevuthar+broad-strip",
    "truskopim",
    "kruvolumot+no-nose-foam",
    "plovothar-s",
]

COMPARE_ALL = """async ([columns, basis, pairs]) => {
    const from = (name) => import(new URL(`../assets/scripts/${name}.js`, location.href));
    const { measuredFrom } = await from("compare/measured");
    const { compareArms } = await from("statistics/contrasts");
    const figures = { configuration: columns.configuration.words };
    const tests = { configuration: [] };
    const measured = measuredFrom({ arms: columns, tests, figures, method_figures: tests });
    return pairs.map(([a, b]) => compareArms(measured.get(a).arms, measured.get(b).arms, basis));
}"""


def open_with(page: Page, configurations: list[str]) -> None:
    """Open a comparison and wait for its result."""
    page.goto(compare_address(configurations))
    expect(page.locator(HEADING)).not_to_be_empty()


def chosen(page: Page) -> list[str]:
    """Ids of the chosen configurations, as their links to mask pages name them."""
    links: list[str] = page.locator(f"{CHIPS} a").evaluate_all("all => all.map(a => a.getAttribute('href'))")
    return [link.partition("#")[2] for link in links]


def in_browser(page: Page, arms: MeasuredArms, pairs: list[tuple[str, str]]) -> list[dict[str, Any]]:
    """Compare pairs with the page's own modules, from the columns that the site publishes."""
    columns = arm_columns(arms, list(arms.by_configuration))
    basis = {"scatter": scatter_values(arms.scatter), "methods": method_values(arms.effects)}
    # Through JSON, as the published file goes.
    sent = json.loads(json.dumps([columns, basis, pairs], allow_nan=False))
    found: list[dict[str, Any]] = page.evaluate(COMPARE_ALL, sent)
    return found


def agree(found: dict[str, Any], expected: Judgement, exact: tuple[str, ...], close: tuple[str, ...]) -> None:
    assert {name: found[name] for name in exact} == {name: getattr(expected, name) for name in exact}
    for name in close:
        value = getattr(expected, name)
        assert found[name] == (None if value is None else pytest.approx(value, rel=1e-6)), name


def same(page: Page, arms: MeasuredArms, pairs: list[tuple[str, str]]) -> list[Comparison]:
    """Check that the page compares each pair as the builder does, all wearers and each of them."""
    expected = [compare(arms, a, b) for a, b in pairs]
    for found, comparison in zip(in_browser(page, arms, pairs), expected, strict=True):
        agree(found, comparison, EXACT_OVERALL, CLOSE_OVERALL)
        taken = comparison.method_adjustment
        assert found["method_adjustment"] == (None if taken is None else pytest.approx(asdict(taken), rel=1e-6))
        for mine, contrast in zip(found["wearers"], comparison.wearers, strict=True):
            agree(mine, contrast, (*EXACT, "wearer", "facial_hair", "n_a", "n_b", "method"), CLOSE)
    return expected


METHODS = [
    ("eight-exercise", "condensation-counter", "all-sizes"),
    ("one-exercise", "condensation-counter", "all-sizes"),
    ("eight-exercise", "optical-counter", "all-sizes"),
]


def invented_tests(seed: int, methods: int = 1, ceiling: float = np.inf) -> pd.DataFrame:
    """Six configurations on up to seven wearers: few donnings, limits, two kinds of facial hair, some methods."""
    rng = np.random.default_rng(seed)
    cells = [cell for cell in itertools.product("abcdef", range(7)) if rng.random() < 0.6]
    rows = []
    for configuration, wearer in cells:
        for _ in range(rng.integers(1, 4)):
            hair = rng.choice(["none", "clear-of-seal"], p=[0.8, 0.2])
            fit_factor = float(np.exp(rng.normal(3 + 0.6 * "abcdef".index(configuration), 0.7)))
            at_least = bool(rng.random() < 0.12) or fit_factor > ceiling
            method = METHODS[rng.integers(methods)]
            rows.append((configuration, f"w{wearer}", hair, min(fit_factor, ceiling), at_least, *method))
    columns = ["configuration", "wearer", "facial_hair", "fit_factor", "at_least", *METHOD]
    return pd.DataFrame(rows, columns=columns).assign(counted=True)


SCATTERS = {
    "estimated": None,
    "planned": scatter_of_all(0.48, 4.0, 8.0, planned=True),
    "sure": scatter_of_all(0.2, 1e5, 1e5),
    "loose": scatter_of_all(0.2, 0.7, 2.0),
}


def test_the_demo_is_compared_as_the_builder_does(scripts: Page, demo: Dataset) -> None:
    pairs = list(itertools.combinations(sorted(demo.measured_arms.by_configuration), 2))
    one_mask = [(a, b) for a, b in pairs if a.partition("+")[0] == b.partition("+")[0]]
    others = sorted(set(pairs) - set(one_mask))
    drawn = [others[i] for i in sorted(np.random.default_rng(3).choice(len(others), 80, replace=False))]
    expected = same(scripts, demo.measured_arms, [*one_mask, *drawn])
    assert {True, False} == {comparison.same_wearers for comparison in expected}


def measured(table: pd.DataFrame, scatter: NestedScatter) -> MeasuredArms:
    return measured_arms(table, scatter, estimate_methods(table, method_arms(table, scatter)))


@pytest.mark.parametrize("kind", SCATTERS)
def test_every_kind_of_comparison_is_the_builders(scripts: Page, kind: str) -> None:
    seen: Counter[object] = Counter()
    for seed in range(4):
        table = invented_tests(seed, methods=1 + 2 * (seed % 2), ceiling=200 if seed > 1 else np.inf)
        arms = measured(table, SCATTERS[kind] or nested_scatter(table))
        for comparison in same(scripts, arms, list(itertools.combinations("abcdef", 2))):
            seen.update(("pair", c.bound, c.verdict, c.method) for c in comparison.wearers)
            seen.update([comparison.same_wearers, comparison.verdict, comparison.bound])
            seen.update(method for c in comparison.wearers for method in (c.method,))
    wanted = {True, False, "clear", "likely", "cannot-tell", "none", "at_least", "at_most", "both", "same", "mixed"}
    assert wanted <= set(seen)


def test_holms_adjustment_is_the_builders(scripts: Page, demo: Dataset) -> None:
    arms = demo.measured_arms
    sold = [configuration for configuration in arms.by_configuration if "+" not in configuration]
    compared = [compare(arms, sold[0], other) for other in sold[1:]]
    sent = [{"p_value": c.p_value, "verdict": c.verdict} for c in compared]
    script = "async (list) => (await import('/assets/scripts/statistics/verdicts.js')).verdictsInList(list)"
    found = scripts.evaluate(script, sent)
    expected = verdicts_in_list(compared)
    assert [item["verdict"] for item in found] == [c.verdict for c in expected]
    assert [item["verdict"] for item in found] != [c.verdict for c in compared]
    np.testing.assert_allclose([item["p_value"] for item in found], [c.p_value for c in expected], rtol=1e-12)


def test_distributions_are_scipys(scripts: Page) -> None:
    degrees = [0.4, 1.0, 2.5, 4.825, 24.0, 199.8, 5000.0]
    students = [(p, df) for p in (0.6, 0.9, 0.95, 0.995) for df in degrees]
    normals = [-7.5, -2.3, -0.01, 0.0, 0.4, 1.96, 5.5]
    noncentral = [(t, df, shift) for t in (1.4, 2.1, 6.3) for df in degrees for shift in (0.2, 2.5, 6.0)]
    found = scripts.evaluate(
        """async ([students, normals, noncentral]) => {
            const s = await import("/assets/scripts/statistics/distributions.js");
            return {
                below: students.map(([p, df]) => s.studentBelow(s.studentQuantile(p, df), df)),
                quantile: students.map(([p, df]) => s.studentQuantile(p, df)),
                normal: normals.map(s.normalBelow),
                normalQuantile: [0.05, 0.5, 0.8, 0.95].map(s.normalQuantile),
                noncentral: noncentral.map(([t, df, shift]) => s.noncentralBelow(t, df, shift)),
            };
        }""",
        [students, normals, noncentral],
    )
    np.testing.assert_allclose(found["below"], [p for p, _ in students], rtol=1e-10)
    np.testing.assert_allclose(found["quantile"], [stats.t.ppf(p, df) for p, df in students], rtol=1e-9)
    np.testing.assert_allclose(found["normal"], stats.norm.cdf(normals), atol=1e-14)
    np.testing.assert_allclose(found["normalQuantile"], stats.norm.ppf([0.05, 0.5, 0.8, 0.95]), atol=1e-13)
    expected = [stats.nct.cdf(t, df, shift) for t, df, shift in noncentral]
    np.testing.assert_allclose(found["noncentral"], expected, atol=1e-9)


def test_sentences_are_those_of_the_command(page: Page, demo: Dataset) -> None:
    names = sorted(demo.measured_arms.by_configuration)
    for others in (names[start : start + 5] for start in range(0, len(names) - 1, 5)):
        first, *rest = others
        open_with(page, others)
        compared = verdicts_in_list([compare(demo.measured_arms, first, other) for other in rest])
        shown = page.locator(VERDICTS).all_text_contents()
        full = page.locator(".sb-compare__result").text_content() or ""
        for said, comparison in zip(shown, compared, strict=True):
            a = words.set_up_phrase(demo, comparison.a, comparison.b)
            b = words.set_up_phrase(demo, comparison.b, comparison.a)
            assert said == words.verdict_sentence(comparison, a, b)
            for sentence in words.further_sentences(comparison, a, b):
                assert sentence in full


def test_the_result_shows_the_figures_of_each_wearer(page: Page, demo: Dataset) -> None:
    open_with(page, PAIR)
    expected = compare(demo.measured_arms, PAIR[0], PAIR[1])
    rows = page.get_by_role("region", name=re.compile("^Wearers who tried both")).locator("tbody tr")
    cells = rows.evaluate_all("all => all.map(row => [...row.cells].map(cell => cell.textContent))")
    assert [(row[0], row[2], row[4]) for row in cells] == [
        (c.wearer, words.ratio_label(c), f"{c.n_a}, {c.n_b}") for c in expected.wearers
    ]
    figures = page.get_by_role("region", name="Figures").locator("tbody tr")
    tests = [row[-1] for row in figures.evaluate_all("all => all.map(r => [...r.cells].map(c => c.textContent))")]
    assert tests == [str(demo.summary_by_id[configuration]["tests"]) for configuration in PAIR]
    dots = page.locator(".sb-compare__row :is(circle, path)")
    expect(dots).to_have_count(sum(demo.summary_by_id[configuration]["tests"] for configuration in PAIR))


def test_a_list_says_how_many_comparisons_it_holds(page: Page) -> None:
    open_with(page, PAIR)
    result = page.locator(".sb-compare__result")
    expect(result).not_to_contain_text("This list holds")
    open_with(page, LIST)
    expect(result).to_contain_text("This list holds 5 comparisons.")
    expect(page.locator(VERDICTS)).to_have_count(5)


def test_at_first_there_are_examples(page: Page, demo: Dataset) -> None:
    page.goto(ADDRESS)
    expect(page.get_by_label("Add a configuration")).to_be_visible()
    first = ready_comparisons(demo)[0]
    page.locator(".sb-compare__ready a").first.click()
    page.get_by_role("link", name="Compare with others, look at every donning").click()
    expect(page.locator(HEADING)).to_contain_text("Compared with")
    assert chosen(page) == [first.comparison.a, first.comparison.b]
    page.get_by_role("link", name="A page of this comparison alone").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("against as sold")
    page.go_back()
    expect(page.locator(HEADING)).to_contain_text("Compared with")
    expect(page.locator(".sb-compare__ready")).to_be_hidden()


def test_choosing_by_keyboard_fills_the_address(page: Page, demo: Dataset) -> None:
    page.goto(ADDRESS)
    field = page.get_by_role("combobox", name="Add a configuration")
    field.focus()
    page.keyboard.type("brodipim as")
    page.keyboard.press("Enter")
    expect(page.locator(HEADING)).to_have_text(f"Now add what to compare with {configuration_label(demo, PAIR[0])}")
    expect(field).to_be_focused()
    page.keyboard.type("CLIP")
    page.keyboard.press("ArrowDown")
    option = page.get_by_role("listbox").get_by_role("option", selected=True)
    expect(option).to_contain_text("Clip joining")
    assert field.get_attribute("aria-activedescendant") == option.get_attribute("id")
    expect(field).to_have_attribute("aria-expanded", "true")
    page.keyboard.press("Escape")
    expect(field).to_have_attribute("aria-expanded", "false")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator(HEADING)).to_contain_text("Compared with")
    at(page, compare_address(PAIR))
    page.go_back()
    expect(page.locator(CHIPS)).to_have_count(1)
    page.go_forward()
    expect(page.locator(CHIPS)).to_have_count(2)
    assert chosen(page) == PAIR


def test_one_can_be_put_first_and_removed(page: Page, demo: Dataset) -> None:
    open_with(page, LIST[:3])
    label = configuration_label(demo, LIST[2])
    page.get_by_role("button", name=f"Compare with this ({label})").click()
    expect(page.locator(HEADING)).to_contain_text(f"Compared with {label}")
    assert chosen(page) == [LIST[2], LIST[0], LIST[1]]
    at(page, compare_address([LIST[2], LIST[0], LIST[1]]))
    page.get_by_role("button", name=f"Remove ({label})").click()
    expect(page.locator(CHIPS)).to_have_count(2)
    assert chosen(page) == LIST[:2]
    expect(page.get_by_label("Add a configuration")).to_be_focused()


def test_the_heading_is_read_out_when_it_changes(page: Page) -> None:
    open_with(page, PAIR)
    expect(page.locator(HEADING)).to_have_attribute("aria-live", "polite")
    heading = page.locator(HEADING).element_handle()
    page.locator(CHIPS).last.get_by_role("button", name="Remove").click()
    expect(page.locator(HEADING)).to_contain_text("Now add")
    assert page.evaluate("e => e.isConnected", heading)


def test_the_list_offers_first_what_can_be_compared_on_the_same_wearers(page: Page, demo: Dataset) -> None:
    open_with(page, PAIR[:1])
    page.get_by_label("Add a configuration").click()
    options = page.get_by_role("listbox").get_by_role("option")
    own = [c for c in demo.measured_arms.by_configuration if c.startswith(f"{PAIR[0]}+")]
    expect(options).to_have_count(len(demo.measured_arms.by_configuration) - 1)
    texts = options.all_text_contents()
    assert all(text.startswith("Brodipim") for text in texts[: len(own)])
    expect(options.first).to_contain_text("tried both")


def test_six_are_enough(page: Page) -> None:
    open_with(page, [*LIST, "velanul"])
    expect(page.locator(NOTE)).to_have_text("At most 6 can be compared, so velanul was left out.")
    assert chosen(page) == LIST
    page.get_by_label("Add a configuration").fill("velanul as")
    page.keyboard.press("Enter")
    expect(page.locator(NOTE)).to_have_text("At most 6 can be compared. Remove one first.")
    assert chosen(page) == LIST


def test_what_is_not_known_is_named(page: Page) -> None:
    page.goto(f"{ADDRESS}?c=%3Cb%3Enope&c={PAIR[0]}&c={PAIR[1]}&c={PAIR[0]}")
    expect(page.locator(NOTE)).to_have_text("There is no test that counts of <b>nope here. It was left out.")
    # A plus written as it is, which a browser reads as a space.
    assert chosen(page) == PAIR


def test_the_address_and_the_choice_are_inverse(scripts: Page, demo: Dataset) -> None:
    lists: list[list[str]] = [[], PAIR, LIST, ["a&b=c#d", "ü%20"]]
    found = scripts.evaluate(
        """async (lists) => {
            const { chosenFrom, queryOf } = await import("/assets/scripts/compare/choice.js");
            return lists.map((list) => [queryOf(list), chosenFrom(queryOf(list), new Set(list)).chosen]);
        }""",
        lists,
    )
    assert [again for _, again in found] == lists
    assert [f"compare/{query}" for query, _ in found[1:3]] == [compare_address(PAIR), compare_address(LIST)]


def test_link_and_table_are_copied(page: Page, demo: Dataset) -> None:
    open_with(page, PAIR)
    page.evaluate("() => { navigator.clipboard.writeText = async (text) => { window.copied = text } }")
    page.get_by_role("button", name="Copy link").click()
    expect(page.locator(NOTE)).to_have_text("Link copied.")
    assert page.evaluate("window.copied") == page.url
    page.get_by_role("button", name="Copy as Markdown").click()
    expect(page.locator(NOTE)).to_have_text("Table copied.")
    table: str = page.evaluate("window.copied")
    found = compare(demo.measured_arms, PAIR[0], PAIR[1])
    lines = table.splitlines()
    assert len({line.count("|") for line in lines[:4]}) == 1
    assert configuration_label(demo, PAIR[1]) in lines[3]
    assert words.ratio_label(found) in lines[3]
    assert f"| {len(found.wearers)} |" in lines[3]
    assert words.measured_sentence(found) in table
    few = words.shrunk_sentence(found)
    assert few
    assert few in table
    assert "Only a fit test on you tells." in table
    assert "Invented demo data" in table
    assert f"<{page.url}>" in table


def test_where_copying_fails_the_text_is_there_to_take(page: Page) -> None:
    open_with(page, PAIR)
    page.evaluate("() => { navigator.clipboard.writeText = () => Promise.reject(new Error('no')) }")
    page.get_by_role("button", name="Copy as Markdown").click()
    expect(page.get_by_label("Text to copy")).to_have_value(re.compile("^\\| Configuration"))


def test_labels_mean_nothing_in_markdown(scripts: Page) -> None:
    table = scripts.evaluate(
        """async (label) => {
            const { markdown } = await import("/assets/scripts/compare/result.js");
            const figures = { median_fit_factor: 1, lowest_fit_factor: 1, highest_fit_factor: 1, tests: 1, wearers: 1 };
            return markdown([{ configuration: { label }, figures }], [], "address", []);
        }""",
        "<img src=x> | *a* [b](c) `d`",
    )
    assert r"\<img src=x\> \| \*a\* \[b\](c) \`d\`" in table


def saved(page: Page, button: str, folder: Path) -> tuple[Download, bytes]:
    with page.expect_download() as waiting:
        page.get_by_role("button", name=button).click()
    waiting.value.save_as(folder / "saved")
    return waiting.value, (folder / "saved").read_bytes()


def test_the_picture_is_saved(page: Page, tmp_path: Path, demo: Dataset) -> None:
    open_with(page, PAIR)
    download, content = saved(page, "Save picture (SVG)", tmp_path)
    assert download.suggested_filename == "comparison.svg"
    drawing = content.decode()
    assert drawing.startswith("<svg")
    assert "var(" not in drawing
    found = compare(demo.measured_arms, *PAIR)
    label = configuration_label(demo, PAIR[1])
    title = say("ratios.of_both", a=configuration_label(demo, PAIR[0]), b=label)
    texts = " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", drawing))
    assert texts.startswith(title)
    phrases = [words.set_up_phrase(demo, *pair) for pair in (PAIR, PAIR[::-1])]
    assert words.verdict_sentence(found, *phrases) in texts
    assert ratio_figures(found) in texts
    assert {one.wearer for one in found.wearers if one.ratio} <= set(re.findall(r">([a-z]+)</text>", drawing))
    for said in ("compare.legend", "ratios.legend", "compare.invented"):
        assert say(said) in texts
    assert page.url.replace("&", "&amp;") in texts.replace(" ", "")
    # The axis ends at the marks around the donnings: the demo has fit factors in the thousands elsewhere.
    tests = demo.counted[demo.counted["configuration"].isin(PAIR)]["fit_factor"]
    scale = re.findall(r'text-anchor="(?:start|end)">([\d\u202f]+)</text>', drawing)
    low, top = (float(text.replace("\u202f", "")) for text in scale)
    assert low <= tests.min() < 2.5 * low
    assert top / 2.5 < tests.max() <= top
    download, content = saved(page, "Save picture (PNG)", tmp_path)
    assert download.suggested_filename == "comparison.png"
    assert content.startswith(b"\x89PNG")
    assert int.from_bytes(content[16:20]) == 1800


def test_the_picture_follows_width_and_theme(page: Page) -> None:
    page.emulate_media(color_scheme="light")
    open_with(page, PAIR)
    drawing = page.locator(".sb-compare__picture svg")
    wide = drawing.bounding_box()
    fill = "e => getComputedStyle(e.querySelector('rect')).fill"
    light = drawing.evaluate(fill)
    page.emulate_media(color_scheme="dark")
    assert drawing.evaluate(fill) != light
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_function("document.querySelector('.sb-compare__picture svg').clientWidth < 390")
    page.wait_for_function("document.querySelector('.sb-compare__ratios svg').clientWidth < 390")
    assert wide is not None and wide["width"] > 390


def test_axe_finds_nothing_in_any_state(page: Page) -> None:
    def looked_at() -> list[str]:
        in_colours(page, "light")
        light = axe(page)
        in_colours(page, "dark")
        return light + axe(page, COLOURS)

    page.goto(ADDRESS)
    expect(page.get_by_label("Add a configuration")).to_be_visible()
    assert looked_at() == []
    for configurations in (PAIR[:1], PAIR, LIST, ["kruvolumot+no-nose-foam", "brodipim+loop-clip"]):
        open_with(page, configurations)
        assert looked_at() == [], configurations
    page.get_by_label("Add a configuration").click()
    page.keyboard.press("ArrowDown")
    assert looked_at() == []


def test_nothing_is_wider_than_a_phone(page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    for configurations in (PAIR, LIST):
        open_with(page, configurations)
        page.get_by_label("Add a configuration").click()
        assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_without_scripts_ready_comparisons_stand_there(browser: Browser, site_url: str, demo: Dataset) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto(ADDRESS)
    expect(page.get_by_text("Choosing what to compare needs scripts")).to_be_visible()
    expect(page.locator(".sb-compare__ready tbody tr")).to_have_count(len(ready_comparisons(demo)))
    expect(page.get_by_label("Add a configuration")).to_be_hidden()
    context.close()


def test_only_the_files_of_the_chosen_masks_are_fetched(page: Page) -> None:
    fetched: list[str] = []
    page.on("request", lambda request: fetched.extend(re.findall(r"/compare/(.*\.(?:json|packed))$", request.url)))
    open_with(page, PAIR)
    assert fetched == ["configurations.json", "masks/brodipim.packed"]
    page.get_by_label("Add a configuration").fill("Skevuthar, as sold")
    page.keyboard.press("Enter")
    expect(page.locator(VERDICTS)).to_have_count(2)
    page.locator(CHIPS).last.get_by_role("button", name="Remove").click()
    expect(page.locator(VERDICTS)).to_have_count(1)
    assert fetched == ["configurations.json", "masks/brodipim.packed", "masks/skevuthar.packed"]


def test_no_result_of_another_choice_stands_there_meanwhile(page: Page) -> None:
    held = Held()
    page.route("**/compare/masks/skevuthar.packed", held)
    open_with(page, PAIR)
    expect(page.locator(VERDICTS)).to_have_count(1)
    page.get_by_label("Add a configuration").fill("Skevuthar, as sold")
    page.keyboard.press("Enter")
    expect(page.locator(CHIPS)).to_have_count(3)
    expect(page.locator(VERDICTS)).to_have_count(0)
    expect(page.locator(HEADING)).to_be_empty()
    expect(page.get_by_role("button", name="Copy link")).to_be_hidden()
    held.release()
    expect(page.locator(VERDICTS)).to_have_count(2)


def test_a_file_that_was_missing_is_asked_for_again(context: BrowserContext, watch: Watch) -> None:
    context.route("**/compare/masks/skevuthar.packed", lambda route: route.abort(), times=1)
    page = context.new_page()
    open_with(page, PAIR)
    page.get_by_label("Add a configuration").fill("Skevuthar, as sold")
    page.keyboard.press("Enter")
    expect(page.locator(NOTE)).to_contain_text("The tests could not be loaded")
    expect(page.locator(".sb-compare__result")).to_be_hidden()
    page.locator(CHIPS).first.get_by_role("button", name="Remove").click()
    expect(page.locator(NOTE)).to_be_hidden()
    expect(page.locator(VERDICTS)).to_have_count(1)
    page.close()  # so that no fault comes after these are cleared
    watch.faults.clear()


@pytest.mark.parametrize(
    ("file", "says"),
    [("configurations.json", "could not be loaded. What is below"), ("masks/*.packed", "The tests could")],
)
def test_missing_data_are_named(context: BrowserContext, watch: Watch, file: str, says: str) -> None:
    context.route(f"**/compare/{file}", lambda route: route.abort())
    page = context.new_page()
    page.goto(compare_address(PAIR))
    expect(page.locator(NOTE)).to_contain_text(says)
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


MASK = ["skevuthar", "skevuthar+broad-strip", "skevuthar+crossed-band+broad-strip"]
NARROWED_TO = "short-four-exercise.condensation-counter.all-sizes"
SAID = ".sb-narrow__said"


def test_narrowed_to_a_method_it_compares_as_the_builder_does(page: Page, demo: Dataset) -> None:
    open_with(page, MASK)
    expect(page.locator(SAID)).to_contain_text("mixed in these figures")
    expect(page.locator(VERDICTS)).to_have_count(len(MASK) - 1)
    mixed = page.locator(VERDICTS).all_text_contents()
    page.get_by_label("Measured by").select_option(NARROWED_TO)
    expect(page.locator(SAID)).to_have_text(
        "Only what was measured by Short, four exercises · Condensation counter · All sizes."
    )
    at(page, compare_address(MASK) + f"&method={NARROWED_TO}")
    alike = demo.by_method[NARROWED_TO]
    expected = verdicts_in_list([compare(alike.measured_arms, MASK[0], other) for other in MASK[1:]])
    said = [
        words.verdict_sentence(
            found, *(words.set_up_phrase(demo, *pair) for pair in ((MASK[0], found.b), (found.b, MASK[0])))
        )
        for found in expected
    ]
    expect(page.locator(VERDICTS)).to_have_text([re.compile(re.escape(sentence)) for sentence in said])
    assert page.locator(VERDICTS).all_text_contents() != mixed
    figures = page.get_by_role("region", name="Figures").locator("tbody tr")
    tests = [row[-1] for row in figures.evaluate_all("all => all.map(r => [...r.cells].map(c => c.textContent))")]
    assert tests == [str(alike.summary_by_id[configuration]["tests"]) for configuration in MASK]
    assert f"&method={NARROWED_TO}" in page.locator(f"{CHIPS} a").first.evaluate("a => a.search.replace('?', '&')")
    page.reload()
    expect(page.locator(VERDICTS)).to_have_text([re.compile(re.escape(sentence)) for sentence in said])
    expect(page.get_by_label("Measured by")).to_have_value(NARROWED_TO)
    assert axe(page) == []
    page.go_back()
    expect(page.locator(SAID)).to_contain_text("mixed in these figures")
    expect(page.locator(VERDICTS)).to_have_text(mixed)


def test_what_nobody_measured_by_the_method_is_left_out_and_named(page: Page, demo: Dataset) -> None:
    tested = set(demo.by_method[NARROWED_TO].counted["configuration"])
    missing = next(row["configuration"] for row in demo.summary_by_mask["brodipim"] if row["tests"])
    assert missing not in tested
    page.goto(f"{compare_address([MASK[0], MASK[1], missing])}&method={NARROWED_TO}")
    expect(page.locator(NOTE)).to_have_text(
        f"Nobody measured {configuration_label(demo, missing)} by this method, so it is left out."
    )
    expect(page.locator(VERDICTS)).to_have_count(1)
    page.goto(f"{compare_address([missing])}&method={NARROWED_TO}")
    expect(page.locator(NOTE)).to_contain_text("by this method, so it is left out.")
    expect(page.locator(".sb-compare__result")).to_be_hidden()
    page.goto(f"{compare_address(MASK)}&method=free..")
    expect(page.locator(NOTE)).to_have_text(
        "Nothing here was measured by the method that the address asks for, so all methods are shown."
    )
    expect(page.locator(VERDICTS)).to_have_count(2)


RATIOS = ".sb-compare__ratios"
LEAGUE = ".sb-compare__league"
TOLD = ".sb-compare__told"


def league_of(demo: Dataset, configurations: list[str]) -> list[tuple[str, int, int, float]]:
    """The places of each by the builder's own comparisons: above, below, and the lower limit beside the first."""
    pairs = list(itertools.combinations(configurations, 2))
    listed = verdicts_in_list([compare(demo.measured_arms, a, b) for a, b in pairs])
    told = [
        (b, a) if found.direction == "b-higher" else (a, b)
        for (a, b), found in zip(pairs, listed, strict=True)
        if found.p_value < 0.1 and found.direction != "none"
    ]
    lowest = {one: compare(demo.measured_arms, configurations[0], one).low90 or 0 for one in configurations[1:]}
    rows = [
        (
            one,
            1 + sum(below == one for _, below in told),
            len(configurations) - sum(above == one for above, _ in told),
            lowest.get(one, 1.0),
        )
        for one in configurations
    ]
    return sorted(rows, key=lambda row: (row[1], row[2], -row[3]))


def test_two_are_shown_wearer_by_wearer_with_what_they_say_together(page: Page, demo: Dataset) -> None:
    pair = ["skevuthar", "brodipim"]
    found = compare(demo.measured_arms, *pair)
    open_with(page, pair)
    expect(page.locator(LEAGUE)).to_have_count(0)
    expect(page.locator(f"{RATIOS} svg")).to_have_count(1)  # pictures are drawn one after the other
    shown = page.locator(f"{RATIOS} text").all_text_contents()
    each = sorted((one for one in found.wearers if one.ratio), key=lambda one: -(one.ratio or 0))
    rows = [(one.wearer, ratio_figures(one)) for one in each]
    together = [
        ("6 wearers together", ratio_figures(found)),
        ("A new face (95\u202f%)", between(found.predict_low95, found.predict_high95)),
    ]
    axis = page.locator(f"{RATIOS} svg > g > text").count() - 2 * len(rows) - 2 * len(together)
    assert list(zip(shown[axis::2], shown[axis + 1 :: 2], strict=True)) == [*together, *rows]
    expect(page.get_by_role("link", name="A page of this comparison alone")).to_have_attribute(
        "href", "skevuthar/brodipim/"
    )
    open_with(page, ["brodipim", "truskopim"])
    expect(page.get_by_role("link", name="A page of this comparison alone")).to_have_count(0)


def test_the_axis_of_ratios_is_the_builders(scripts: Page) -> None:
    lists = [[2.0, 40.0], [1.01], [], [0.001, 3.0], [0.3, 0.5], [1e-9, 1e9]]
    script = "async (lists) => lists.map((await import('/assets/scripts/compare/ratio-axis.js')).fittedAxis)"
    for found, ratios in zip(scripts.evaluate(script, lists), lists, strict=True):
        low, high, ticks = fitted_axis(ratios)
        assert (found["low"], found["high"]) == pytest.approx((low, high))
        assert [(tick["value"], tick["minor"]) for tick in found["ticks"]] == [(t.value, t.minor) for t in ticks]


def test_several_have_the_places_that_the_builders_comparisons_leave_open(page: Page, demo: Dataset) -> None:
    open_with(page, LIST)
    expected = league_of(demo, LIST)
    rows = page.locator(f"{LEAGUE} .sb-compare__placed")
    expect(rows).to_have_count(len(LIST))
    shown = [
        " ".join(texts)
        for texts in rows.evaluate_all("all => all.map(g => [...g.querySelectorAll('text')].map(t => t.textContent))")
    ]
    for text, (configuration, best, worst, _) in zip(shown, expected, strict=True):
        assert text.startswith(configuration_label(demo, configuration))
        assert text.endswith(f"place {best}" if best == worst else f"place {best} to {worst}")
    told = page.locator(TOLD).text_content() or ""
    assert told.startswith("Told apart: ")
    expect(page.locator(".sb-compare__result")).to_contain_text("90 % sure of all 15 comparisons at once")
    # Every pair that is not told apart is joined by a line, and no pair that is.
    joined = page.locator(f"{LEAGUE} .sb-compare__join").evaluate_all(
        "all => all.map(g => [...g.querySelectorAll('circle')].map(c => c.cy.baseVal.value))"
    )
    heights = sorted({height for group in joined for height in group})
    together = {pair for group in joined for pair in itertools.combinations(sorted(group), 2)}
    open_pairs = len(list(itertools.combinations(heights, 2))) - told_apart(demo, LIST)
    assert len(together) == open_pairs


def told_apart(demo: Dataset, configurations: list[str]) -> int:
    pairs = itertools.combinations(configurations, 2)
    listed = verdicts_in_list([compare(demo.measured_arms, a, b) for a, b in pairs])
    return sum(found.p_value < 0.1 and found.direction != "none" for found in listed)


def test_who_cannot_be_told_apart_is_joined_and_nobody_else(scripts: Page) -> None:
    script = "async ([n, told]) => (await import('/assets/scripts/compare/league.js')).groupsOf(n, told)"
    assert scripts.evaluate(script, [4, []]) == [[0, 1, 2, 3]]
    assert scripts.evaluate(script, [4, [[0, 3]]]) == [[0, 1, 2], [1, 2, 3]]
    assert scripts.evaluate(script, [3, [[0, 1], [0, 2], [1, 2]]]) == []
    assert scripts.evaluate(script, [3, [[0, 1], [0, 2]]]) == [[1, 2]]


def test_a_league_is_said_in_one_sentence(scripts: Page) -> None:
    script = """async ([names, told, alike]) => {
        const { leagueSentence } = await import("/assets/scripts/compare/league-words.js");
        const rows = names.map((change) => ({ configuration: { mask: "m", change } }));
        return leagueSentence({ rows, told, alike, comparisons: names.length * (names.length - 1) / 2 });
    }"""
    names = ["band", "clip", "as sold"]
    assert scripts.evaluate(script, [names, [], []]) == (
        "None of these 3 configurations can be told from another: each may have any place."
    )
    assert scripts.evaluate(script, [names, [[0, 1], [0, 2]], [[1, 2]]]) == (
        "Told apart: “band” above “clip”, “as sold”. Who shares a place range cannot be told from each other by these "
        "tests. About the same: “clip” and “as sold”."
    )
    assert scripts.evaluate(script, [names, [[0, 1], [0, 2], [1, 2]], []]) == (
        "All of these 3 configurations can be told apart: “band” above “clip”, “as sold”; “clip” above “as sold”."
    )


def test_any_mask_can_be_the_measure_of_all(page: Page, demo: Dataset) -> None:
    page.goto("yardstick/")
    rows = page.locator("tbody tr")
    expect(page.get_by_label("The measure")).to_be_enabled()
    cells = "all => all.map(row => [...row.cells].map(cell => cell.textContent.trim()))"
    published, picture = rows.evaluate_all(cells), rows.first.locator("svg").inner_html()
    page.get_by_label("The measure").select_option("brodipim")
    expect(page.get_by_role("status")).to_contain_text("by Brodipim, as sold")
    page.wait_for_url("**/yardstick/?of=brodipim")
    found, _ = measured_by(demo.network, "brodipim")
    expected = [
        [
            configuration_label(demo, one.configuration),
            yardstick_words.ratio_text(one),
            "",
            yardstick_words.interval_text(one),
            yardstick_words.direct_text(one),
            yardstick_words.others_text(demo, one),
        ]
        for one in highest_first(found)
    ]
    assert rows.evaluate_all(cells) == expected
    assert axe(page) == []
    # By the mask that the page was published with, the script writes the very same rows.
    page.get_by_label("The measure").select_option(demo.reference)
    expect(page.get_by_role("status")).to_contain_text("by Skevuthar, as sold")
    assert rows.evaluate_all(cells) == published
    assert re.findall(r'[xrc]+="([\d.]+)"', rows.first.locator("svg").inner_html()) == re.findall(
        r'[xrc]+="([\d.]+)"', picture
    )
    page.go_back()
    expect(page.get_by_role("status")).to_contain_text("by Brodipim, as sold")
    page.goto("yardstick/?of=nothing-here")
    expect(page.get_by_role("status")).to_have_text(
        "nothing-here cannot be the measure here, so the most tried mask is."
    )


def test_a_comparison_without_a_page_any_more_is_compared_where_anything_is(page: Page, built_site: Path) -> None:
    """What a host shows for a page that is not there: the mask that most wearers tried, or a name, is another now."""
    lost = (built_site / "404.html").read_text("utf-8")
    page.route(
        "**/compare/brodipim/truskopim--foam-strip/", lambda route: route.fulfill(content_type="text/html", body=lost)
    )
    page.goto("compare/brodipim/truskopim--foam-strip/")
    link = page.get_by_role("link", name="Compare these two as they are now")
    expect(link).to_be_visible()
    assert str(link.evaluate("a => a.href")).endswith("/" + compare_address(["brodipim", "truskopim+foam-strip"]))
    page.goto("404.html")
    expect(page.get_by_role("heading", level=1).first).to_be_visible()
    expect(link).to_be_hidden()
