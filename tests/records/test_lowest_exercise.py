"""The exercise that has to pass by itself."""

from __future__ import annotations

import pytest

from builder.records.lowest_exercise import lowest_exercise
from builder.records.models import Result


@pytest.mark.parametrize(
    "values, lowest",
    [
        ([("talking", 80.0, False), ("bending-over", 120.0, False), ("grimace", 3.0, False)], ("talking", 80.0)),
        ([("talking", 200.0, True), ("bending-over", 200.0, True)], ("talking", 200.0)),
        ([("talking", 60.0, True), ("bending-over", 200.0, True)], None),
        ([("normal-breathing", 60.0, False)], None),
        ([], None),
    ],
)
def test_the_lowest_of_several(values: list[tuple[str, float, bool]], lowest: tuple[str, float] | None) -> None:
    exercises = [{"name": name, "fit_factor": value, "at_least": at_least} for name, value, at_least in values]
    found = lowest_exercise(Result.model_validate({"protocol": "free", "exercise": exercises}))
    assert (found and (found.name, found.fit_factor)) == lowest
