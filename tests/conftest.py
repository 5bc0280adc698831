"""What tests of several folders share: the demo entries, read once."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.findings.dataset import Dataset, build_dataset

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def demo() -> Dataset:
    """The dataset of the committed entries."""
    return build_dataset(ROOT / "entries")
