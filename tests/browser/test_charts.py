"""Charts: a still picture in the page, and a figure to look into for whoever touches it."""

from __future__ import annotations

import itertools
import re

import plotly.graph_objects as go
import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from builder.findings.dataset import Dataset
from builder.words.labels import bridge_label, cell_label, change_label
from builder.words.numbers import fit
from tests.browser.conftest import COLOURS, UNSTARTED, Watch, axe, lay_out

DRAWN = ".sb-chart[data-drawn]"
PICTURES = ".sb-chart__box > svg"
STILL = f"[data-source] {PICTURES}"
"""The picture of a chart that can be touched for more."""
BOX = "[data-source] .sb-chart__box"
LIVE = ".sb-chart__live"


def charts(demo: Dataset) -> list[str]:
    """A page of each kind that has a chart."""
    return [mask_page(demo), hack_page(demo), "methods/"]


def mask_page(demo: Dataset) -> str:
    return f"masks/{demo.table['mask'].value_counts().index[0]}/"


def hack_page(demo: Dataset) -> str:
    most = max(demo.hacks.values(), key=lambda effect: len(effect.contrasts))
    return f"hacks/{most.part}/"


def box_of(locator: Locator) -> dict[str, float]:
    box = locator.bounding_box()
    assert box is not None
    return {**box}  # type: ignore[dict-item]


def middle_of(locator: Locator) -> tuple[float, float]:
    box = box_of(locator)
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def library_requests(page: Page) -> list[str]:
    """The requests for the chart library and for figures, as they come."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    return asked


def figures_of(asked: list[str]) -> list[str]:
    names = ("plotly-basic.min.js", "donnings.packed", "effects.json", "reliability.json")
    return [url for url in asked if url.endswith(names)]


def test_nothing_is_loaded_to_look_into_until_a_picture_is_touched(page: Page, demo: Dataset) -> None:
    asked = library_requests(page)
    for address in charts(demo):
        page.goto(address)
        still = page.locator(STILL)
        still.scroll_into_view_if_needed()
        expect(page.get_by_role("button", name="Look closer")).to_be_visible()
        # A finger that scrolls the page.
        still.dispatch_event("pointerenter", {"pointerType": "touch"})
        page.wait_for_timeout(300)
        assert still.is_visible()
        assert figures_of(asked) == [], address


@pytest.mark.parametrize("way", ["resting", "click"])
def test_a_touched_picture_becomes_a_figure_in_the_same_place(page: Page, demo: Dataset, way: str) -> None:
    for address in (hack_page(demo), "methods/"):
        page.goto(address)
        lay_out(page)
        still = page.locator(STILL)
        still.scroll_into_view_if_needed()
        expect(page.get_by_role("button", name="Look closer")).to_be_visible()
        expect(page.locator(UNSTARTED)).to_have_count(0)
        before, whole = box_of(page.locator(BOX)), page.evaluate("document.documentElement.scrollHeight")
        dot, words = (middle_of(still.locator(one).first) for one in ("circle", "text:last-of-type"))
        said = still.locator("text:last-of-type").first.text_content() or ""
        if way == "resting":
            still.hover()
        else:
            still.dispatch_event("click")
        page.wait_for_selector(DRAWN)
        assert box_of(page.locator(LIVE)) == pytest.approx(before)
        assert page.evaluate("document.documentElement.scrollHeight") == whole
        assert not page.locator(STILL).is_visible()
        assert middle_of(page.locator(f"{LIVE} .points path").first) == pytest.approx(dot, abs=1.5)
        assert middle_of(page.locator(f"{LIVE} .annotation-text", has_text=said).last) == pytest.approx(words, abs=3)


def test_a_wide_page_sets_what_a_row_is_called_and_its_figures_on_the_line_of_its_mark(
    page: Page, demo: Dataset
) -> None:
    page.set_viewport_size({"width": 1280, "height": 900})
    for address in (hack_page(demo), "hacks/", "compare/skevuthar/brodipim/"):
        page.goto(address)
        lay_out(page)
        expect(page.locator(UNSTARTED)).to_have_count(0)
        still = page.locator(PICTURES).first
        assert box_of(page.locator(".sb-chart__box").first)["width"] > box_of(still)["width"]
        lines = sorted(middle_of(dot)[1] for dot in still.locator("circle").all())
        words = sorted(middle_of(text)[1] for text in still.locator(".sb-chart__beside[text-anchor]").all())
        assert all(min(abs(y - line) for y in words) < 3 for line in lines), address
        inner = box_of(still)
        for text in still.locator(".sb-chart__beside").all():
            box = box_of(text)
            assert box["x"] + box["width"] < inner["x"] or box["x"] > inner["x"] + inner["width"], address


LIT = ".sb-donnings--lit"


def test_a_wearer_is_lit_by_pointer_touch_and_keys_and_nothing_is_loaded(page: Page, demo: Dataset) -> None:
    asked = library_requests(page)
    page.goto(mask_page(demo))
    lay_out(page)
    expect(page.locator(UNSTARTED)).to_have_count(0)
    wearers = page.locator("[data-wearer]")
    box = page.locator(".sb-chart__box[role=application]")
    expect(box).to_have_attribute("aria-label", re.compile("Arrow keys go from wearer to wearer.$"))
    names = wearers.evaluate_all("all => all.map(one => one.dataset.wearer)")
    words, told = page.locator(".sb-donnings__said"), page.locator(".sb-chart .sb-hidden[role=status]")
    # A pointer need not be on the dot: it is enough to be near.
    wearers.nth(1).locator("circle").first.scroll_into_view_if_needed()
    dot = box_of(wearers.nth(1).locator("circle").first)
    page.mouse.move(dot["x"] + 6, dot["y"] - 1)
    expect(page.locator(LIT)).to_have_count(1)
    expect(words).to_contain_text(re.compile(f"^({'|'.join(names)}), "))
    other = page.locator("[data-wearer]:not(.sb-donnings--lit)").first
    expect(other).to_have_css("opacity", "0.15")
    page.mouse.move(2, 2)
    expect(page.locator(LIT)).to_have_count(0)
    expect(words).to_be_hidden()
    # A touch keeps it lit, a second one takes it back.
    place = box_of(page.locator(".sb-chart__box > svg").first)
    x, y = dot["x"] + dot["width"] / 2 - place["x"], dot["y"] + dot["height"] / 2 - place["y"]
    page.locator(".sb-chart__box > svg").first.click(position={"x": x, "y": y})
    page.mouse.move(2, 2)
    expect(page.locator(LIT)).to_have_count(1)
    page.locator(".sb-chart__box > svg").first.click(position={"x": x, "y": y})
    page.mouse.move(2, 2)
    expect(page.locator(LIT)).to_have_count(0)
    # By keys, and told to who does not see it.
    box.focus()
    for key, name in (("ArrowRight", names[0]), ("ArrowDown", names[1]), ("End", names[-1]), ("Home", names[0])):
        page.keyboard.press(key)
        expect(page.locator(LIT)).to_have_attribute("data-wearer", name)
        expect(told).to_contain_text(f"{name}, ")
    assert axe(page) == []
    page.keyboard.press("Escape")
    expect(page.locator(LIT)).to_have_count(0)
    expect(told).to_have_text("")
    assert figures_of(asked) == []


def test_the_figure_lights_a_wearer_too(page: Page, demo: Dataset) -> None:
    page.goto(mask_page(demo))
    page.get_by_role("button", name="Look closer").click()
    page.wait_for_selector(DRAWN)
    page.keyboard.press("End")
    # All but the medians and the wearer are dimmed, once the library has drawn it.
    page.wait_for_function(
        """traces => {
            const all = [...document.querySelectorAll(traces)];
            return all.filter(one => Number(getComputedStyle(one).opacity) < 1).length === all.length - 2;
        }""",
        arg=f"{LIVE} .scatterlayer .trace",
    )
    page.keyboard.press("Tab")
    expect(page.locator(f"{LIVE} .hovertext")).to_have_count(0)


def test_without_a_script_a_pointer_lights_a_wearer(browser: Browser, site_url: str, demo: Dataset) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto(mask_page(demo))
    page.locator("[data-wearer]").nth(1).locator("circle").first.hover()
    expect(page.locator("[data-wearer]").nth(0)).to_have_css("opacity", "0.15")
    context.close()


def test_the_figure_of_a_mask_holds_its_donnings_and_follows_the_theme(page: Page, demo: Dataset) -> None:
    address = mask_page(demo)
    page.goto(address)
    page.get_by_role("button", name="Look closer").click()
    page.wait_for_selector(DRAWN)
    counted = demo.counted[demo.counted["mask"] == address.split("/")[1]]
    medians = counted["configuration"].nunique()
    expect(page.locator(f"{LIVE} .scatterlayer .point")).to_have_count(len(counted) + medians)
    label = page.locator(f"{LIVE} .annotation-text").first
    before = label.evaluate("e => getComputedStyle(e).fill")
    page.get_by_role("button", name="Switch to dark colours").click()
    expect(label).not_to_have_css("fill", before)


def test_the_figure_of_each_mask_is_one_that_plotly_knows(scripts: Page, demo: Dataset) -> None:
    """Unknown or impossible properties raise ValueError. Dots say what the site says of their tests."""
    script = """async (masks) => {
        const { donningsFigure } = await import("/assets/scripts/common/donnings.js");
        const { load } = await import("/assets/scripts/common/files.js");
        const published = await Promise.all(masks.map((mask) => load(`/masks/${mask}/donnings.packed`)));
        return published.map(donningsFigure);
    }"""
    masks = sorted(demo.counted["mask"].unique())
    for mask, figure in zip(masks, scripts.evaluate(script, masks), strict=True):
        own = demo.counted[demo.counted["mask"] == mask]
        medians, *wearers = go.Figure(figure).data
        assert len(medians.x) == own["configuration"].nunique()
        assert [trace.name for trace in wearers] == sorted(own["wearer"].unique())
        for trace in wearers:
            tests = own[own["wearer"] == trace.name].sort_values(["configuration", "fit_factor", "test"])
            assert list(trace.x) == tests["fit_factor"].tolist()
            said = [
                f"<b>{fit(test.fit_factor, test.at_least)}</b> {change_label(demo, test.parts)}<br>"
                f"{test.wearer}, {test.date}<br>{cell_label(test.cell)}, {bridge_label(test.nose_bridge)}"
                for test in tests.itertuples()
            ]
            assert list(trace.customdata) == said


def test_the_figure_of_predictions_holds_every_group(page: Page, demo: Dataset) -> None:
    page.goto("methods/")
    page.get_by_role("button", name="Look closer").click()
    page.wait_for_selector(DRAWN)
    assert demo.validation is not None
    expect(page.locator(f"{LIVE} .scatterlayer .point")).to_have_count(len(demo.validation.reliability))


def test_keys_open_a_figure_and_lead_from_dot_to_dot(page: Page, demo: Dataset) -> None:
    page.goto(hack_page(demo))
    button = page.get_by_role("button", name="Look closer")
    button.focus()
    page.keyboard.press("Enter")
    live = page.locator(LIVE)
    expect(live).to_be_focused()
    status = page.locator(".sb-chart__more [role=status]")
    expect(status).to_have_text("")
    said = []
    for key in ("ArrowRight", "ArrowDown", "ArrowLeft", "End", "Home"):
        page.keyboard.press(key)
        expect(status).not_to_be_empty()
        said.append(status.text_content())
        expect(live.locator(".hovertext")).to_be_visible()
    first, second, back, last, home = said
    assert first == back == home != second
    assert last is not None and last.startswith("on a new face, another mask, ×")
    page.keyboard.press("Shift+Tab")
    expect(status).to_have_text("")


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_axe_finds_nothing_in_a_figure(page: Page, demo: Dataset, colours: str) -> None:
    page.emulate_media(color_scheme=colours)  # type: ignore[arg-type]
    for address in charts(demo):
        page.goto(address)
        page.get_by_role("button", name="Look closer").click()
        page.wait_for_selector(DRAWN)
        assert axe(page, COLOURS if colours == "dark" else None) == [], address


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_without_scripts_pictures_are_there_in_the_colours_of_the_page(
    browser: Browser, site_url: str, demo: Dataset, watch: Watch, colours: str
) -> None:
    context = browser.new_context(
        base_url=site_url,
        java_script_enabled=False,
        color_scheme=colours,  # type: ignore[arg-type]
    )
    watch.over(context)
    page = context.new_page()
    for address in charts(demo):
        page.goto(address)
        picture = page.locator(STILL)
        assert picture.is_visible()
        assert picture.locator("circle").count() > 3
        name, description = (picture.locator(part).text_content() or "" for part in (":scope > title", ":scope > desc"))
        expect(page.get_by_role("img", name=f"{name} {description}")).to_have_count(1)
        assert "The table below holds the figures." in description
        assert not page.get_by_role("button", name="Look closer").is_visible()
        ink = page.evaluate("getComputedStyle(document.body).color")
        assert ink in picture.locator("text").evaluate_all("all => all.map((e) => getComputedStyle(e).fill)")
    context.close()


@pytest.mark.parametrize("touched", [False, True])
def test_the_still_picture_is_printed_in_the_colours_of_paper(page: Page, demo: Dataset, touched: bool) -> None:
    page.emulate_media(color_scheme="dark")
    page.goto(mask_page(demo))
    if touched:
        page.get_by_role("button", name="Look closer").click()
        page.wait_for_selector(DRAWN)
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    assert page.locator(STILL).is_visible()
    assert not page.locator(LIVE).is_visible()
    assert not page.get_by_role("button", name="Look closer").is_visible()
    label = page.locator(f"{STILL} text", has_text="as sold")
    assert label.evaluate("e => getComputedStyle(e).fill") == "rgb(28, 43, 48)"


def test_a_figure_that_does_not_come_leaves_the_picture_and_may_be_asked_for_again(
    page: Page, demo: Dataset, watch: Watch
) -> None:
    page.route("**/donnings.packed", lambda route: route.abort())
    page.goto(mask_page(demo))
    button = page.get_by_role("button", name="Look closer")
    button.click()
    expect(page.locator(".sb-chart__more [role=status]")).to_have_text(
        "The chart to look into did not load; the picture and the table hold its figures."
    )
    assert page.locator(STILL).is_visible()
    page.unroute("**/donnings.packed")
    button.click()
    page.wait_for_selector(DRAWN)
    expect(page.locator(".sb-chart__more [role=status]")).to_have_text("")
    page.goto("about:blank")  # so that no fault comes after these are cleared
    assert [fault for fault in watch.faults if "net::ERR_FAILED" not in fault] == []
    watch.faults.clear()


@pytest.mark.parametrize("width", [360, 390, 720, 1280])
def test_words_stay_inside_a_picture_and_clear_of_each_other(page: Page, demo: Dataset, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    for address in charts(demo):
        page.goto(address)
        for picture in page.locator(PICTURES).all():
            _words_are_clear(picture, address)


def _words_are_clear(picture: Locator, address: str) -> None:
    # A halo of paper is no part of a letter, so that the boxes are those of the letters alone.
    width_of_picture, words = picture.evaluate(
        """svg => [svg.clientWidth, [...svg.querySelectorAll("text")].flatMap((text) => {
            const { x, y, width, height } = text.getBBox();
            const shown = getComputedStyle(text).display !== "none";
            return shown ? [[text.textContent, x, y, x + width, y + height]] : [];
        })]"""
    )
    assert len(words) > 5
    for text, left, _, right, _ in words:
        # Of some letters, a fine edge reaches over the place where they begin.
        assert left >= -1, (address, text)
        assert right <= width_of_picture + 1, (address, text)
    for (text, left, top, right, bottom), (other, *box) in itertools.combinations(words, 2):
        across = min(right, box[2]) - max(left, box[0])
        # A box is as high as a line; its letters are lower.
        along = min(bottom, box[3]) - max(top, box[1])
        assert across <= 0 or along <= 4, (address, text, other)
