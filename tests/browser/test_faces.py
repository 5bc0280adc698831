"""The face page in a browser: address, cells, chances as the builder computes them, and what leaves the browser."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote, urlsplit

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, Page, Request, Route, expect

from builder.commands.own_texts import read_own_results
from builder.commands.suggest import command
from builder.findings.advice import advise
from builder.findings.dataset import Dataset
from builder.findings.forecast import Forecast, NoModel
from builder.findings.tried import triers
from builder.fit.facemodel import FaceDescription
from builder.fit.panel import CELLS, cell_of
from builder.site.face_pages import face_files, face_pages
from builder.site.people_file import people_file
from builder.site.published import Renderer
from builder.words.catalogue import say
from builder.words.chances import chance_text, in_words, interval_text, of_ten, percent
from builder.words.labels import configuration_label
from builder.words.numbers import figure, none
from builder.words.own_words import other_mask_label, own_result_sentence
from builder.words.predictions import why_sentence
from tests.browser.conftest import Watch, axe, choose_by_keys
from tests.conftest import ROOT

STATES = [
    *({"cell": str(cell), "bridge": bridge} for cell in (1, 4, 10) for bridge in ("", "low", "high")),
    {"cell": "4", "own": ["brodipim=64", "other:cup:ffp2=passed:taste"]},
    {"own": ["brodipim+wire-brace=200+:one-exercise"]},
    {"length": "117", "width": "138", "bridge": "high"},
    {"length": "98.5", "width": "120.5"},
    {"length": "117"},
    {"width": "138", "bridge": "low"},
    {"bridge": "medium"},
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
        const from = (name) => import(`/assets/scripts/${name}.js`);
        const panel = await (await fetch("/faces/panel.json")).json();
    """
    return page.evaluate(f"async (args) => {{ {prepared} {script} }}", arguments)


def suggest(*options: str) -> Any:
    """What the command says."""
    told = CliRunner().invoke(command, [*options, "--format", "json", "--entries", str(ROOT / "entries")])
    return json.loads(told.output)


def test_address_and_state_are_inverse(scripts: Page) -> None:
    script = """
        const { NOTHING, stateFrom, queryOf } = await from("faces/face-state");
        return args[0].map((given) => {
            const state = { ...NOTHING, ...given };
            const query = queryOf(state);
            return [state, stateFrom(query, panel), query, queryOf(stateFrom(query, panel).state)];
        });
    """
    for state, back, query, again in in_page(scripts, script, STATES):
        assert back == {"state": state, "ignored": []}
        assert again == query


KEPT_OF = {
    "?length=11&width=138": "?width=138",
    "?length=171&width=138.25": "",
    "?cell=11&bridge=huge": "",
    "?length=117&width=138&cell=1": "?length=117&width=138",
    "?cell=1&length=117&width=138": "?length=117&width=138",
    "?cell=2&face=unknown": "?cell=2",
    "?face=mine&other=1&bridge=low": "?bridge=low",
    "?length=1e2&width=%3Cb%3E": "",
}


def test_an_address_that_fits_no_face_is_taken_as_far_as_it_does(scripts: Page) -> None:
    script = """
        const m = await from("faces/face-state");
        return args[0].map((query) => m.queryOf(m.stateFrom(query, panel).state));
    """
    assert in_page(scripts, script, [*KEPT_OF]) == [*KEPT_OF.values()]


def test_what_an_address_holds_too_much_is_named(page: Page) -> None:
    faces(page, "?cell=11&bridge=low", "unknown-low-as-sold")
    expect(page.locator(".sb-face__note")).to_contain_text("cell=11")


def test_millimetres_give_the_builders_cell_at_and_around_each_limit(scripts: Page) -> None:
    lengths = sorted({mm for cell in CELLS for mm in (cell.length_low, cell.length_high)})
    widths = sorted({mm for cell in CELLS for mm in (cell.width_low, cell.width_high)})
    around = [[round(mm + step, 1) for mm in axis for step in (-0.1, 0, 0.1)] for axis in (lengths, widths)]
    pairs = [list(pair) for pair in itertools.product(*around)]
    script = """
        const { cellOf } = await from("common/panel");
        return args[0].map(([length, width]) => cellOf(length, width, panel.cells));
    """
    assert in_page(scripts, script, pairs) == [cell_of(length, width) for length, width in pairs]


def test_chances_are_written_as_the_builder_writes_them(scripts: Page) -> None:
    chances = [step / 400 for step in range(401)]
    script = """
        const words = { ...(await from("common/chances")), ...(await from("faces/face-words")) };
        const { percent, chanceText, inWords, intervalText, ofTen } = words;
        return args[0].map((c) => [percent(c), chanceText(c), inWords(c), intervalText(c / 2, c), ofTen(c)]);
    """
    expected = [[percent(c), chance_text(c), in_words(c), interval_text(c / 2, c), of_ten(c)] for c in chances]
    assert in_page(scripts, script, chances) == expected


def test_the_script_draws_any_face_as_the_builder_did(browser: Browser, site_url: str, page: Page) -> None:
    bare = browser.new_context(base_url=site_url, java_script_enabled=False)
    without = bare.new_page()
    without.goto("faces/")
    faces(page, "", "unknown-unknown-as-sold")
    for place in (".sb-face__first", ".sb-face__ranked > p"):
        texts = [" ".join(" ".join(one.locator(place).all_inner_texts()).split()) for one in (without, page)]
        assert texts[0] == texts[1]
    rows = [
        one.locator(".sb-face__ranked tbody tr").evaluate_all(
            "all => all.map(row => [...row.children].map(cell => cell.innerText.trim()))"
        )
        for one in (without, page)
    ]
    # What is expected is written to three digits, more than what a browser is sent of the model.
    assert [row[:-1] for row in rows[0]] == [row[:-1] for row in rows[1]]
    expected = [[float(row[-1].replace(",", "")) for row in one] for one in rows]
    assert expected[1] == pytest.approx(expected[0], rel=0.01)
    for place in (".sb-face__first", ".sb-face__ranked"):
        links = [one.locator(f"{place} a").evaluate_all("all => all.map(a => a.href)") for one in (without, page)]
        assert links[0] == links[1]
    bare.close()


PEOPLE = [
    (["--cell", "4", "--bridge", "high"], "cell=4&bridge=high", []),
    (["--cell", "10", "--changed"], "cell=10&masks=all", []),
    (["--length", "117.5", "--width", "138"], "length=117.5&width=138", ["brodipim=64"]),
    (["--length", "121", "--width", "141", "--bridge", "low"], "length=121&width=141&bridge=low", ["zelmonul=failed"]),
    (["--changed"], "masks=all", ["brodipim=failed:taste", "glivedupim=leaks", "other:cup:ffp2=200+"]),
    (["--cell", "7"], "cell=7", ["glivedupim=30:one-exercise:particle-sensor", "other:duckbill=passed:smell"]),
]


@pytest.mark.parametrize(("options", "query", "own"), PEOPLE)
def test_the_list_is_what_the_command_says_also_after_own_results(
    page: Page, options: list[str], query: str, own: list[str]
) -> None:
    """Within 3 points, as chances are rounded to 5."""
    said = suggest(*options, *(part for text in own for part in ("--own", text)))
    page.goto(f"faces/?{query}{''.join(f'&own={quote(text)}' for text in own)}")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", re.compile(r"\+\d$" if own else r"."))
    expect(page.locator(".sb-face__note")).to_be_hidden()
    rows = page.locator(".sb-face__ranked tbody tr")
    expect(rows).to_have_count(min(60, len(said["ranked"])))
    expected = {row["configuration"]: row for row in said["ranked"]}
    for row in rows.all():
        name = unquote(str(row.locator("a").get_attribute("href")).partition("#")[2])
        interval = re.search(r"\((?:about )?(\d+)(?:–(\d+))?\s%\)", row.inner_text())
        about = re.search(r"about (\d+)\s%", row.inner_text())
        if interval:
            ends = [int(end) for end in interval.groups() if end]
            assert ends[0] == pytest.approx(100 * expected[name]["low"], abs=6), name
            assert ends[-1] == pytest.approx(100 * expected[name]["high"], abs=6), name
        if about and "little is known" not in row.inner_text():
            assert int(about[1]) == pytest.approx(100 * expected[name]["chance"], abs=5.5), name
    first = page.locator(".sb-advice__first > li")
    expect(first).to_have_count(3)
    claimed = said["try_first"][-1]["cumulative_chance"]
    odds = {chance_text(claimed + away) for away in (-0.03, 0, 0.03)}
    assert page.locator(".sb-advice__chance strong").inner_text() in odds
    for item in first.all() if own else []:
        name = unquote(str(item.locator("a").first.get_attribute("href")).partition("#")[2])
        moved = re.search(r"([+−]\d+) points since you told of", item.inner_text())
        before, now = (percent(expected[name][key]) for key in ("chance_before", "chance"))
        if moved:
            assert int(moved[1].replace("−", "-")) == pytest.approx(now - before, abs=5)


def test_what_was_told_is_said_back_as_the_command_says_it(page: Page, demo: Dataset) -> None:
    texts = [
        "brodipim=64.5",
        "zelmonul=200+:one-exercise",
        "skevuthar=passed",
        "glivedupim=failed:taste",
        "velanul=passed:smell",
        "quemamibek=leaks",
        "other:cup:ffp2=12",
        "other:duckbill=failed",
    ]
    page.goto(f"faces/?{'&'.join(f'own={quote(text)}' for text in texts)}")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "unknown-unknown-as-sold+8")
    said = []
    for told in read_own_results(demo, texts):
        listed = told.configuration
        mask = configuration_label(demo, listed) if listed else other_mask_label(told.style, told.mask_class)
        said.append(own_result_sentence(mask, told.result))
    assert page.locator(".sb-told__said").all_inner_texts() == said
    # Where the shares of wrong answers come from is one click away.
    sources = page.locator(".sb-told__source a:visible")
    expect(sources).to_have_count(5)
    expect(sources.first).to_have_attribute("href", "../methods/#what-a-reader-knows-of-their-own-face")


def test_telling_by_keyboard_alone_changes_the_answer_at_once(page: Page) -> None:
    faces(page, "", "unknown-unknown-as-sold")
    expect(page.get_by_label("Only masks as sold")).to_be_checked()
    page.get_by_label("Face length, mm").focus()
    page.keyboard.type("117,5")
    expect(page.locator(".sb-face__note")).to_have_text("Give the face width too.")
    page.keyboard.press("Tab")
    page.keyboard.type("138")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-unknown-as-sold")
    expect(page.locator(".sb-face__note")).to_be_hidden()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    choose_by_keys(page, "High")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high-as-sold")
    expect(page.locator(".sb-face__whose")).to_contain_text("For a face in cell 4 (117.5 × 138 mm), high nose bridge")
    expect(page.locator(".sb-panel__cell--here")).to_have_attribute("data-cell", "4")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high")
    expect(page.locator(".sb-face__whose")).to_contain_text("Changed masks too: they are no longer certified.")
    page.keyboard.press("Tab")
    page.keyboard.type("brodipim, as sold")
    page.keyboard.press("Enter")
    expect(page.locator(".sb-told__mask strong")).to_have_text("Brodipim, as sold")
    choose_by_keys(page, "A fit factor")
    expect(page.locator(".sb-told__line [name=figure]")).to_be_visible()
    page.keyboard.press("Tab")
    page.keyboard.type("12,5")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high+1")
    expect(page.locator(".sb-told__said")).to_have_text("Brodipim, as sold: a fit factor of 12.5.")
    expect(page.locator(".sb-face__first")).to_contain_text("since you told of Brodipim, as sold")
    page.get_by_role("button", name="Remove Brodipim, as sold").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high")
    assert page.evaluate("document.activeElement.id") == "sb-told-add"


def test_a_fit_factor_as_it_is_typed(scripts: Page) -> None:
    means = {"64": 64, "64,5": 64.5, "64.5": 64.5, "1,000": None, "0.5": None, "2e6": None, "many": None}
    script = "const { figureOf } = await from('faces/told-texts'); return args[0].map((typed) => figureOf(typed));"
    assert in_page(scripts, script, [*means]) == [*means.values()]


def test_a_mask_is_told_of_once(page: Page) -> None:
    faces(page, "?own=brodipim%3D64&own=brodipim%3Dpassed", "unknown-unknown-as-sold+1")
    expect(page.locator(".sb-face__note")).to_contain_text("own=brodipim=passed")
    page.get_by_label("Add a mask you tried").fill("brodipim, as sold")
    options = page.locator("#sb-told-options").get_by_role("option")
    expect(options.first).to_be_visible()
    assert "Brodipim, as sold" not in options.all_text_contents()


def test_a_face_below_the_panel_gets_the_reason_and_no_list(page: Page) -> None:
    faces(page, "?length=95&width=118", "small")
    expect(page.locator(".sb-face__whose")).to_have_text(suggest("--length", "95", "--width", "118")["why"])
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
    assert page.get_by_label("Face width, mm").input_value() == ""
    page.get_by_label("Face width, mm").fill("140")
    assert page.get_by_label("or panel cell").input_value() == ""


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


def fill_in(page: Page) -> None:
    """Tell of a face and two masks."""
    page.get_by_label("Face length, mm").fill("117.3")
    page.get_by_label("Face width, mm").fill("138,6")
    page.get_by_label("Nose bridge", exact=True).select_option("high")
    page.get_by_label("Add a mask you tried").fill("brodipim, as sold")
    page.keyboard.press("Enter")
    line = page.locator(".sb-told__line")
    line.first.locator("[name=outcome]").select_option("fit-factor")
    line.first.locator("[name=figure]").fill("23,7")
    page.get_by_role("button", name="It is not in the list").click()
    line.nth(1).locator("[name=style]").select_option("duckbill")
    line.nth(1).locator("[name=outcome]").select_option("failed")
    line.nth(1).locator("[name=kind]").select_option("smell")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high-as-sold+2")


def test_nothing_that_is_entered_leaves_the_browser_or_stays_in_it(page: Page) -> None:
    faces(page, "", "unknown-unknown-as-sold")
    sent: list[Request] = []

    def note(request: Request) -> None:
        sent.append(request)

    page.on("request", note)
    fill_in(page)
    page.get_by_label("Show another mask").fill("zelmonul, as sold")
    page.keyboard.press("Enter")
    expect(page.locator(".sb-people__said")).to_contain_text("Zelmonul, as sold")
    assert sent == []
    assert "?" not in page.url
    assert page.evaluate("JSON.stringify([{...localStorage}, {...sessionStorage}, document.cookie])") == '[{},{},""]'
    assert page.evaluate("indexedDB.databases().then((all) => all.length)") == 0
    page.locator(".sb-face__ranked tbody a").first.click()
    page.wait_for_url("**/masks/**")
    assert sent
    for request in sent:
        told = json.dumps([request.url, request.post_data or "", request.all_headers()])
        assert not re.search(r"117\.3|138[.,]6|23[.,]7|length=|own=|duckbill", told), told
    page.goto("faces/")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "unknown-unknown-as-sold")


def test_a_face_is_kept_when_asked_and_removed_with_one_click(page: Page) -> None:
    faces(page, "", "unknown-unknown-as-sold")
    page.get_by_label("Keep on this device").check()
    fill_in(page)
    kept = json.loads(page.evaluate("localStorage.getItem('sealbook-face')"))
    assert kept == {
        "length": "117.3",
        "width": "138.6",
        "cell": "",
        "bridge": "high",
        "own": ["brodipim=23.7", "other:duckbill=failed:smell"],
    }
    faces(page, "", "4-high-as-sold+2")
    assert page.get_by_label("Face length, mm").input_value() == "117.3"
    expect(page.get_by_label("Keep on this device")).to_be_checked()
    faces(page, "?cell=9", "9-unknown-as-sold")  # A link of somebody else's face.
    assert json.loads(page.evaluate("localStorage.getItem('sealbook-face')")) == kept
    faces(page, "", "4-high-as-sold+2")
    page.get_by_role("button", name="Remove everything").click()
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "unknown-unknown-as-sold")
    assert page.evaluate("localStorage.length") == 0
    faces(page, "", "unknown-unknown-as-sold")
    page.get_by_label("Keep on this device").check()
    page.get_by_label("Keep on this device").uncheck()
    assert page.evaluate("localStorage.length") == 0


@pytest.mark.parametrize("kept", ["5", "{", "[]", '{"length":"<b>","cell":"11","own":[1,"x=y","brodipim=64"]}'])
def test_what_is_kept_is_taken_as_far_as_it_is_a_face(page: Page, kept: str) -> None:
    page.goto("faces/")
    page.evaluate("(kept) => localStorage.setItem('sealbook-face', kept)", kept)
    faces(page, "", "unknown-unknown-as-sold+1" if "own" in kept else "unknown-unknown-as-sold")


def test_a_copied_link_holds_everything_and_the_address_nothing(page: Page, site_url: str) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    faces(page, "", "unknown-unknown-as-sold")
    fill_in(page)
    page.get_by_role("button", name="Copy link with my answers").click()
    expect(page.locator(".sb-face__note")).to_have_text("Link copied.")
    assert "?" not in page.url
    link = page.evaluate("navigator.clipboard.readText()")
    assert link.startswith(f"{site_url}faces/?length=117.3&width=138.6&bridge=high&own=brodipim%3D23.7&own=")
    page.goto(link)
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-high-as-sold+2")
    page.get_by_label("Face length, mm").fill("117.4")
    expect(page.locator(".sb-face__whose")).to_contain_text("117.4")
    assert "?" not in page.url


def test_wearers_are_drawn_with_the_reader_among_them(page: Page, demo: Dataset) -> None:
    faces(page, "?length=117&width=138", "4-unknown-as-sold")
    page.get_by_label("Show another mask").fill("brodipim, as sold")
    page.keyboard.press("Enter")
    row = demo.summary_by_id["brodipim"]
    passed = round(row["share_at_100"] * row["share_wearers"])
    said = f"Brodipim, as sold: {passed} of {row['share_wearers']} wearers reached 100. Of those near you, "
    expect(page.locator(".sb-people__said")).to_contain_text(said)
    marks = {name: page.locator(f".sb-people__{name}").count() for name in ("passed", "failed", "unsure", "untried")}
    placed = sum(one.place[0] > 0 for one in triers(demo.counted))
    assert sum(marks.values()) == placed
    assert marks["passed"] == passed
    expect(page.locator(".sb-people__you text")).to_have_text("you")
    expect(page.locator(".sb-people__picture svg")).to_have_attribute("role", "img")


def saved_svg(page: Page) -> str:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save picture (SVG)").click()
    return Path(download.value.path()).read_text("utf-8")


def test_the_picture_holds_the_millimetres_only_where_wanted(page: Page) -> None:
    faces(page, "", "unknown-unknown-as-sold")
    fill_in(page)
    plain = saved_svg(page)
    assert "What to try first on my face" in plain
    assert "Invented demo data" in plain
    assert not re.search(r"117\.3|138\.6|var\(|href", plain)
    assert page.locator(".sb-advice__first a").first.inner_text() in plain
    page.get_by_label("With my face's measures").check()
    assert "117.3\u202f×\u202f138.6\u202fmm, high nose bridge" in saved_svg(page)


def test_a_link_leads_to_the_configuration_on_its_masks_page(page: Page) -> None:
    faces(page, "?cell=4", "4-unknown-as-sold")
    name = unquote(str(page.locator(".sb-advice__first a").first.get_attribute("href")).partition("#")[2])
    page.locator(".sb-advice__first a").first.click()
    page.wait_for_url(f"**/masks/{name.partition('+')[0]}/#{name}")
    expect(page.locator(f"[id='{name}']")).to_be_visible()


def test_a_model_that_does_not_load_is_said(page: Page, watch: Watch) -> None:
    page.route("**/faces/model.json", lambda route: route.abort())
    page.goto("faces/?cell=4&bridge=high")
    expect(page.locator(".sb-face__note")).to_contain_text("could not be loaded")
    expect(page.locator(".sb-advice__first > li")).to_have_count(3)
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


def test_without_a_model_the_list_is_that_of_the_people_nearest(page: Page, demo: Dataset) -> None:
    unmodelled = replace(demo)
    unmodelled.__dict__["_forecast"] = Forecast(None, None, NoModel("few-wearers", 3, 8))
    html = next(one.html for one in face_pages(unmodelled, Renderer(unmodelled)) if one.address == "faces/")
    files = {file.path: str(file.content) for file in (*face_files(unmodelled), *people_file(unmodelled))}

    def answer(route: Route) -> None:
        file = files.get(urlsplit(route.request.url).path[1:])
        if file is None:
            route.continue_()
        else:
            route.fulfill(body=file)

    page.route("**/faces/**", answer)
    faces(page, "", "unknown-unknown-as-sold")
    page.evaluate(
        """async (html) => {
            document.querySelector(".sb-face").remove();
            const made = new DOMParser().parseFromString(html, "text/html").querySelector(".sb-face");
            document.querySelector("h1").after(made);
            const { start } = await import(new URL("../assets/scripts/faces/faces.js", location.href));
            await start(made);
        }""",
        html,
    )
    expect(page.locator(".sb-told")).to_have_count(0)
    page.get_by_label("or panel cell").select_option("4")
    expect(page.locator(".sb-face")).to_have_attribute("data-shown", "4-unknown-as-sold")
    expect(page.locator(".sb-face__ranked > p").first).to_contain_text("Chances on a new face need tests by at least 8")
    expect(page.locator(".sb-ten")).to_have_count(0)
    expect(page.locator(".sb-people__picture svg")).to_be_visible()
    page.get_by_label("Only masks as sold").uncheck()
    for length, width, bridge in [(117.0, 138.0, "unknown"), (121.5, 141.5, "high"), (105.0, 128.0, "low")]:
        page.get_by_label("Face length, mm").fill(f"{length}".replace(".", ","))
        page.get_by_label("Face width, mm").fill(f"{width}")
        page.get_by_label("Nose bridge", exact=True).select_option(bridge.replace("unknown", ""))
        advice = advise(unmodelled, FaceDescription(length, width, nose_bridge=bridge))
        expect(page.locator(".sb-face__ranked > p").first).to_have_text(why_sentence(unmodelled, advice))
        shown = page.locator(".sb-face__ranked tbody tr").evaluate_all(
            "all => all.map((row) => [...row.children].map((cell) => cell.innerText.trim()))"
        )
        assert [row[1:] for row in shown] == [
            [
                str(row.wearers),
                str(row.near_wearers),
                none()
                if row.reached is None
                else say("summary.reached", reached=row.reached, wearers=row.share_wearers),
                none() if row.fit_factor is None else figure(row.fit_factor),
            ]
            for row in advice.ranked
        ]
        links = page.locator(".sb-face__ranked tbody a").evaluate_all("all => all.map((a) => a.hash.slice(1))")
        assert [unquote(link) for link in links] == [row.configuration for row in advice.ranked]


@pytest.mark.parametrize(("colours", "width"), [("light", 1280), ("dark", 390)])
def test_a_picked_face_is_accessible_and_fits_a_phone(page: Page, colours: str, width: int) -> None:
    page.emulate_media(color_scheme=colours)  # type: ignore[arg-type]
    page.set_viewport_size({"width": width, "height": 844})
    own = "&own=brodipim%3D64&own=other:cup:ffp2%3Dfailed:taste"
    faces(page, f"?length=117&width=138&bridge=high&masks=all{own}", "4-high+2")
    for fold in page.locator(".sb-face details > summary").all():
        if fold.is_visible():
            fold.click()
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


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
