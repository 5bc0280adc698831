"""A site that was kept is the site that was made, to the byte, and is kept by all that it is made of."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder.findings.dataset import Dataset
from builder.records.memory import Memory
from builder.site import kept_site
from builder.site.kept_site import KeptSite, Made, keep_site, last_site, recalled_site, site_key
from builder.site.published import PublishedFile, PublishedPage, Renderer

PAGE = PublishedPage("masks/a/", "A — é", "Of A.", "<p>A\n\r\n</p>", "explore.md", "masks/a/preview.png")
FILES = (PublishedFile("a.json", "{}\n"), PublishedFile("a.png", b"\x89\x00\xff"), PublishedFile("empty", ""))
MADE: dict[str, Made] = {"one": (PAGE,), "two": FILES}
MARKED = "# Words\n\n<!-- sealbook: words -->\n"


def test_what_was_kept_is_what_was_made() -> None:
    made = KeptSite({"one": (PAGE,), "none": (), "two": FILES}, {"key": "filled"})
    read = KeptSite.from_bytes(made.as_bytes())
    assert (read.pages, read.files, read.filled) == ((PAGE,), FILES, {"key": "filled"})
    assert list(read.made) == ["one", "none", "two"]
    assert [type(file.content) for file in read.files] == [str, bytes, str]
    assert (made.is_new, read.is_new) == (True, False)
    assert read.as_bytes() == made.as_bytes()
    assert KeptSite.from_bytes(KeptSite().as_bytes()) == KeptSite(is_new=False)


def test_a_hand_written_page_is_filled_once(demo: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    site = KeptSite(is_new=False)
    text = site.fill(MARKED, Renderer(demo), 1)
    assert "<!-- sealbook" not in text
    assert site.is_new
    again = KeptSite.from_bytes(site.as_bytes())
    monkeypatch.setattr(kept_site, "filled", lambda *_: pytest.fail("filled again"))
    assert again.fill(MARKED, Renderer(demo), 1) == text
    assert not again.is_new
    after = KeptSite(before=again.filled)
    assert after.fill(MARKED, Renderer(demo), 1) == text
    assert after.filled == again.filled
    with pytest.raises(pytest.fail.Exception):
        after.fill(MARKED, Renderer(replace(demo, digest="other")), 1)


def test_a_site_is_kept_once_and_none_that_is_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    memory, site = Memory(tmp_path), KeptSite(MADE)
    assert recalled_site(memory, "site-1") is None
    assert last_site(memory, Path("entries")) is None
    keep_site(memory, "site-1", site, Path("entries"))
    assert recalled_site(memory, "site-1") == replace(site, is_new=False)
    assert last_site(memory, Path("entries")) == replace(site, is_new=False)
    assert last_site(memory, Path("other")) is None
    (tmp_path / "site-1").unlink()
    keep_site(memory, "site-1", site, Path("entries"))
    assert recalled_site(memory, "site-1") is None
    monkeypatch.setattr(kept_site, "MOST_BYTES", len(site.as_bytes()) - 1)
    keep_site(memory, "site-1", KeptSite(MADE), Path("entries"))
    assert recalled_site(memory, "site-1") is None


def test_another_entry_address_library_or_colour_is_another_site(
    demo: Dataset, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert len(demo.digest) == 64
    keys = {
        site_key(demo, "", "", ("en",)),
        site_key(demo, "https://example.org/repo", "", ("en",)),
        site_key(demo, "", "https://example.org/", ("en",)),
        site_key(replace(demo, digest="other"), "", "", ("en",)),
    }
    for name, other in (("_installed", ("numpy 0.1",)), ("style_rule", ":root {}")):
        monkeypatch.setattr(kept_site, name, lambda other=other: other)
        keys.add(site_key(demo, "", "", ("en",)))
    assert len(keys) == 6
