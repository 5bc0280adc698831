"""The face page in a browser: address, cells, chances as the builder computes them, and what leaves the browser."""

from __future__ import annotations

import itertools
import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, Page, Request, expect

from builder.commands.suggest import command
from builder.findings.dataset import Dataset
from builder.fit.panel import CELLS, cell_of
from builder.site.face_pages import BRIDGES, FACE_CELLS
from builder.words.catalogue import say
from builder.words.chances import chance_text, in_words, interval_text, percent, ranked_chance
from tests.browser.conftest import Watch, axe
from tests.conftest import ROOT

STATES = [
    *({"cell": str(cell), "bridge": bridge} for cell in (1, 4, 10) for bridge in ("", "low", "high")),
    *({"face": "unknown", "bridge": bridge} for bridge in ("", "medium")),
    {"length": "117", "width": "138", "bridge": "high"},
    {"length": "98.5", "width": "120.5"},
    {"length": "117"},
    {"width": "138", "bridge": "low"},
    {"bridge": "medium"},
    {"cell": "4", "masks": "as-sold"},
    {"cell": "4", "masks": "all"},
    {},
]


def faces(page: Page, query: str, shown: str) -> None:
    """Open the face page and wait until the list of a face type is drawn."""
    page.goto(f"faces/{query}")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", shown)


def in_page(page: Page, script: str, *arguments: object) -> Any:
    """Run a piece of script over the face page's modules; `panel` is the published panel."""
    prepared = """
        const from = (name) => import(new URL(`../assets/scripts/${name}.js`, location.href));
        const panel = await (await fetch("panel.json")).json();
    """
    return page.evaluate(f"async (args) => {{ {prepared} {script} }}", arguments)


def published(built_site: Path, face_type: str) -> Any:
    return json.loads((built_site / "faces" / "advice" / f"{face_type}.json").read_text("utf-8"))


def test_address_and_state_are_inverse(page: Page) -> None:
    page.goto("faces/")
    script = """
        const { NOTHING, stateFrom, queryOf } = await from("faces/face-state");
        return args[0].map((given) => {
            const state = { ...NOTHING, ...given };
            const query = queryOf(state);
            return [state, stateFrom(query, panel), query, queryOf(stateFrom(query, panel).state)];
        });
    """
    for state, back, query, again in in_page(page, script, STATES):
        assert back == {"state": state, "ignored": []}
        assert again == query


@pytest.mark.parametrize(
    ("query", "kept"),
    [
        ("?length=11&width=138", "?width=138"),
        ("?length=171&width=138.25", ""),
        ("?cell=11&bridge=huge", ""),
        ("?length=117&width=138&cell=1", "?length=117&width=138"),
        ("?cell=1&length=117&width=138", "?length=117&width=138"),
        ("?cell=2&face=unknown", "?cell=2"),
        ("?face=mine&other=1&bridge=low", "?bridge=low"),
        ("?length=1e2&width=%3Cb%3E", ""),
    ],
)
def test_an_address_that_fits_no_face_is_taken_as_far_as_it_does(page: Page, query: str, kept: str) -> None:
    page.goto("faces/")
    script = "const m = await from('faces/face-state'); return m.queryOf(m.stateFrom(args[0], panel).state)"
    assert in_page(page, script, query) == kept


def test_what_an_address_holds_too_much_is_named(page: Page) -> None:
    faces(page, "?cell=11&bridge=low", "unknown-low-as-sold")
    expect(page.locator(".sb-face__note")).to_contain_text("cell=11")


def test_millimetres_give_the_builders_cell_at_and_around_each_limit(page: Page) -> None:
    page.goto("faces/")
    lengths = sorted({mm for cell in CELLS for mm in (cell.length_low, cell.length_high)})
    widths = sorted({mm for cell in CELLS for mm in (cell.width_low, cell.width_high)})
    around = [[round(mm + step, 1) for mm in axis for step in (-0.1, 0, 0.1)] for axis in (lengths, widths)]
    pairs = [list(pair) for pair in itertools.product(*around)]
    script = """
        const { cellOf } = await from("common/panel");
        return args[0].map(([length, width]) => cellOf(length, width, panel.cells));
    """
    assert in_page(page, script, pairs) == [cell_of(length, width) for length, width in pairs]


def test_chances_are_written_as_the_builder_writes_them(page: Page) -> None:
    page.goto("faces/")
    chances = [step / 400 for step in range(401)]
    script = """
        const words = await from("faces/face-words");
        const { percent, chanceText, inWords, intervalText } = words;
        return args[0].map((c) => [percent(c), chanceText(c), inWords(c), intervalText(c / 2, c)]);
    """
    expected = [[percent(c), chance_text(c), in_words(c), interval_text(c / 2, c)] for c in chances]
    assert in_page(page, script, chances) == expected


def test_the_script_draws_any_face_as_the_builder_did(browser: Browser, site_url: str, page: Page) -> None:
    bare = browser.new_context(base_url=site_url, java_script_enabled=False)
    without = bare.new_page()
    without.goto("faces/")
    faces(page, "?face=unknown", "unknown-unknown-as-sold")
    for place in (".sb-face__first", ".sb-face__ranked"):
        texts = [" ".join(one.locator(place).inner_text().split()) for one in (without, page)]
        assert texts[0] == texts[1]
        links = [one.locator(f"{place} a").evaluate_all("all => all.map(a => a.href)") for one in (without, page)]
        assert links[0] == links[1]
    bare.close()


@pytest.mark.parametrize(
    ("cell", "bridge", "masks"),
    [("4", "high", ""), ("10", "unknown", ""), ("unknown", "low", ""), ("7", "unknown", "as-sold")],
)
def test_what_is_shown_is_what_is_published_and_what_the_command_says(
    page: Page, built_site: Path, cell: str, bridge: str, masks: str
) -> None:
    query = "&".join(
        ["face=unknown" if cell == "unknown" else f"cell={cell}", *([f"bridge={bridge}"] * (bridge != "unknown"))]
    )
    face_type = "-".join(filter(None, (cell, bridge, masks)))
    faces(page, f"?{query}{'' if masks else '&masks=all'}", face_type)
    advice = published(built_site, face_type)
    options = [] if cell == "unknown" else ["--cell", cell]
    options += [] if bridge == "unknown" else ["--bridge", bridge]
    options += [] if masks else ["--changed"]
    said = json.loads(
        CliRunner().invoke(command, [*options, "--format", "json", "--entries", str(ROOT / "entries")]).output
    )
    rows = page.locator(".sb-face__ranked tbody tr")
    expect(rows).to_have_count(len(advice["ranked"]))
    for shown, row, command_row in zip(rows.all_inner_texts(), advice["ranked"], said["ranked"], strict=False):
        assert row["configuration"] == command_row["configuration"]
        # The page is given four digits, cut, so that it rounds to 5 % but once; the command prints six, rounded.
        assert -5e-7 <= command_row["chance"] - row["chance"] < 1e-4 + 5e-7
        text = " ".join(shown.split())
        chance = f"{ranked_chance(row['chance'], row['little_known'])} ({interval_text(row['low'], row['high'])})"
        assert row["label"] in text
        assert f"{chance} {row['wearers']} " in text
    for place, kind in enumerate(["best_as_sold", "best_changed"]):
        best = page.locator(".sb-face__first dl > div").nth(place)
        expect(best.locator("dt")).to_have_text(say(f"advice.{kind}"))
        expect(best.locator("a").first).to_have_text(advice[kind]["label"])
        assert advice[kind]["configuration"] == said[kind]["configuration"]
    expect(page.locator(".sb-face__first > p.sb-muted").first).to_have_text(say("advice.order"))
    items = page.locator(".sb-advice__first > li")
    expect(items).to_have_count(len(said["try_first"]))
    for shown, row, choice in zip(items.all_inner_texts(), advice["first"], said["try_first"], strict=True):
        assert row["configuration"] == choice["configuration"]
        assert f"alone: {ranked_chance(choice['chance'], row['little_known'])} (" in shown
    told = [text.split(";")[-1].split("\n")[0].strip() for text in items.all_inner_texts()[1:]]
    assert told == [say("advice.adds"), say("advice.adds_to_all")]
    total = said["try_first"][-1]["cumulative_chance"]
    expect(page.locator(".sb-advice__chance strong")).to_have_text(chance_text(total))


def test_every_face_type_can_be_drawn(page: Page) -> None:
    page.goto("faces/")
    script = """
        const { firstList, rankedList } = await from("faces/advice-list");
        const drawn = [];
        for (const type of args[0]) {
            const advice = await (await fetch(`advice/${type}.json`)).json();
            const rows = rankedList(advice)[1].querySelectorAll("tbody tr").length;
            drawn.push([type, firstList(advice)[0].children.length, rows === advice.ranked.length]);
        }
        return drawn;
    """
    types = [f"{c}-{b}{masks}" for c, b, masks in itertools.product(FACE_CELLS, BRIDGES, ["", "-as-sold"])]
    assert in_page(page, script, types) == [[face_type, 3, True] for face_type in types]


def test_typing_a_face_by_keyboard(page: Page) -> None:
    faces(page, "", "unknown-unknown-as-sold")
    expect(page.get_by_label("Only masks as sold")).to_be_checked()
    page.get_by_label("Face length, mm").focus()
    page.keyboard.type("117")
    expect(page.locator(".sb-face__note")).to_have_text("Give the face width too.")
    page.keyboard.press("Tab")
    page.keyboard.type("138")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-unknown-as-sold")
    expect(page.locator(".sb-face__note")).to_be_hidden()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.type("High")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high-as-sold")
    expect(page.locator(".sb-face__whose")).to_contain_text("For a face in cell 4 (117 × 138 mm), high nose bridge")
    expect(page.locator(".sb-panel__cell--here")).to_have_attribute("data-cell", "4")
    expect(page.locator(".sb-face__whose")).to_contain_text("Masks as sold only.")
    page.wait_for_url("**/faces/?length=117&width=138&bridge=high&masks=as-sold")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high")
    expect(page.locator(".sb-face__whose")).to_contain_text("Changed masks too: they are no longer certified.")
    page.wait_for_url("**/faces/?length=117&width=138&bridge=high&masks=all")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "unknown-high")
    page.wait_for_url("**/faces/?face=unknown&bridge=high&masks=all")
    assert page.get_by_label("Face length, mm").input_value() == ""
    page.reload()
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "unknown-high")
    expect(page.get_by_label("Only masks as sold")).not_to_be_checked()


def test_a_face_below_the_panel_gets_the_reason_and_no_list(page: Page) -> None:
    faces(page, "?length=95&width=118", "small")
    said = CliRunner().invoke(
        command, ["--length", "95", "--width", "118", "--format", "json", "--entries", str(ROOT / "entries")]
    )
    expect(page.locator(".sb-face__whose")).to_have_text(json.loads(said.output)["why"])
    for place in (".sb-face__first", ".sb-face__ranked"):
        expect(page.locator(place)).to_be_empty()
    page.get_by_label("Face length, mm").fill("110")
    page.get_by_label("Face width, mm").fill("125")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "3-unknown-as-sold")
    expect(page.locator(".sb-advice__first > li")).to_have_count(3)


def test_a_cell_takes_the_place_of_millimetres(page: Page) -> None:
    faces(page, "?length=117,5&width=138", "unknown-unknown-as-sold")
    page.get_by_label("Face length, mm").fill("117,5")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-unknown-as-sold")
    page.get_by_label("or panel cell").select_option("9")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "9-unknown-as-sold")
    page.wait_for_url("**/faces/?cell=9&masks=as-sold")
    assert page.get_by_label("Face width, mm").input_value() == ""
    page.reload()
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "9-unknown-as-sold")
    assert page.get_by_label("or panel cell").input_value() == "9"


def test_outside_the_panel_nothing_is_predicted(page: Page) -> None:
    faces(page, "?length=130&width=122", "unknown-unknown-as-sold")
    expect(page.locator(".sb-face__whose")).to_contain_text("the panel has no cell for such a face")
    expect(page.locator(".sb-panel__cell--here")).to_have_count(0)


def test_impossible_measures_are_named(page: Page) -> None:
    page.goto("faces/")
    page.get_by_label("Face length, mm").fill("11.7")
    page.get_by_label("Face width, mm").fill("138")
    expect(page.locator(".sb-face__note")).to_contain_text("A face length lies between 80 and 170 mm")


def test_an_empty_cell_says_that_nobody_stands_in_it(page: Page, demo: Dataset) -> None:
    empty = next(cell for cell in CELLS if cell.name not in set(demo.counted["cell"]))
    faces(page, f"?cell={empty.name}", f"{empty.name}-unknown-as-sold")
    expect(page.locator(".sb-face__whose")).to_contain_text("Nobody in it has tested yet")


def test_no_request_holds_what_was_entered(page: Page) -> None:
    page.goto("faces/")
    expect(page.locator(".sb-face__form")).to_be_visible()
    sent: list[Request] = []

    def note(request: Request) -> None:
        sent.append(request)

    page.on("request", note)
    page.get_by_label("Face length, mm").fill("117.3")
    page.get_by_label("Face width, mm").fill("138.6")
    page.wait_for_url("**/faces/?length=117.3&width=138.6&masks=as-sold")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-unknown-as-sold")
    page.locator(".sb-face__ranked tbody a").first.click()
    page.wait_for_url("**/masks/**")
    assert any(request.url.endswith("advice/4-unknown-as-sold.json") for request in sent)
    for request in sent:
        told = json.dumps([request.url, request.post_data or "", request.all_headers()])
        assert not re.search(r"117\.3|138\.6|length=", told), told


def test_a_link_leads_to_the_configuration_on_its_masks_page(page: Page, built_site: Path) -> None:
    faces(page, "?cell=4", "4-unknown-as-sold")
    row = published(built_site, "4-unknown-as-sold")["first"][0]
    page.locator(".sb-advice__first a").first.click()
    page.wait_for_url(f"**/masks/{row['configuration'].partition('+')[0]}/#{row['configuration']}")
    expect(page.locator(f"[id='{row['configuration']}']")).to_be_visible()


def test_a_list_that_does_not_load_is_said(page: Page, watch: Watch) -> None:
    page.route("**/advice/4-high-as-sold.json", lambda route: route.abort())
    page.goto("faces/?cell=4&bridge=high")
    expect(page.locator(".sb-face__note")).to_contain_text("could not be loaded")
    watch.faults.clear()


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_a_picked_face_is_accessible_and_fits_a_phone(page: Page, colours: str) -> None:
    page.emulate_media(color_scheme=colours)  # type: ignore[arg-type]
    page.set_viewport_size({"width": 390, "height": 844})
    faces(page, "?length=117&width=138&bridge=high&masks=all", "4-high")
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_without_scripts_there_is_a_list_and_a_page_a_cell(browser: Browser, site_url: str, watch: Watch) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    watch.over(context)
    page = context.new_page()
    page.goto("faces/")
    expect(page.locator(".sb-face__form")).to_be_hidden()
    expect(page.locator(".sb-advice__first > li")).to_have_count(3)
    page.get_by_role("link", name="your cell in the table below").click()
    page.locator("table").get_by_role("link", name="cell 4", exact=True).click()
    page.wait_for_url("**/faces/cell-4/")
    expect(page.locator(".sb-advice__first > li")).to_have_count(3)
    assert page.locator(".sb-advice__ranked tbody tr").count() > 5
    context.close()
