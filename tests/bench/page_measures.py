"""What every kind of page of a built site costs a phone: 390 px wide, its processor four times as slow as this one.

The site is served as a host would, packed with gzip. Of each kind the page with the largest file is opened, each time
in a profile of its own: a kind is a place in the site, `masks/*/` or `hacks/`. Transferred are all bytes of all files
that came. Largest paint and shift of the layout are as the browser reports them (W3C Largest Contentful Paint, Layout
Instability) while its processor is slowed down, by the clock: of several openings the least counts, since other
programs only ever add. The longest task is the most time on the processor that the page's main thread took without a
pause, in a trace of the browser, times four; time on the processor is the page's own, however busy the machine is.
Then letters are typed into the explorer's search, the header's and the compare page's: what that thread takes from the
key to the frame that shows what was found, times four, the median.
"""

from __future__ import annotations

import argparse
import gzip
import json
import os
import re
import shutil
import statistics
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import quote

from playwright.sync_api import Browser, CDPSession, Page, ViewportSize, sync_playwright

from tests.bench.arguments import parser
from tests.browser.conftest import ARGUMENTS, Quiet

SLOWER = 4
PHONE: ViewportSize = {"width": 390, "height": 844}
SETTLED_MS = 1000
"""How much longer a page is watched that has nothing left to do."""
TEXTS = {".html", ".css", ".js", ".json", ".svg", ".xml", ".csv", ".txt"}
LISTED = 3
"""A folder with as many pages or more holds pages of one kind."""
OBSERVE = """
    window.seen = { paint: 0, shift: 0 };
    const watch = (type, note) => {
        new PerformanceObserver((list) => list.getEntries().forEach(note)).observe({ type, buffered: true });
    };
    watch("largest-contentful-paint", (entry) => { seen.paint = entry.startTime });
    watch("layout-shift", (entry) => { if (!entry.hadRecentInput) seen.shift += entry.value });
"""
TYPED = ("s", "st", "str", "stri", "strip", "", "w", "wi", "wir", "wire", "", "b", "br", "bra")
TYPE = """async ([selector, typed]) => {
    const field = document.querySelector(selector);
    field.focus();
    await new Promise((ready) => setTimeout(ready, 2000));
    for (const text of typed) {
        await new Promise((idle) => setTimeout(idle, 300));
        performance.mark("key");
        field.value = text;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn, 0)));
        performance.mark("drawn");
    }
}"""
TRACED = ["disabled-by-default-devtools.timeline", "blink.user_timing"]
FIELDS = {
    "explorer": ("explore/", "#sb-explorer-q"),
    "header": ("data/", "#sb-find"),
    "compare": ("compare/", "#sb-compare-add"),
}


class Packing(Quiet):
    """Serves texts packed with gzip, as hosts do."""

    def do_GET(self) -> None:  # noqa: N802 (the name is the base class's)
        """Pack a text; everything else is as the base class has it."""
        path = Path(self.translate_path(self.path))
        file = path / "index.html" if path.is_dir() else path
        if file.suffix not in TEXTS or not file.is_file():
            super().do_GET()
            return
        body = gzip.compress(file.read_bytes())
        self.send_response(200)
        for name, value in (
            ("Content-Type", self.guess_type(str(file))),
            ("Content-Encoding", "gzip"),
            ("Content-Length", str(len(body))),
        ):
            self.send_header(name, value)
        self.end_headers()
        with suppress(ConnectionError):  # the page was closed meanwhile
            self.wfile.write(body)


@dataclass(frozen=True)
class Loaded:
    """One opening of a page: bytes, milliseconds, shift as the Layout Instability API sums it, milliseconds."""

    transferred: float
    paint: float
    shift: float
    task: float


def kinds(site: Path) -> Iterator[tuple[str, str]]:
    """Name each kind of page of a site, with the address of its largest."""
    # Pages in other languages weigh as these do.
    others = tuple(f"{page.parts[-3]}/" for page in site.glob("*/explore/index.html"))
    sizes = {
        address: file.stat().st_size
        for file in site.rglob("*.html")
        if not (address := file.relative_to(site).as_posix().removesuffix("index.html")).startswith(others)
    }
    largest: dict[str, str] = {}
    for address, size in sizes.items():
        kind = _kind(address, sizes)
        if kind not in largest or sizes[largest[kind]] < size:
            largest[kind] = address
    for kind, address in sorted(largest.items()):
        yield kind or "start", quote(address)
    ids = _compared(site)
    yield "compare/ of two", f"compare/?{'&'.join(f'c={quote(one)}' for one in ids[:2])}"
    yield "compare/ of six", f"compare/?{'&'.join(f'c={quote(one)}' for one in ids[:6])}"


def _kind(address: str, addresses: Iterable[str]) -> str:
    """Write an address with a star for each folder that is one of many alike."""
    parts = address.split("/")
    alike = [other.split("/") for other in addresses if other.startswith(f"{parts[0]}/")]
    kind = parts[:1]
    for place, name in enumerate(parts[1:], 1):
        beside = {
            other[place] for other in alike if place < len(other) and other[place] and other[:place] == parts[:place]
        }
        elsewhere = any(
            place < len(other) and other[place] == name and other[:place] != parts[:place] for other in alike
        )
        is_one = name and not elsewhere and (len(beside) >= LISTED or "*" in kind)
        kind.append("cell-*" if is_one and name.startswith("cell-") else "*" if is_one else name)
    return "/".join(kind)


def _compared(site: Path) -> list[str]:
    """Give the configurations with most tests, each with its mask as sold before it."""
    published = json.loads((site / "explore" / "configurations.json").read_text("utf-8"))["configurations"]
    tested = sorted(zip(published["id"], published["tests"], strict=True), key=lambda one: (-one[1], one[0]))
    known = {name for name, tests in tested if tests}
    ids: dict[str, None] = {}
    for name, _ in tested:
        sold = name.partition("+")[0]
        if name in known and name != sold and sold in known:
            ids.update({sold: None, name: None})
    return list(ids)


@contextmanager
def phone(browser: Browser, home: str, slower: float) -> Iterator[tuple[Page, CDPSession]]:
    """Give an empty page on a phone, and the session that steers it."""
    context = browser.new_context(base_url=home, viewport=PHONE, device_scale_factor=2, is_mobile=True, has_touch=True)
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    page.add_init_script(OBSERVE)
    yield page, session
    context.close()


def open_page(page: Page, address: str) -> None:
    """Open a page and wait until it has asked for all it needs and has nothing left to do."""
    page.goto(address)
    page.wait_for_load_state("networkidle", timeout=120_000)
    page.evaluate("new Promise((idle) => requestIdleCallback(idle))")
    page.wait_for_timeout(SETTLED_MS)


def load(browser: Browser, home: str, address: str) -> Loaded:
    """Open a page twice, on a slow processor by the clock and then with a trace."""
    with phone(browser, home, SLOWER) as (page, session):
        sizes: list[float] = []
        session.on("Network.loadingFinished", lambda event: sizes.append(event["encodedDataLength"]))
        open_page(page, address)
        seen = page.evaluate("seen")
    with phone(browser, home, 1) as (page, _):
        browser.start_tracing(page=page, categories=TRACED)
        open_page(page, address)
        tasks = Trace(browser.stop_tracing()).tasks
    return Loaded(sum(sizes), seen["paint"], seen["shift"], SLOWER * max(task.busy for task in tasks))


def least(browser: Browser, home: str, address: str, times: int) -> Loaded:
    """Open a page several times: the least of each."""
    loads = [load(browser, home, address) for _ in range(times)]
    return Loaded(*(min(getattr(one, name) for one in loads) for name in Loaded.__dataclass_fields__))


def typing(browser: Browser, home: str, address: str, field: str) -> float:
    """Type into a field: milliseconds from a key to what it found, the median."""
    with phone(browser, home, 1) as (page, _):
        open_page(page, address)
        browser.start_tracing(page=page, categories=TRACED)
        page.evaluate(TYPE, [field, TYPED])
        trace = Trace(browser.stop_tracing())
    spans = zip(trace.marks("key"), trace.marks("drawn"), strict=True)
    return SLOWER * statistics.median(
        sum(task.busy for task in trace.tasks if task.ended > begun and task.begun < drawn) for begun, drawn in spans
    )


@dataclass(frozen=True)
class Task:
    """What the main thread of a page did without a pause: begin and end in µs, time on the processor in ms."""

    begun: float
    ended: float
    busy: float


class Trace:
    """What Chromium wrote down of a page, in its Trace Event Format."""

    def __init__(self, text: bytes) -> None:
        events = json.loads(text)["traceEvents"]
        mains = {
            (event["pid"], event["tid"])
            for event in events
            if event["name"] == "thread_name" and event["args"]["name"] == "CrRendererMain"
        }
        self._events: list[dict[str, Any]] = [event for event in events if (event["pid"], event["tid"]) in mains]
        self.tasks = [
            Task(event["ts"], event["ts"] + event["dur"], event["tdur"] / 1000)
            for event in self._events
            if event["name"] == "RunTask" and "tdur" in event
        ]

    def marks(self, name: str) -> list[float]:
        """Give when the page made a mark, in µs."""
        return sorted(event["ts"] for event in self._events if event["name"] == name)


def main(site: str, times: int, only: str | None) -> None:
    """Measure the kinds of pages of a site, and print a table."""
    chromium = os.environ.get("SEALBOOK_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    chosen = [(kind, address) for kind, address in kinds(Path(site)) if re.search(only or "", kind)]
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Packing, directory=site)) as server, sync_playwright() as tool:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        home = f"http://127.0.0.1:{server.server_port}/"
        browser = tool.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        print("| page | transferred, kB | largest paint, ms | shift | longest task, ms |")
        print("|---|---|---|---|---|")
        for kind, address in chosen:
            one = least(browser, home, address, times)
            figures = (f"{one.transferred / 1000:.0f}", f"{one.paint:.0f}", f"{one.shift:.3f}", f"{one.task:.0f}")
            print(f"| {' | '.join((f'`{kind}`', *figures))} |", flush=True)
        print("\n| typing into | key to redraw, ms |\n|---|---|")
        for name, (address, field) in FIELDS.items() if only is None else ():
            took = min(typing(browser, home, address, field) for _ in range(times))
            print(f"| {name} | {took:.0f} |", flush=True)
        browser.close()
        server.shutdown()


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("site", help="folder of a built site")
    arguments.add_argument("--times", type=int, default=3, help="how often each page is opened, each way")
    arguments.add_argument("--only", default=argparse.SUPPRESS, help="a pattern of kinds (default: all, and typing)")
    main(**{"only": None} | vars(arguments.parse_args()))
