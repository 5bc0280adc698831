"""First rows, keystroke and weight of a built site's explorer in headless Chromium, beside a bare Tabulator table.

Tabulator's table stands on a page of its own: the same rows and columns as plain text, rows drawn as they come into
view, which is its default, filtered by the same words in the same text. The explorer's first rows are in its page; when
it can be searched is measured beside that.
"""

from __future__ import annotations

import argparse
import gzip
import statistics
import threading
from dataclasses import dataclass
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, sync_playwright

from tests.bench.arguments import parser
from tests.browser.conftest import ARGUMENTS, Quiet, chromium

TYPED = [
    *("a", "ab", "w", "wi", "wir", "wire", "", "s", "st", "str", "b", "br", "bra", "", "f", "fo", "foa", "m", "me", ""),
]
KEYSTROKES = """async (typed) => {
    const field = document.querySelector("#sb-explorer-q");
    const count = document.querySelector(".sb-explorer__count");
    const [times, found] = [[], []];
    for (const text of typed) {
        const begun = performance.now();
        field.value = text;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn, 0)));
        times.push(performance.now() - begun);
        found.push(parseInt(count.textContent.replaceAll("\u202f", "")));
    }
    return [times, found];
}"""
# Each after the frame in which it is first there.
SHOWN = """{
    window.shown = {};
    const look = (name, selector) => {
        if (document.querySelector(selector)) setTimeout(() => { window.shown[name] = performance.now() }, 0);
        else requestAnimationFrame(() => look(name, selector));
    };
    look("rows", "tbody tr, .tabulator-row");
    look("search", ".sb-explorer__count:not(:empty)");
}"""
TABULATOR_PAGE = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Tabulator</title>
<link rel="stylesheet" href="tabulator.min.css"><script src="tabulator.min.js"></script>
<input id="sb-explorer-q"><p class="sb-explorer__count"></p><div id="table"></div>
<script type="module">
    import { rowsFrom } from "../assets/scripts/explorer/rows.js";
    const rows = rowsFrom(await (await fetch("../explore/configurations.json")).json());
    const fields = {
        mask_label: "Mask", change: "Change", median_fit_factor: "Median", lowest_fit_factor: "Range",
        wearer_median_fit_factor: "Median of wearers", geometric_mean: "Geometric mean", til_percent: "Leakage",
        share_at_100: "Reach 100", wearers: "Wearers", tests: "Tests",
    };
    const columns = Object.entries(fields).map(([field, title]) => ({ field, title }));
    const table = new Tabulator("#table", { data: rows, columns, height: 600 });
    const [field, count] = [document.querySelector("input"), document.querySelector("p")];
    table.on("tableBuilt", () => { count.textContent = rows.length });
    field.addEventListener("input", () => {
        const words = field.value.toLowerCase().split(/\\s+/).filter(Boolean);
        table.setFilter((row) => words.every((word) => row.text.includes(word)));
        count.textContent = table.getDataCount("active");
    });
</script></html>"""


@dataclass(frozen=True)
class Measured:
    """One page: milliseconds until it shows rows, can be searched, and redraws after a key (the median)."""

    rows: float
    search: float
    keystroke: float
    found: list[int]
    """Rows found after each key."""
    loaded: frozenset[str]


def measure(browser: Browser, address: str, tabulator: Path | None = None) -> Measured:
    """Open a page once in a profile of its own and type twenty times; with `tabulator`, the page that shows it."""
    loaded: set[str] = set()
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    if tabulator:
        _serve(page, address, tabulator)
    page.on("response", lambda response: loaded.add(response.url))
    page.add_init_script(SHOWN)
    page.goto(address)
    page.wait_for_timeout(3000)
    shown, (times, found) = page.evaluate("shown"), page.evaluate(KEYSTROKES, TYPED)
    page.close()
    return Measured(shown["rows"], shown["search"], statistics.median(times), found, frozenset(loaded))


def weight(site: Path, addresses: frozenset[str]) -> int:
    """Size of published files, gzipped, in bytes."""
    paths = [site / urlsplit(address).path.lstrip("/") for address in addresses]
    files = [path / "index.html" if path.is_dir() else path for path in paths]
    return sum(len(gzip.compress(file.read_bytes())) for file in files)


def main(site: str, tabulator: str | None = None) -> None:
    """Measure the explorer, and Tabulator where it is given; print a table."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=site)) as server, sync_playwright() as tool:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        home = f"http://127.0.0.1:{server.server_port}/"
        browser = tool.chromium.launch(executable_path=chromium(), args=ARGUMENTS)
        ours = measure(browser, f"{home}explore/")
        theirs = measure(browser, f"{home}tabulator/", Path(tabulator)) if tabulator else None
        browser.close()
        server.shutdown()
    print("| table | first rows shown, ms | searchable, ms | keystroke to redrawn table, ms (median of 20) |")
    print("|---|---|---|---|")
    print(f"| explorer | {ours.rows:.0f} | {ours.search:.0f} | {ours.keystroke:.0f} |")
    if theirs:
        if theirs.found != ours.found:
            raise SystemExit(f"The tables found different rows: {ours.found} and {theirs.found}.")
        print(f"| bare Tabulator | {theirs.rows:.0f} | {theirs.search:.0f} | {theirs.keystroke:.0f} |")
        ratios = (ours.rows / theirs.rows, ours.search / theirs.search, ours.keystroke / theirs.keystroke)
        print(f"| explorer ÷ Tabulator | {' | '.join(f'{ratio:.2f}' for ratio in ratios)} |")
    print(f"\nThe explorer loads {weight(Path(site), ours.loaded) / 1000:.0f} kB, gzipped.")


def _serve(page: Page, address: str, tabulator: Path) -> None:
    """Answer for the page at `address` and its two files; everything else comes from the site."""
    page.route(address, lambda route: route.fulfill(body=TABULATOR_PAGE, content_type="text/html"))
    page.route(f"{address}tabulator.min.js", lambda route: route.fulfill(path=tabulator))
    styles = tabulator.parent.parent / "css" / "tabulator.min.css"
    page.route(f"{address}tabulator.min.css", lambda route: route.fulfill(path=styles))


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("site", help="folder of a built site")
    arguments.add_argument(
        "tabulator",
        nargs="?",
        help="`package/dist/js/tabulator.min.js` of what `npm pack tabulator-tables@6.5.3` fetches, unpacked with its"
        " styles beside it (default: none, the explorer alone)",
        default=argparse.SUPPRESS,
    )
    main(**vars(arguments.parse_args()))
