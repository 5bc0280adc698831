"""First paint, keystroke and weight of a built site's explorer in headless Chromium.

python -m tests.bench.explorer_scale SITE
"""

from __future__ import annotations

import gzip
import os
import shutil
import statistics
import sys
import threading
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import sync_playwright

from tests.site.conftest import ARGUMENTS, Quiet

TYPED = [
    "a",
    "ab",
    "w",
    "wi",
    "wir",
    "wire",
    "",
    "s",
    "st",
    "str",
    "b",
    "br",
    "bra",
    "",
    "f",
    "fo",
    "foa",
    "m",
    "me",
    "",
]
KEYSTROKES = """async (typed) => {
    const field = document.querySelector("#sb-explorer-q");
    const times = [];
    for (const text of typed) {
        const begun = performance.now();
        field.value = text;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn, 0)));
        times.push(performance.now() - begun);
    }
    return times;
}"""
PAINT = "performance.getEntriesByName('first-contentful-paint')[0].startTime"


def weight(site: Path, address: str) -> int:
    """Size of a published file, gzipped, in bytes."""
    path = site / urlsplit(address).path.lstrip("/")
    return len(gzip.compress((path / "index.html" if path.is_dir() else path).read_bytes()))


def main(folder: str) -> None:
    """Open the explorer once, type twenty times, print a table."""
    site, loaded = Path(folder), []
    chromium = os.environ.get("SEALBOOK_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=folder)) as server, sync_playwright() as tool:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = tool.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        page = browser.new_page()
        page.on("response", lambda response: loaded.append(response.url))
        page.goto(f"http://127.0.0.1:{server.server_port}/explore/")
        page.wait_for_timeout(3000)
        paint, times = page.evaluate(PAINT), page.evaluate(KEYSTROKES, TYPED)
        browser.close()
        server.shutdown()
    total = sum(weight(site, address) for address in set(loaded))
    print("| first paint, ms | keystroke, ms (median of 20) | loaded, kB gzipped |\n|---|---|---|")
    print(f"| {paint:.0f} | {statistics.median(times):.0f} | {total / 1000:.0f} |")


if __name__ == "__main__":
    main(sys.argv[1])
