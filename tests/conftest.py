"""What tests of several folders share: the demo entries, read and built once, and how examples are drawn."""

from __future__ import annotations

import fcntl
import json
import os
import time
import zlib
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from mkdocs.commands.build import build
from mkdocs.config import load_config

from builder.demo.scenario import generate
from builder.findings.dataset import Dataset, build_dataset
from builder.records.memory import PLACE
from builder.records.toml_text import to_toml
from builder.site.published import PublishedFile

ROOT = Path(__file__).resolve().parents[1]
SITE_URL = "http://127.0.0.1/"

# A slow or busy machine must not fail a test, nor luck: each run tries the same examples. Others are looked for by
# `--hypothesis-profile searching`; a failing one is printed in a form that repeats it.
OF_DRAWING = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]
"""Health checks that tell how examples are drawn, and nothing of what is tested."""
for profile, same in (("sealbook", True), ("searching", False)):
    settings.register_profile(
        profile, deadline=None, derandomize=same, print_blob=True, suppress_health_check=OF_DRAWING
    )
settings.load_profile("sealbook")

FIXTURE_KEPT = [*OF_DRAWING, HealthCheck.function_scoped_fixture]
"""Health checks off where all examples of a test may share its folder or its page."""


def hour_after_midnight() -> str:
    """The time zone in which a day began an hour or two ago, by the names of POSIX, which count towards the west."""
    hours = (datetime.now(UTC).hour + 11) % 24 - 12
    return f"Etc/GMT{hours:+d}"


# No day ends between what a test does and what it looks at. The processes and browsers that tests start inherit this.
if hasattr(time, "tzset"):
    os.environ["TZ"] = hour_after_midnight()
    time.tzset()

DEAR = [
    "test_maintainers_week.py",
    "browser/test_explorer.py",
    "browser/test_contribute.py",
    "test_plugin.py",
    "browser/test_bench.py",
    "browser/test_faces.py",
    "browser/test_compare.py",
    "browser/test_own_results.py",
    "browser/test_every_size.py",
    "browser/test_hostile_entries.py",
    "findings/test_forecast.py",
    "browser/test_pages.py",
    "browser/test_charts.py",
    "fit/facemodel/test_validate.py",
    "test_hardship.py",
    "home/test_from_a_wheel.py",
    "browser/test_layout_shift.py",
    "commands/test_saving.py",
    "test_walkthrough.py",
    "browser/test_search.py",
    "browser/test_languages.py",
    "test_evening_walkthrough.py",
    "commands/test_watching.py",
    "browser/test_logs.py",
    "commands/test_refusals.py",
    "records/test_count_logs.py",
    "test_spreadsheet_walkthrough.py",
]
"""Files of many seconds: they go first, so that no processor is left alone with one of them at the end."""


def pytest_xdist_auto_num_workers() -> int:
    """Two processes for each processor: a third of the time a test of a page waits for its browser."""
    return 2 * (os.cpu_count() or 1)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the dear files first, all else in its order. The first one needs no site while another process builds it."""
    place = {ROOT / "tests" / name: number for number, name in enumerate(DEAR)}
    missing = [path for path in place if not path.exists()]
    assert not missing, f"tests/conftest.py names files that are gone: {missing}"
    items.sort(key=lambda item: place.get(item.path, len(DEAR)))


def common(factory: pytest.TempPathFactory) -> Path:
    """Give the folder that all processes of a run share."""
    own = factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """Have a folder made by the first process of a run that asks for it; the others wait for that and take it."""
    made = common(factory) / name
    with made.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.is_dir():
            make(started := made.with_suffix(".started"))
            started.rename(made)
    return made


@pytest.fixture(scope="session", autouse=True)
def _own_memory(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep tests from what the user's own runs remember, and these from the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(PLACE, str(common(tmp_path_factory) / "memory"))
        yield


@pytest.fixture(scope="session")
def demo() -> Dataset:
    """The dataset of the committed entries."""
    return build_dataset(ROOT / "entries")


def write_few(folder: Path) -> None:
    """Write a sixth of the committed entries, of as many kinds."""
    for path, record in generate(72, 10, 4, 1):
        (folder / "entries" / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / "entries" / path).write_text(to_toml(record), "utf-8")


@pytest.fixture(scope="session")
def few_entries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Invented entries for sites that are built to see how: enough for a face model and each kind of page."""
    return made_once(tmp_path_factory, "few", write_few) / "entries"


def build_demo(site: Path) -> None:
    """Build the site of the committed entries as `mkdocs build` does it for `SITE_URL`."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("NO_MKDOCS_2_WARNING", "1")
        patch.setenv("DISABLE_MKDOCS_2_WARNING", "1")
        patch.setenv("SEALBOOK_URL", SITE_URL)
        build(load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site), strict=True))


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the committed entries, built for `SITE_URL`. No test changes it."""
    return made_once(tmp_path_factory, "site", build_demo)


def unpacked(file: PublishedFile) -> Any:
    """What a published data file holds, packed or not."""
    text = file.content if isinstance(file.content, str) else zlib.decompress(file.content)
    return json.loads(text)
