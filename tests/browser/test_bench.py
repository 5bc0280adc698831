"""The bench page in a browser: an evening from its set-up to files that the checker passes; nothing of it is lost."""

from __future__ import annotations

import csv
import io
import shutil
import zipfile
from pathlib import Path

from click.testing import CliRunner
from playwright.sync_api import Download, Page, expect

from builder.cli import main
from builder.findings.dataset import build_dataset
from builder.records.checking import check
from tests.conftest import ROOT

DAY = "2026-09-12"


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


def figures(page: Page) -> list[str]:
    page.locator(".sb-bench__evening").wait_for()
    return page.locator(".sb-bench__figure").all_text_contents()


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
    assert missing.count() == 3  # material, fitting, whether it can be undone
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


def test_an_evening_of_eight_takes(page: Page, tmp_path: Path) -> None:
    """A new mask with a new part, a take set aside, an edit, an undo, a reload; then the checker and `sealbook add`."""
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
    expect(page.locator(".sb-bench__count")).to_have_text("Next: donning 1 of 8")
    wear = []
    for number, reading in enumerate(["31,5", "64", "95", "40"], start=1):
        wear.append(page.locator(".sb-bench__wear").text_content())
        take(page, reading, aside="hose came off" if number == 3 else "")
    # What was set aside is done again: it is next.
    assert wear[3] == wear[2]
    kept(page)
    page.reload()
    assert figures(page) == ["31.5", "64", "95", "40"]
    # An edit, undone and done again.
    page.get_by_role("button", name="Edit Take 2").click()
    page.locator('[name="test.result.fit_factor"]').fill("66")
    page.get_by_role("button", name="Keep this take").click()
    assert figures(page) == ["31.5", "66", "95", "40"]
    page.get_by_role("button", name="Undo change of take 2").click()
    assert figures(page) == ["31.5", "64", "95", "40"]
    for reading in ("120", "150", "70", "45"):
        take(page, reading)
    kept(page)
    assert page.locator(".sb-bench__verdicts li").count() == 3
    assert page.locator(".sb-bench__found table tbody tr").count() == 2
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
    assert own["fit_factor"].tolist() == [31.5, 64, 95, 40, 120, 150, 70, 45]
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
    assert again[again["mask"] == "vorukelim"]["fit_factor"].tolist() == own["fit_factor"].tolist()
