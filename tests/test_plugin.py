"""The plugin against real MkDocs: pages, files, a wrong entry, the same bytes twice."""

from __future__ import annotations

import hashlib
import re
import shutil
import threading
from pathlib import Path
from typing import Any

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort

from builder.findings import forecast as module
from builder.findings import hack_memory
from builder.findings.dataset import Dataset, build_dataset
from builder.fit.facemodel import leave_wearers_out
from builder.plugin import ReadyPage
from builder.records.memory import PLACE
from builder.site import kept_site
from builder.site.kinds import PAGE_KINDS
from builder.site.offline import WORKER
from tests.conftest import ROOT, SITE_URL
from tests.records import samples


def built(entries: Path, site: Path, **settings: str) -> Path:
    """Build the site of some entries into a folder, strictly."""
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site), strict=True, **settings)
    config.plugins["sealbook"].config["entries"] = str(entries)
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    assert not list(site.parent.glob(f".{site.name}-building-*"))
    return site


def digests(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


WAITING = "own check is being made anew"
POLICY = re.compile(rb'\s*<meta http-equiv="Content-Security-Policy"[^>]*>')


def digests_but_policy(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(POLICY.sub(b"", path.read_bytes())).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(autouse=True)
def _nothing_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """Begin as a process does: what other tests made last would stand in, in haste."""
    for memory in (module, hack_memory):
        monkeypatch.setattr(memory, "_made", {})


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A few entries without a fault; what goes wrong with them does with any."""
    return samples.write(tmp_path_factory.mktemp("plugin") / "entries")


def test_the_same_entries_give_the_same_bytes(
    built_site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SEALBOOK_URL", SITE_URL)
    elsewhere = shutil.copytree(ROOT / "entries", tmp_path / "entries")
    assert digests(built(elsewhere, tmp_path / "site")) == digests(built_site)


def test_a_wrong_entry_stops_the_build_and_leaves_the_site(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    broken = shutil.copytree(ROOT / "entries", tmp_path / "entries")
    site = tmp_path / "site"
    site.mkdir()
    (site / "index.html").write_text("the last good site")
    first, second, *_ = sorted((broken / "tests").rglob("*.toml"))
    first.write_text("mask = \n")
    second.write_text(second.read_text().replace("fit_factor", "fit_facto"))
    with pytest.raises(Abort):
        built(broken, site)
    assert first.name in caplog.text
    assert second.name in caplog.text
    assert (site / "index.html").read_text() == "the last good site"
    assert [path.name for path in site.iterdir()] == ["index.html"]


def test_while_serving_the_last_good_data_stay_and_the_problems_are_shown(entries: Path, tmp_path: Path) -> None:
    edited = tmp_path / "entries"
    shutil.copytree(entries, edited)
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(tmp_path / "site"), strict=True)
    plugin = config.plugins["sealbook"]
    plugin.config["entries"] = str(edited)
    plugin.on_startup(command="serve", dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/")
    assert str(edited) in config.watch
    good = (tmp_path / "site" / "explore" / "index.html").read_text()
    test = sorted((edited / "tests").rglob("*.toml"))[0]
    test.write_text("mask = 1\n")
    build(config, serve_url="http://127.0.0.1:8000/")
    page = (tmp_path / "site" / "explore" / "index.html").read_text()
    assert test.name in page
    assert page.partition("<main")[2] == good.partition("<main")[2]


def is_plain(text: str) -> bool:
    """Whether an entry gives a fit factor and nothing that it could disagree with."""
    return "\nfit_factor = " in text and "[[" not in text


def test_few_entries_have_every_kind_of_page(few_entries: Path, demo: Dataset) -> None:
    def kinds(data: Dataset) -> list[str]:
        return [kind.name for kind in PAGE_KINDS if [*kind.examples(data)]]

    data = build_dataset(few_entries)
    assert kinds(data) == kinds(demo)
    assert data.model is not None
    assert data.validation is not None


def test_a_saved_entry_is_shown_before_the_model_is_checked_and_ends_as_a_clean_build(
    few_entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edited, site = tmp_path / "entries", tmp_path / "site"
    shutil.copytree(few_entries, edited)
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site), strict=True)
    plugin: Any = config.plugins["sealbook"]
    plugin.config["entries"] = str(edited)
    plugin.on_startup(command="serve", dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/")
    assert WAITING not in (site / "methods" / "index.html").read_text()
    test = next(path for path in sorted((edited / "tests").rglob("*.toml")) if is_plain(path.read_text()))
    test.write_text(re.sub(r"\nfit_factor = .*", "\nfit_factor = 77.7", test.read_text(), count=1))
    # Of a mask that nobody has tested there are neither pictures to share nor a chart.
    untested = next(path for path in sorted((edited / "tests").iterdir()) if path != test.parent)
    shutil.rmtree(untested)
    assert (site / "masks" / untested.name / "donnings.packed").is_file()
    checks = threading.Event()
    monkeypatch.setattr(module, "leave_wearers_out", lambda *a, **k: (checks.wait(600), leave_wearers_out(*a, **k))[1])
    build(config, serve_url="http://127.0.0.1:8000/")
    assert "77.7" in (site / "masks" / test.parent.name / "index.html").read_text()
    assert WAITING in (site / "methods" / "index.html").read_text()
    checks.set()
    plugin._recheck.wait()
    assert str(plugin._recheck.signal) in config.watch
    assert plugin._recheck.signal.read_text() == "1"
    build(config, serve_url="http://127.0.0.1:8000/")
    # A served page may run the script that reloads it, so it has no policy on scripts.
    served, clean = digests_but_policy(site), digests_but_policy(built(edited, tmp_path / "clean"))
    # What keeps a page without network would keep it from the next save.
    assert clean.pop(WORKER) and clean.pop(f"de/{WORKER}")
    assert served == clean


def test_what_is_remembered_changes_no_byte(few_entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def memory(folder: Path | str) -> None:
        monkeypatch.setenv(PLACE, str(folder))

    entries, kept = shutil.copytree(few_entries, tmp_path / "entries"), tmp_path / "memory"
    memory("")
    without = digests(built(entries, tmp_path / "without"))
    assert not kept.exists()
    memory(kept)
    assert digests(built(entries, tmp_path / "first")) == without
    with monkeypatch.context() as patch:
        patch.setattr(kept_site, "page_tasks", lambda *_: pytest.fail("made again"))
        assert digests(built(entries, tmp_path / "again")) == without
    test = next(path for path in sorted((entries / "tests").rglob("*.toml")) if is_plain(path.read_text()))
    test.write_text(re.sub(r"\nfit_factor = .*", "\nfit_factor = 77.7", test.read_text(), count=1))
    changed = digests(built(entries, tmp_path / "changed"))
    memory("")
    assert changed == digests(built(entries, tmp_path / "changed-without"))
    assert changed != without
    for file in kept.iterdir():
        file.write_bytes(file.read_bytes()[:-1])
    memory(kept)
    assert digests(built(entries, tmp_path / "damaged")) == changed


def test_while_serving_the_same_entries_are_worked_through_once(
    entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(tmp_path / "site"), strict=True)
    plugin: Any = config.plugins["sealbook"]
    plugin.config["entries"] = str(entries)
    plugin.on_startup(command="serve", dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/")
    first = digests(tmp_path / "site")
    monkeypatch.setattr(kept_site, "page_tasks", lambda *_: pytest.fail("made again"))
    build(config, serve_url="http://127.0.0.1:8000/")
    assert digests(tmp_path / "site") == first


def test_a_page_that_cannot_be_rendered_leaves_the_site(
    entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = tmp_path / "site"
    site.mkdir()
    (site / "index.html").write_text("the last good site")

    def fails(self: object, config: object, files: object) -> None:
        raise RuntimeError("in the middle of it")

    monkeypatch.setattr(ReadyPage, "render", fails)
    with pytest.raises(RuntimeError):
        built(entries, site)
    assert (site / "index.html").read_text() == "the last good site"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_strict_build_that_warns_leaves_the_site(entries: Path, tmp_path: Path) -> None:
    pages = tmp_path / "pages"
    shutil.copytree(ROOT / "site_src" / "pages", pages)
    with (pages / "cautions.md").open("a") as file:
        file.write("\n[nowhere](nowhere.md)\n")
    site = tmp_path / "site"
    site.mkdir()
    (site / "index.html").write_text("the last good site")
    with pytest.raises(Abort, match="1 warnings"):
        built(entries, site, docs_dir=str(pages))
    assert (site / "index.html").read_text() == "the last good site"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["pages", "site"]


def test_a_site_folder_that_is_a_link_stays_one_and_what_is_no_folder_stays(
    entries: Path, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    served = tmp_path / "served"
    served.mkdir()
    (site := tmp_path / "site").symlink_to(served)
    built(entries, site)
    assert site.is_symlink()
    assert (served / "index.html").is_file()
    (file := tmp_path / "notes.txt").write_text("not to be lost")
    with pytest.raises(Abort):
        built(entries, file)
    assert caplog.messages == [f"{file} is no folder: name another site_dir, or move it away"]
    assert file.read_text() == "not to be lost"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["notes.txt", "served", "site"]


def test_one_more_file_changes_the_site(entries: Path, tmp_path: Path) -> None:
    def page(site: Path) -> str:
        return (site / "masks" / "drum-cup" / "index.html").read_text("utf-8")

    assert "2026-09-12-blue-heron-2" not in page(built(entries, tmp_path / "before"))
    more = shutil.copytree(entries, tmp_path / "entries")
    new = more / "tests" / "drum-cup" / "2026-09-12-blue-heron-2.toml"
    new.write_text(f"{samples.TEST.partition('[[result')[0]}fit_factor = 12.3\n", "utf-8")
    after = page(built(more, tmp_path / "after"))
    assert f'id="{new.stem}"' in after
    assert "12.3" in after


def test_every_page_links_the_cautions_and_says_the_data_are_invented(built_site: Path) -> None:
    pages = sorted(built_site.rglob("*.html"))
    assert len(pages) > 50
    for page in pages:
        text = page.read_text()
        assert "cautions/" in text, page
        german = page.relative_to(built_site).parts[0] == "de"
        assert ("Erfundene Daten: keine Empfehlung." if german else "Invented demo data") in text, page
        assert "<title>" in text, page
        assert 'name="description"' in text, page
        assert re.search('<link rel="alternate" type="application/atom[+]xml" [^>]*href="[^"]*feed.xml">', text), page
    assert (built_site / "feed.xml").read_text(encoding="utf-8").startswith("<?xml")
