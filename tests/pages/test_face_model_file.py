"""The face model as a file for the browser; what it says is held against the builder in tests/browser."""

from __future__ import annotations

import gzip
import json
from pathlib import Path

import numpy as np
import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.fit.levels import LEAKS_AT_ONCE
from builder.site.face_model_file import ADDRESS, face_model_file, in_characters


def test_the_file_is_the_same_each_time_and_small(demo: Dataset) -> None:
    (file,), (again,) = face_model_file(demo), face_model_file(demo)
    assert (file.path, file.content) == (ADDRESS, again.content)
    assert isinstance(file.content, str)
    assert len(gzip.compress(file.content.encode())) < 150_000
    content = json.loads(file.content)
    assert content["catalogue"]["configurations"] == sorted(demo.counted["configuration"].unique())
    assert content["own_results"]["leaks"]["limit"] == LEAKS_AT_ONCE
    assert sum(one["weight"] for one in content["posteriors"]) == pytest.approx(1.0)


def test_without_a_model_there_is_no_file(tmp_path: Path) -> None:
    assert list(face_model_file(build_dataset(tmp_path))) == []


def test_numbers_as_characters() -> None:
    assert in_characters(np.array([0.0, -0.01, 0.01, -0.02]), 0.01) == "()*+"
    text = in_characters(np.arange(-400, 400, dtype=np.float64), 1.0)
    assert len(set(text)) == 800
    assert "\\" not in text
    assert all(ord(letter) < 0x7F or ord(letter) >= 0xA0 for letter in text)


def test_a_number_of_too_many_steps() -> None:
    with pytest.raises(ValueError, match="too many steps"):
        in_characters(np.array([1e6]), 0.01)
