"""Configurations by the names that people write."""

from __future__ import annotations

import pytest

from builder.findings.dataset import Dataset
from builder.findings.named_configuration import configuration_named


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("skevuthar", "skevuthar"),
        ("skevuthar+foam-strip+crossed-band", "skevuthar+crossed-band+foam-strip"),
        ("skevuthar + broad-strip + crossed-band", "skevuthar+crossed-band+broad-strip"),
        ("skevuthar+broad-strip+broad-strip", "skevuthar+broad-strip"),
        ("kruvolumot+edge-tape+no-nose-foam", "kruvolumot+no-nose-foam+edge-tape"),
        ("skevuthar+no-such+crossed-band", "skevuthar+no-such+crossed-band"),
        ("nobody", "nobody"),
    ],
)
def test_parts_come_in_slot_order(demo: Dataset, name: str, meant: str) -> None:
    assert configuration_named(demo, name) == meant


def test_every_configuration_is_its_own_name(demo: Dataset) -> None:
    for configuration in demo.table["configuration"].unique():
        mask, *parts = configuration.split("+")
        assert configuration_named(demo, "+".join([mask, *reversed(parts)])) == configuration
