"""A browser on the built demo site. Script errors and requests to other hosts fail the test they happen in."""

from __future__ import annotations

import os
import re
import shutil
import sys
import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Literal

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Request,
    Route,
    ViewportSize,
    WebError,
    expect,
    sync_playwright,
)

from builder.records.spoken import ENGLISH
from builder.words.catalogue import speaking

# What is waited for ends at once where it comes. These limits end a test that has failed, also on a busy machine.
PATIENCE_MS = 60_000
expect.set_options(timeout=PATIENCE_MS)

AXE = Path(__file__).parent / "vendor" / "axe" / "axe.min.js"
UNSTARTED = "[data-module]:not([data-started])"
"""What a script has yet to take in hand."""
DESKTOP: ViewportSize = {"width": 1280, "height": 900}
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


@pytest.fixture(autouse=True)
def _as_pages_speak() -> Iterator[None]:
    """Let tests say what pages show, where no line ends between a number and its unit."""
    with speaking(ENGLISH):
        yield


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
        context.on("console", self._console)
        context.on("weberror", self._script)
        context.on("request", self._request)

    def leave(self, context: BrowserContext) -> None:
        """Look away from a context that others go on using."""
        context.remove_listener("console", self._console)
        context.remove_listener("weberror", self._script)
        context.remove_listener("request", self._request)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.faults.append(f"console: {message.text}")

    def _script(self, error: WebError) -> None:
        self.faults.append(f"script: {error.error}")

    def _request(self, request: Request) -> None:
        if not request.url.startswith((self.home, "data:", "blob:", "about:")):
            self.faults.append(f"request: {request.url}")


class Server(ThreadingHTTPServer):
    """A server of files to which a page may listen no longer: it was left before all had come."""

    # What a page asks for at once waits here while the machine is busy; of the usual five some would be turned away.
    request_queue_size = 128

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Tell of what is wrong here alone."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


class Quiet(SimpleHTTPRequestHandler):
    """Serves files and says nothing."""

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 (the name is the base class's)
        """Log nothing."""


class Kept(Quiet):
    """Serves files that do not change, over connections that stay open."""

    protocol_version = "HTTP/1.1"
    # A connection is never closed just when the browser uses it again.
    timeout = None

    def end_headers(self) -> None:
        """Let the browser keep every file."""
        self.send_header("Cache-Control", "max-age=86400")
        super().end_headers()


LASTING = {
    "add_init_script",
    "close",
    "expose_binding",
    "expose_function",
    "install",
    "pause_at",
    "route",
    "set_extra_http_headers",
    "set_fixed_time",
    "set_geolocation",
    "set_offline",
    "set_system_time",
}
"""What a test may do to a profile or its clock that cannot be taken back for the next one."""


def _refused(*_: object, **__: object) -> None:
    pytest.fail("This changes the profile for the tests after it: ask for the fixture `context` beside `page`.")


class Shelf:
    """One profile that tests use in turn, each with a new page and nothing stored.

    A profile of its own costs each test about half a second: a new window, a new process, every script compiled
    again. The new pages are opened by one that stays, so that they share its process.
    """

    def __init__(self, browser: Browser, home: str) -> None:
        self.context = browser.new_context(base_url=home, viewport=DESKTOP)
        self._home = home
        self._first = self.context.new_page()
        self._first.goto("404.html")
        self._session = self.context.new_cdp_session(self._first)
        for lasting in (self.context, self.context.clock):
            for name in LASTING & set(dir(lasting)):
                setattr(lasting, name, _refused)

    def new_page(self) -> Page:
        """An empty page that knows of no other."""
        with self.context.expect_page() as opened:
            self._first.evaluate("() => { window.open('about:blank').opener = null; }")
        return opened.value

    def clear(self) -> None:
        """Close the pages and forget what they stored, were allowed and were told."""
        for page in self.context.pages:
            if page is not self._first:
                page.close()
        self._session.send("Storage.clearDataForOrigin", {"origin": self._home.rstrip("/"), "storageTypes": "all"})
        # The page that stays remembers on its own account what the next one, in the same process, would be given.
        self._first.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
        self.context.clear_permissions()


@pytest.fixture(scope="session")
def site_url(built_site: Path) -> Iterator[str]:
    """The address the site is served at, "/" at its end."""
    with Server(("127.0.0.1", 0), partial(Kept, directory=str(built_site))) as server:
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
        browser = playwright.chromium.launch(executable_path=path, args=ARGUMENTS, timeout=PATIENCE_MS)
        made = browser.new_context

        def patient(**options: Any) -> BrowserContext:
            context = made(**options)
            context.set_default_timeout(PATIENCE_MS)
            return context

        browser.new_context = patient  # type: ignore[method-assign]
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
    """A profile of its own, watched, on a desktop screen, for tests that change it; addresses are below the site."""
    context = browser.new_context(base_url=site_url, viewport=DESKTOP)
    watch.over(context)
    yield context
    context.close()


@pytest.fixture(scope="session")
def shelf(browser: Browser, site_url: str) -> Shelf:
    """The profile that tests use in turn."""
    return Shelf(browser, site_url)


@pytest.fixture
def page(request: pytest.FixtureRequest, watch: Watch) -> Iterator[Page]:
    """A watched page of an empty profile: of the test's own one where it has asked for that."""
    if "context" in request.fixturenames:
        context: BrowserContext = request.getfixturevalue("context")
        yield context.new_page()
        return
    shelf: Shelf = request.getfixturevalue("shelf")
    watch.over(shelf.context)
    yield shelf.new_page()
    shelf.clear()
    watch.leave(shelf.context)


Told = Mapping[str, object]
"""What axe is told: https://github.com/dequelabs/axe-core/blob/develop/doc/API.md#options-parameter."""
COLOURS: Told = {"runOnly": ["color-contrast"]}
"""What axe is told where all else was looked at in other colours."""
BUT_COLOURS: Told = {"rules": {"color-contrast": {"enabled": False}}}
"""What axe is told where colours were looked at in another width."""


@pytest.fixture(scope="session")
def scripts(browser: Browser, site_url: str) -> Iterator[Page]:
    """A page to run single functions of the site's scripts in. They leave nothing behind in it; nobody leaves it."""
    watch = Watch(site_url)
    context = browser.new_context(base_url=site_url)
    watch.over(context)
    page = context.new_page()
    page.goto("data/")
    yield page
    context.close()
    assert watch.faults == []


def at(page: Page, address: str) -> None:
    """Wait until the page stands at an address that ends so. A test hears of a new one later than the page itself."""
    expect(page).to_have_url(re.compile(re.escape(address) + "$"))


class Held:
    """Answers no request until it is told to, however late the request comes."""

    def __init__(self) -> None:
        self._waiting: list[Route] | None = []

    def __call__(self, route: Route) -> None:
        """Hold a request of a page."""
        if self._waiting is None:
            route.continue_()
        else:
            self._waiting.append(route)

    def release(self) -> None:
        """Answer what waits, and what is still to come."""
        waiting, self._waiting = self._waiting or [], None
        for route in waiting:
            route.continue_()


def choose_by_keys(page: Page, label: str) -> None:
    """Choose in the list that has the keyboard, step by step: letters typed too slowly would count as several words."""
    chosen = "document.activeElement.selectedOptions[0].label"
    for _ in range(int(page.evaluate("document.activeElement.options.length"))):
        if str(page.evaluate(chosen)).startswith(label):
            return
        page.keyboard.press("ArrowDown")
    assert str(page.evaluate(chosen)).startswith(label)


def lay_out(page: Page) -> None:
    """Have all of a long page laid out now: what is laid out once it is seen moves later what is below it."""
    page.evaluate("""() => {
        const whole = new CSSStyleSheet();
        whole.replaceSync("* { content-visibility: visible !important }");
        document.adoptedStyleSheets = [...document.adoptedStyleSheets, whole];
    }""")


def in_colours(page: Page, scheme: Literal["light", "dark"]) -> None:
    """Have the page in other colours, at once: links would fade from one to the other."""
    page.evaluate("""() => {
        const still = new CSSStyleSheet();
        still.replaceSync("* { transition: none !important }");
        document.adoptedStyleSheets = [...document.adoptedStyleSheets, still];
    }""")
    page.emulate_media(color_scheme=scheme)


def axe(page: Page, told: Told | None = None) -> list[str]:
    """Check a page for accessibility with axe-core; one line a fault, with the first element that has it."""
    # A script element would be refused by the page, which allows none but its own.
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate(
        """async (told) => {
            const { violations } = await axe.run({ resultTypes: ["violations"], preload: false, ...told });
            return violations.map(({ id, help, nodes }) =>
                `${id} (${nodes.length}): ${help}: ${nodes[0].html.slice(0, 200)}`);
        }""",
        dict(told or {}),
    )
    return [str(fault) for fault in found]
