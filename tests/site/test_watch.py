"""The watch over pages: what it must notice, it notices."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.site.conftest import Watch, axe


def test_script_errors_and_requests_to_other_hosts_are_noticed(page: Page, watch: Watch) -> None:
    page.goto("explore/")
    assert watch.faults == []
    page.route("http://elsewhere.invalid/**", lambda route: route.fulfill(body=""))
    page.evaluate("fetch('http://elsewhere.invalid/pixel', { mode: 'no-cors' })")
    page.evaluate("setTimeout(() => { throw new Error('thrown') })")
    page.evaluate("console.error('said')")
    page.wait_for_timeout(100)
    noticed = "\n".join(watch.faults)
    assert "request: http://elsewhere.invalid/pixel" in noticed
    assert "thrown" in noticed
    assert "console: said" in noticed
    watch.faults.clear()


def test_axe_finds_a_field_without_a_name(page: Page) -> None:
    page.goto("explore/")
    page.get_by_label("Style", exact=True).wait_for()
    page.evaluate("document.querySelector('label[for=sb-explorer-style]').remove()")
    assert [fault for fault in axe(page) if fault.startswith("select-name")]
