"""The watch over pages: what it must notice, it notices."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Watch, axe


def told(page: Page, watch: Watch, *expected: str) -> None:
    """Wait until faults with each of these texts have been noticed; a busy machine takes its time."""
    for _ in range(1200):
        if all(any(text in fault for fault in watch.faults) for text in expected):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{expected} not all in {watch.faults}")


def test_script_errors_and_requests_to_other_hosts_are_noticed(browser: Browser, site_url: str, watch: Watch) -> None:
    # The page's own policy would stop the request before it is one.
    context = browser.new_context(base_url=site_url, bypass_csp=True)
    watch.over(context)
    page = context.new_page()
    page.goto("explore/")
    assert watch.faults == []
    page.route("http://elsewhere.invalid/**", lambda route: route.fulfill(body=""))
    page.evaluate("fetch('http://elsewhere.invalid/pixel', { mode: 'no-cors' })")
    page.evaluate("setTimeout(() => { throw new Error('thrown') })")
    page.evaluate("console.error('said')")
    told(page, watch, "request: http://elsewhere.invalid/pixel", "thrown", "console: said")
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()
    context.close()


@pytest.mark.parametrize(
    "attempt",
    [
        "fetch('http://elsewhere.invalid/pixel', { mode: 'no-cors' }).catch(() => 0)",
        "document.body.append(Object.assign(new Image(), { src: 'http://elsewhere.invalid/pixel' }))",
        "document.body.append(Object.assign(document.createElement('script'), { textContent: 'window.hacked = 1' }))",
        "document.body.setAttribute('onclick', 'window.hacked = 1'), document.body.click()",
    ],
)
def test_the_pages_own_policy_stops_what_is_injected(page: Page, watch: Watch, attempt: str) -> None:
    page.goto("explore/")
    page.evaluate(f"() => {{ {attempt} }}")
    told(page, watch, "Content Security Policy")
    assert page.evaluate("window.hacked") is None
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()


def test_axe_finds_a_field_without_a_name(page: Page) -> None:
    page.goto("explore/")
    page.get_by_label("Style", exact=True).wait_for()
    page.evaluate("document.querySelector('label[for=sb-explorer-style]').remove()")
    assert [fault for fault in axe(page) if fault.startswith("select-name")]
