"""The chart of predictions holds every group of them, still and as a figure."""

from __future__ import annotations

import json
from xml.etree import ElementTree

import pytest

from builder.findings.dataset import Dataset
from builder.pictures import reliability
from builder.pictures.chart_frame import WIDTH
from builder.site.reliability_charts import calibration_figure, calibration_picture


def test_every_group_is_a_dot_in_the_same_place(demo: Dataset) -> None:
    assert demo.validation is not None
    bins = demo.validation.reliability
    (dots,) = json.loads(calibration_figure(bins))["data"]
    discs = list(ElementTree.fromstring(calibration_picture(bins)).iter("circle"))
    assert len(dots["x"]) == len(bins) == len(discs)
    for predicted, share, disc in zip(dots["x"], dots["y"], discs, strict=True):
        x = reliability.LEFT + predicted * (reliability.RIGHT - reliability.LEFT)
        y = reliability.BOTTOM - share * (reliability.BOTTOM - reliability.TOP)
        assert float(disc.attrib["cx"].rstrip("%")) == pytest.approx(100 * x / WIDTH, abs=0.01)
        assert float(disc.attrib["cy"]) == pytest.approx(y, abs=0.05)
