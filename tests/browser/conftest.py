"""A browser on the built demo site. Script errors and requests to other hosts fail the test they happen in."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

AXE = Path(__file__).parent / "vendor" / "axe" / "axe.min.js"
# What the browser would fetch for itself is left out, so that every request is the page's own.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium() -> str | None:
    """Find the system's Chromium, best the one that has no windows, which takes a third of the time; None if none."""
    names = ("chromium-headless-shell", "chromium", "chromium-browser")
    return os.environ.get("SEALBOOK_CHROMIUM") or next(filter(None, map(shutil.which, names)), None)


@dataclass
class Watch:
    """What a page did that it should not."""

    home: str
    faults: list[str] = field(default_factory=list)

    def over(self, context: BrowserContext) -> None:
        """Note the faults of every page of a context."""
        context.on("console", lambda message: self._note(message.type == "error", f"console: {message.text}"))
        context.on("weberror", lambda error: self._note(True, f"script: {error.error}"))
        context.on("request", lambda request: self._note(self._elsewhere(request.url), f"request: {request.url}"))

    def _elsewhere(self, url: str) -> bool:
        return not url.startswith((self.home, "data:", "blob:", "about:"))

    def _note(self, wrong: bool, fault: str) -> None:
        if wrong:
            self.faults.append(fault)


class Quiet(SimpleHTTPRequestHandler):
    """Serves files and says nothing."""

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 (the name is the base class's)
        """Log nothing."""


@pytest.fixture(scope="session")
def site_url(built_site: Path) -> Iterator[str]:
    """The address the site is served at, "/" at its end."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(built_site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The Chromium of the system. On a build server its absence is a failure, elsewhere a reason to skip."""
    path = chromium()
    if path is None:
        message = "No Chromium found: apt-get install chromium-headless-shell, or name one in SEALBOOK_CHROMIUM."
        if os.environ.get("CI") == "true":
            pytest.fail(message)
        pytest.skip(message)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def watch(site_url: str) -> Iterator[Watch]:
    """Collects what goes wrong during a test, and fails it at the end. A test that provokes a fault clears it."""
    watch = Watch(site_url)
    yield watch
    assert watch.faults == []


@pytest.fixture
def context(browser: Browser, site_url: str, watch: Watch) -> Iterator[BrowserContext]:
    """A fresh, watched browser profile on a desktop screen; addresses are below the site."""
    context = browser.new_context(base_url=site_url, viewport={"width": 1280, "height": 900})
    watch.over(context)
    yield context
    context.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """A page of that profile."""
    return context.new_page()


def axe(page: Page) -> list[str]:
    """Check a page for accessibility with axe-core; one line a fault, with the first element that has it."""
    # A script element would be refused by the page, which allows none but its own.
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run().then((result) => result.violations)")
    return [f"{item['id']} ({len(item['nodes'])}): {item['help']}: {item['nodes'][0]['html'][:200]}" for item in found]
