"""Effects of parts are worked out once a table; in haste those of the table before stand in, if of the same parts."""

from __future__ import annotations

import pytest

from builder.findings import hack_memory as module
from builder.findings.dataset import Dataset
from builder.findings.hack_memory import Hacks, remembered_hacks
from builder.fit.compare.hack_effects import HackEffect
from builder.records.pieces import Pieces


def test_the_last_effects_stand_in_only_in_haste_and_for_the_same_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_made", {})
    asked: list[float] = []

    def effects(value: float, *parts: str, of: str = "", hasty: bool) -> Hacks:
        def work_out() -> Hacks:
            asked.append(value)
            return {part: HackEffect(part, "straps", (), 0, 0) for part in parts}

        return remembered_hacks(b"%g" % value, set(parts), work_out, of=of, hasty=hasty, pieces=Pieces())

    first = effects(1.0, "clip", hasty=True)
    assert effects(1.0, "clip", hasty=False) is first
    assert effects(2.0, "clip", hasty=True) is first
    assert asked == [1.0]
    assert effects(3.0, "clip", "band", hasty=True).keys() == {"clip", "band"}
    assert effects(4.0, "clip", "band", hasty=False) is effects(4.0, "clip", "band", hasty=True)
    assert asked == [1.0, 3.0, 4.0]
    assert effects(5.0, "clip", of="a-method", hasty=False).keys() == {"clip"}
    assert effects(6.0, "clip", "band", hasty=True) is effects(4.0, "clip", "band", hasty=False)
    assert asked == [1.0, 3.0, 4.0, 5.0]


def test_effects_of_a_run_before_are_those_that_would_be_worked_out(
    demo: Dataset, monkeypatch: pytest.MonkeyPatch
) -> None:
    made, pieces = demo.hacks, Pieces()
    for asked in ([made], []):
        monkeypatch.setattr(module, "_made", {})
        again = remembered_hacks(b"key", set(made), asked.pop, hasty=False, pieces=pieces)
        assert repr(again) == repr(made)
        assert not asked
