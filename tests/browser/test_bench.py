"""The bench page in a browser: an evening from its set-up to files that the checker passes; nothing of it is lost."""

from __future__ import annotations

import csv
import io
import os
import shutil
import signal
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, BrowserContext, Download, Error, Page, expect

from builder.cli import main
from builder.findings.dataset import build_dataset
from builder.records.checking import check
from builder.site.offline import write_worker
from builder.words.numbers import fit
from tests.browser.conftest import (
    ARGUMENTS,
    BUT_COLOURS,
    COLOURS,
    PATIENCE_MS,
    Quiet,
    Server,
    Watch,
    axe,
    chromium,
    in_colours,
)
from tests.conftest import ROOT
from tests.records import written_logs
from tests.records.read_logs import reading as command_reading

DAY = "2026-09-12"
LOG = str(written_logs.WAYS["commas, the names used here"])
PLAIN_LOG = "seconds,particles\n" + "".join(
    f"{cells[0]},{cells[3]}\n" for line in LOG.splitlines()[1:] if len(cells := line.split(",")) == 4
)
"""The same run with time and counts alone."""


def start(page: Page) -> None:
    page.goto("bench/")
    page.get_by_role("button", name="Start an evening").click()


def fill(page: Page, **answers: str) -> None:
    """Answer text questions, named with _ for the dots."""
    for name, answer in answers.items():
        page.locator(f'[name="{name}"]').fill(answer)


def choose(page: Page, answers: dict[str, str]) -> None:
    for name, answer in answers.items():
        page.locator(f'[name="{name}"]').select_option(answer)


def tell_wearer(page: Page) -> None:
    fill(
        page,
        **{
            "test.face.wearer": "quiet-stone",
            "test.face.length_mm": "117",
            "test.face.width_mm": "138,5",
            "test.contributor": "quiet-stone",
            "test.date": DAY,
        },
    )
    words = {"test.face.facial_hair": "none", "test.result.protocol": "short-four-exercise"}
    choose(page, words | {"test.conditions.instrument": "condensation-counter"})


def slot(page: Page, label: str) -> None:
    page.locator(".sb-bench__slots summary", has_text=label).click()


def tick(page: Page, name: str) -> None:
    page.locator(".sb-bench__slots").get_by_label(name, exact=True).check()


def set_up(page: Page, mask: str = "brodipim") -> None:
    start(page)
    choose(page, {"test.mask": mask})
    slot(page, "Nose wire")
    tick(page, "Slim aluminium strip")
    tell_wearer(page)
    page.get_by_role("button", name="Make the run sheet").click()


def kept(page: Page) -> None:
    """Wait until the last step is on the disk."""
    page.locator('.sb-bench__kept[data-kept="true"]').wait_for()


def take(page: Page, fit_factor: str, aside: str = "") -> None:
    page.get_by_role("button", name="Next donning").click()
    page.locator('[name="test.result.fit_factor"]').fill(fit_factor)
    if aside:
        page.locator("summary", has_text="This take does not count").click()
        page.locator('[name="test.result.set_aside"]').fill(aside)
    page.get_by_role("button", name="Keep this take").click()


def shows(page: Page, *readings: str) -> None:
    """Wait until the takes of the evening have these figures."""
    expect(page.locator(".sb-bench__evening .sb-bench__figure")).to_have_text(list(readings))


def saved(page: Page, name: str) -> bytes:
    with page.expect_download() as download:
        page.get_by_role("button", name=name).click()
    found: Download = download.value
    return Path(found.path()).read_bytes()


def unpacked_beside_demo(archive: bytes, folder: Path) -> list[str]:
    """Put the files of an archive beside the committed entries, as a pull request does; give their names."""
    with zipfile.ZipFile(io.BytesIO(archive)) as packed:
        assert packed.testzip() is None
        names = packed.namelist()
        shutil.copytree(ROOT / "entries", folder / "entries")
        assert not [name for name in names if (folder / name).exists()]
        packed.extractall(folder)
    return names


def describe_mask(page: Page) -> None:
    choose(page, {"test.mask": "+new"})
    fill(page, **{"mask.model": "Vorukelim", "mask.maker": "Nordhaus"})
    choose(page, {"mask.style": "flat-fold", "mask.class": "ffp2"})
    page.locator("summary", has_text="What it has as sold").click()
    choose(page, {"mask.as_sold.straps": "ear-loops"})


def describe_part(page: Page) -> None:
    page.get_by_role("button", name="A part without a file Edge").click()
    fill(page, **{"part.test.configuration.edge.name": "Soft felt rim"})
    page.get_by_role("button", name="Keep this part").click()
    missing = page.locator(".sb-contribute__summary:visible li")
    expect(missing).to_have_count(3)  # material, fitting, whether it can be undone
    fill(
        page,
        **{
            "part.test.configuration.edge.material": "wool felt",
            "part.test.configuration.edge.fitting": "Laid along the rim.",
        },
    )
    choose(page, {"part.test.configuration.edge.can_be_undone": "yes"})
    page.get_by_role("button", name="Keep this part").click()
    expect(page.locator(".sb-bench__slots").get_by_label("Soft felt rim")).to_be_checked()


def ready_without_network(page: Page) -> None:
    page.get_by_text("Works without network now.").wait_for()


def drop(page: Page, log: str) -> None:
    page.locator("#bench-log").set_input_files({"name": "log.csv", "mimeType": "text/csv", "buffer": log.encode()})


def test_an_evening_of_eight_takes(context: BrowserContext, page: Page, tmp_path: Path) -> None:
    """A new mask and part, a take set aside, a log, an edit, an undo, a reload, no network; then checker and add."""
    start(page)
    describe_mask(page)
    slot(page, "Nose wire")
    tick(page, "Slim aluminium strip")
    slot(page, "Edge")
    describe_part(page)
    tell_wearer(page)
    expect(page.locator(".sb-bench__length")).to_have_text(
        "8 donnings, about 1 h 12 min with 5 min in the mask before each test and 2 min a part changed."
    )
    page.get_by_role("button", name="Make the run sheet").click()
    ready_without_network(page)
    context.set_offline(True)
    expect(page.locator(".sb-bench__count")).to_have_text("Next: donning 1 of 8")
    wear = []
    for number, reading in enumerate(["31,5", "64", "95", "40"], start=1):
        wear.append(page.locator(".sb-bench__wear").text_content())
        take(page, reading, aside="hose came off" if number == 3 else "")
    # What was set aside is done again: it is next.
    assert wear[3] == wear[2]
    kept(page)
    page.reload()
    shows(page, "31.5", "64", "95", "40")
    # An edit, undone and done again.
    page.get_by_role("button", name="Edit Take 2").click()
    page.locator('[name="test.result.fit_factor"]').fill("66")
    page.get_by_role("button", name="Keep this take").click()
    shows(page, "31.5", "66", "95", "40")
    page.get_by_role("button", name="Undo change of take 2").click()
    shows(page, "31.5", "64", "95", "40")
    page.get_by_role("button", name="Next donning").click()
    drop(page, LOG)
    expect(page.locator(".sb-bench__log-said")).to_contain_text("Read: 6 stretches, filled in below.")
    page.get_by_role("button", name="Keep this take").click()
    for reading in ("150", "70", "45"):
        take(page, reading)
    kept(page)
    expect(page.locator(".sb-bench__verdicts li")).to_have_count(3)
    expect(page.locator(".sb-bench__found table tbody tr")).to_have_count(2)
    read = command_reading(tmp_path, LOG)["overall"]["fitFactor"]
    expected = [31.5, 64, 95, 40, pytest.approx(read), 150, 70, 45]
    names = unpacked_beside_demo(saved(page, "Save all files"), tmp_path)
    assert names == [
        *(f"entries/tests/vorukelim/{DAY}-quiet-stone-{number}.toml" for number in range(1, 9)),
        "entries/masks/vorukelim.toml",
        "entries/parts/soft-felt-rim.toml",
    ]
    problems = [one for one in check(tmp_path / "entries").problems if one.severity == "error"]
    assert problems == []
    data = build_dataset(tmp_path / "entries")
    own = data.table[data.table["mask"] == "vorukelim"]
    assert own["fit_factor"].tolist() == expected
    assert own["counted"].tolist() == [True, True, False, True, True, True, True, True]
    assert own["order"].tolist() == list(range(1, 9))
    # The table, where mask and part are in place.
    for path in (tmp_path / "entries" / "tests" / "vorukelim").iterdir():
        path.unlink()
    table = tmp_path / "evening.csv"
    table.write_bytes(saved(page, "Save a table"))
    assert len(list(csv.DictReader(io.StringIO(table.read_text("utf-8"))))) == 8
    done = CliRunner().invoke(main, ["add", str(table), "--entries", str(tmp_path / "entries")])
    assert done.output.endswith("\n8 added, 0 already there\n"), done.output
    again = build_dataset(tmp_path / "entries").table
    assert again[again["mask"] == "vorukelim"]["fit_factor"].tolist() == expected


def test_a_log_of_time_and_counts_alone_is_cut_for_a_person_to_confirm(page: Page, tmp_path: Path) -> None:
    set_up(page)
    page.get_by_role("button", name="Next donning").click()
    drop(page, "nothing of use")
    expect(page.locator(".sb-bench__log-said")).to_contain_text("This log gives no fit factor.")
    drop(page, PLAIN_LOG)
    said = page.locator(".sb-bench__log-said")
    expect(said).to_contain_text("This log tells time and counts alone. Look whether it is cut right:")
    cut = said.get_by_role("img").get_attribute("aria-label") or ""
    assert cut.startswith(
        "What was read over time, cut into: Room air 0 to 20\u202fs; Purge the hose 20 to 31\u202fs; Bending over"
    )
    expect(page.locator('[name="test.result.fit_factor"]')).to_have_value("")
    page.get_by_role("button", name="The cut is right").click()
    page.get_by_role("button", name="Keep this take").click()
    read = command_reading(tmp_path, PLAIN_LOG, schedule="short-four-exercise")["overall"]["fitFactor"]
    shows(page, fit(read))


def test_nothing_is_asked_of_anybody_while_working(page: Page, context: BrowserContext) -> None:
    start(page)
    ready_without_network(page)
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    choose(page, {"test.mask": "brodipim"})
    slot(page, "Nose wire")
    tick(page, "Slim aluminium strip")
    tell_wearer(page)
    page.get_by_role("button", name="Make the run sheet").click()
    take(page, "64")
    page.get_by_role("button", name="Next donning").click()
    drop(page, LOG)
    expect(page.locator(".sb-bench__log-said")).to_contain_text("Read: 6 stretches, filled in below.")
    page.get_by_role("button", name="Keep this take").click()
    for name in ("Save all files", "Save a table", "Save a picture"):
        saved(page, name)
    assert [address for address in asked if not address.startswith(("blob:", "data:"))] == []


def processes_of(folder: Path) -> list[int]:
    """Every process of the browser that keeps its profile in a folder."""
    found = []
    for path in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            if str(folder) in path.read_bytes().decode(errors="replace"):
                found.append(int(path.parent.name))
        except OSError:
            continue  # it has ended meanwhile
    return found


@contextmanager
def killed_afterwards(browser: Browser, profile: Path, home: str) -> Iterator[Page]:
    """A page of a browser that is killed at the end, as by a battery that is empty."""
    launch = browser.browser_type.launch_persistent_context
    context = launch(str(profile), executable_path=chromium(), args=ARGUMENTS, base_url=home, timeout=PATIENCE_MS)
    context.set_default_timeout(PATIENCE_MS)
    page = context.pages[0]
    page.goto("bench/")
    page.locator(".sb-bench[data-started]").wait_for()
    try:
        yield page
    finally:
        for process in processes_of(profile):
            with suppress(ProcessLookupError):  # it has ended with the one it belongs to
                os.kill(process, signal.SIGKILL)
        with suppress(Error):  # it is gone already
            context.close()


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="only here the browser's processes are found")
def test_nothing_is_lost_where_the_browser_is_killed(browser: Browser, site_url: str, tmp_path: Path) -> None:
    profile = tmp_path / "profile"
    with killed_afterwards(browser, profile, site_url) as page:
        page.get_by_role("button", name="Start an evening").click()
        choose(page, {"test.mask": "brodipim"})
        slot(page, "Nose wire")
        tick(page, "Slim aluminium strip")
        tell_wearer(page)
        kept(page)
    with killed_afterwards(browser, profile, site_url) as page:
        expect(page.locator('[name="test.face.width_mm"]')).to_have_value("138,5")
        page.get_by_role("button", name="Make the run sheet").click()
        expect(page.locator(".sb-bench__count")).to_have_text("Next: donning 1 of 4")
        page.get_by_role("button", name="Next donning").click()
        fill(page, **{"test.result.fit_factor": "31,5"})
        kept(page)
    with killed_afterwards(browser, profile, site_url) as page:
        expect(page.locator('[name="test.result.fit_factor"]')).to_have_value("31,5")
        page.get_by_role("button", name="Keep this take").click()
        kept(page)
    with killed_afterwards(browser, profile, site_url) as page:
        shows(page, "31.5")
        page.get_by_role("button", name="Edit Take 1").click()
        fill(page, **{"test.result.fit_factor": "32"})
        page.get_by_role("button", name="Keep this take").click()
        kept(page)
    with killed_afterwards(browser, profile, site_url) as page:
        shows(page, "32")
        page.get_by_role("button", name="Undo change of take 1").click()
        kept(page)
    with killed_afterwards(browser, profile, site_url) as page:
        shows(page, "31.5")


def test_several_evenings_are_kept_until_they_are_removed(page: Page) -> None:
    set_up(page)
    take(page, "64")
    page.get_by_role("button", name="Start anew").click()
    # What stays the same is filled in; a second evening of the day is numbered on.
    expect(page.locator('[name="test.face.wearer"]')).to_have_value("quiet-stone")
    expect(page.locator('[name="test.mask"]')).to_have_value("")
    fill(page, **{"test.date": DAY})
    choose(page, {"test.mask": "brodipim"})
    page.get_by_role("button", name="Make the run sheet").click()
    take(page, "80")
    expect(page.locator(".sb-bench__files code")).to_have_text([f"entries/tests/brodipim/{DAY}-quiet-stone-2.toml"])
    page.get_by_role("button", name="All evenings").click()
    listed = page.locator(".sb-bench__evenings li")
    expect(listed).to_have_count(2)
    page.once("dialog", lambda dialog: dialog.dismiss())
    listed.first.get_by_role("button", name="Remove").click()
    assert listed.count() == 2
    page.once("dialog", lambda dialog: dialog.accept())
    listed.first.get_by_role("button", name="Remove").click()
    expect(listed).to_have_count(1)
    page.reload()  # it had left the page only when it was off the disk
    expect(listed).to_have_count(1)
    page.locator(".sb-bench__open").click()
    shows(page, "64")


def test_an_evening_that_cannot_be_removed_stays_and_is_told(page: Page) -> None:
    set_up(page)
    take(page, "64")
    page.get_by_role("button", name="All evenings").click()
    page.evaluate("() => { IDBObjectStore.prototype.delete = () => { throw new DOMException('no leave'); }; }")
    page.once("dialog", lambda dialog: dialog.accept())
    page.locator(".sb-bench__evenings").get_by_role("button", name="Remove").click()
    expect(page.locator(".sb-bench__kept")).to_have_text("This could not be removed: the browser does not allow it.")
    expect(page.locator(".sb-bench__evenings li")).to_have_count(1)
    page.locator(".sb-bench__open").click()
    shows(page, "64")


def test_a_newer_build_is_offered_and_old_figures_are_dated(
    browser: Browser, built_site: Path, tmp_path: Path, watch: Watch
) -> None:
    """Below a path of a host, as many hosts publish sites."""
    site = tmp_path / "people" / "sealbook"
    shutil.copytree(built_site, site)
    with Server(("127.0.0.1", 0), partial(Quiet, directory=str(tmp_path))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        watch.home = f"http://127.0.0.1:{server.server_port}/people/sealbook/"
        context = browser.new_context(base_url=watch.home)
        watch.over(context)
        page = context.new_page()
        page.goto("bench/")
        ready_without_network(page)
        data = page.locator(".sb-bench__data")
        known = site / "bench" / "known.json"
        newest = known.read_text("utf-8").partition('"newest":"')[2].partition('"')[0]
        expect(data).to_contain_text(f"tests up to {newest}")
        # A page that comes later than the newer build takes it at once; this one is here already.
        page.reload()
        ready_without_network(page)
        known.write_text(known.read_text("utf-8").replace(newest, "2031-01-01"), "utf-8")
        write_worker(site)
        page.evaluate("navigator.serviceWorker.ready.then((registration) => void registration.update())")
        # The page still has the old figures, with their date, and says that there are newer ones.
        page.get_by_text("A newer build of this page is here.").wait_for()
        expect(data).to_contain_text(f"tests up to {newest}")
        page.get_by_role("button", name="Use it").click()
        expect(data).to_contain_text("tests up to 2031-01-01")
        context.set_offline(True)
        page.reload()
        expect(data).to_contain_text("tests up to 2031-01-01")
        context.close()
        server.shutdown()


def states(page: Page) -> Iterator[str]:
    """Go through what the page can look like."""
    page.goto("bench/")
    page.locator(".sb-bench[data-started]").wait_for()
    yield "nothing kept"
    page.get_by_role("button", name="Start an evening").click()
    choose(page, {"test.mask": "brodipim"})
    slot(page, "Nose wire")
    tick(page, "Slim aluminium strip")
    slot(page, "Edge")
    page.get_by_role("button", name="A part without a file Edge").click()
    page.get_by_role("button", name="Keep this part").click()
    page.get_by_role("button", name="Make the run sheet").click()
    yield "set-up with mistakes"
    page.locator(".sb-part:visible").get_by_role("button", name="Cancel").click()
    slot(page, "Straps")
    tick(page, "Crossed band behind the head")
    tell_wearer(page)
    page.get_by_role("button", name="Make the run sheet").click()
    yield "before the first"
    page.get_by_role("button", name="Next donning").click()
    page.locator("summary", has_text="Timer").click()
    drop(page, PLAIN_LOG)
    page.get_by_role("button", name="The cut is right").wait_for()
    yield "a take"
    page.get_by_role("button", name="Cancel").click()
    for number, reading in enumerate(("31", "64", "140", "20", "150", "170", "25", "40")):
        take(page, reading, aside="hose came off" if number == 1 else "")
    take(page, "60")
    yield "complete"
    page.get_by_role("button", name="All evenings").click()
    yield "one kept"


SMALL = """() => [...document.querySelectorAll(".sb-bench :is(button, input, select, summary, textarea)")]
    .filter((element) => element.checkVisibility())
    .map((element) => ({ element, box: element.getBoundingClientRect() }))
    .filter(({ box }) => box.width < 24 || box.height < 24)
    .map(({ element }) => element.outerHTML.slice(0, 120))"""

LOW = """() => [...document.querySelectorAll(".sb-bench button")].filter((element) => element.checkVisibility())
    .filter((element) => element.getBoundingClientRect().height < 44).map((element) => element.textContent)"""


def test_axe_finds_nothing_at_any_width_and_targets_are_large_enough_for_a_thumb(page: Page) -> None:
    for state in states(page):
        for width, told in ((320, BUT_COLOURS), (390, None), (1280, {})):
            page.set_viewport_size({"width": width, "height": 900})
            assert told is None or axe(page, told) == [], (state, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (state, width)
            if width == 390:
                assert page.evaluate(SMALL) == [], state
                assert page.evaluate(LOW) == [], state
        in_colours(page, "dark")
        assert axe(page, COLOURS) == [], state
        in_colours(page, "light")


SHIFTS = """() => {
    window.shifted = 0;
    // What follows from a click may move. To the browser it does so for half a second, here until it is drawn, too.
    const answering = [];
    const act = (event) => {
        const times = { from: event.timeStamp, to: Infinity };
        answering.push(times);
        requestAnimationFrame(() => requestAnimationFrame(() => { times.to = performance.now() + 500; }));
    };
    for (const sign of ["pointerdown", "keydown"]) addEventListener(sign, act, true);
    new PerformanceObserver((list) => {
        for (const { startTime, value, hadRecentInput } of list.getEntries()) {
            const answers = answering.some(({ from, to }) => from <= startTime && startTime <= to);
            if (!hadRecentInput && !answers) window.shifted += value;
        }
    }).observe({ type: "layout-shift", buffered: true });
}"""


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_jumps(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.add_init_script(f"({SHIFTS})()")
    most = 0.0
    for _ in states(page):
        page.wait_for_timeout(100)
        most = max(most, page.evaluate("window.shifted"))
    page.locator(".sb-bench__open").click()
    kept(page)
    page.reload()
    ready_without_network(page)
    assert max(most, page.evaluate("window.shifted")) <= 0.05


def test_the_keyboard_alone_makes_a_take(page: Page) -> None:
    set_up(page)
    page.get_by_role("button", name="Next donning").focus()
    page.keyboard.press("Enter")
    expect(page.locator("h3:focus")).to_have_text("as sold")
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "test.result.fit_factor":
            break
    page.keyboard.type("64")
    page.keyboard.press("Enter")
    shows(page, "64")


def test_a_comma_that_may_part_thousands_is_asked_back(page: Page) -> None:
    set_up(page)
    take(page, "1,200")
    wrong = "“1,200” may be read with the comma for decimals or for thousands. "
    expect(page.locator(".sb-bench__now .sb-contribute__summary li")).to_have_text(
        f"Fit factor: {wrong}Write it without the comma, or with a point for decimals."
    )
    fill(page, **{"test.result.fit_factor": "1200"})
    page.get_by_role("button", name="Keep this take").click()
    shows(page, "1\u202f200")
    expect(page.locator(".sb-bench__figure")).to_have_js_property("textContent", "1\u202f200")


def test_the_timer_goes_by_the_protocol_and_shows_each_change(context: BrowserContext, page: Page) -> None:
    context.clock.install(time="2026-09-12T18:00:00Z")
    set_up(page)
    page.get_by_role("button", name="Next donning").click()
    page.locator("summary", has_text="Timer").click()
    context.clock.pause_at("2026-09-12T20:00:00Z")  # from now on no time passes by itself
    step, seconds = page.locator(".sb-bench__step"), page.locator(".sb-bench__seconds")
    expect(step).to_have_text("Wear it, breathe calmly")
    expect(seconds).to_have_text("5:00")
    page.get_by_role("button", name="Start the clock").click()
    context.clock.run_for(61_000)
    expect(seconds).to_have_text("3:59")
    page.get_by_role("button", name="Next step").click()
    expect(step).to_have_text("Room air")
    assert "sb-bench__timer--changed" in (page.locator(".sb-bench__timer").get_attribute("class") or "")
    context.clock.run_for(20_000)
    expect(step).to_have_text("Bending over")
    page.get_by_role("button", name="Hold the clock").click()
    context.clock.run_for(60_000)
    expect(step).to_have_text("Bending over")
    page.get_by_role("button", name="Start the clock").click()
    context.clock.run_for(30_000 * 4 + 9_000)
    expect(step).to_have_text("Done")


def test_on_paper_it_is_a_run_sheet(page: Page) -> None:
    set_up(page)
    page.emulate_media(media="print")
    expect(page.locator(".sb-bench__run tbody tr")).to_have_count(4)
    expect(page.locator(".sb-bench__blank:visible")).to_have_count(4)
    expect(page.locator(".sb-bench__paper:visible")).to_have_count(5)
    expect(page.locator(".sb-bench button:visible")).to_have_count(0)


def test_without_scripts_it_says_what_it_needs(browser: Browser, site_url: str, watch: Watch) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    watch.over(context)
    page = context.new_page()
    page.goto("bench/")
    said = page.locator(".sb-bench__bare").text_content() or ""
    assert "The bench needs scripts." in said
    assert "sealbook plan MASK --vary SLOT=PART" in said
    assert "sealbook bench" in said
    assert page.get_by_text("Nobody shares a tested mask").is_visible()
    context.close()
