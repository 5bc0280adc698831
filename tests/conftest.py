"""What tests of several folders share: the demo entries, read and built once, and how examples are drawn."""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from mkdocs.commands.build import build
from mkdocs.config import load_config

from builder.findings.dataset import Dataset, build_dataset
from builder.records.memory import PLACE
from builder.site.published import PublishedFile

ROOT = Path(__file__).resolve().parents[1]
SITE_URL = "http://127.0.0.1/"

# A slow or busy machine must not fail a test; on a build server each run tries the same examples, and a failing one
# is printed in a form that repeats it.
settings.register_profile(
    "sealbook",
    deadline=None,
    derandomize=os.environ.get("CI") == "true",
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("sealbook")

FIXTURE_KEPT = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
"""Health checks off where all examples of a test may share its folder or its page."""


@pytest.fixture(scope="session", autouse=True)
def _own_memory(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep tests from what the user's own runs remember, and these from the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(PLACE, str(tmp_path_factory.mktemp("memory")))
        yield


@pytest.fixture(scope="session")
def demo() -> Dataset:
    """The dataset of the committed entries."""
    return build_dataset(ROOT / "entries")


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the committed entries, built as `mkdocs build` does it for `SITE_URL`. No test changes it."""
    site = tmp_path_factory.mktemp("site")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("NO_MKDOCS_2_WARNING", "1")
        patch.setenv("DISABLE_MKDOCS_2_WARNING", "1")
        patch.setenv("SEALBOOK_URL", SITE_URL)
        build(load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site), strict=True))
    return site


def unpacked(file: PublishedFile) -> Any:
    """What a published data file holds, packed or not."""
    text = file.content if isinstance(file.content, str) else zlib.decompress(file.content)
    return json.loads(text)
