"""Effects of parts are worked out once a table; in haste those of the table before stand in, if of the same parts."""

from __future__ import annotations

import pandas as pd
import pytest

from builder.findings import hack_memory as module
from builder.findings.hack_memory import Hacks, remembered_hacks
from builder.fit.compare.hack_effects import HackEffect


def test_the_last_effects_stand_in_only_in_haste_and_for_the_same_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_made", {})
    asked: list[float] = []

    def effects(value: float, *parts: str, of: str = "", hasty: bool) -> Hacks:
        def work_out() -> Hacks:
            asked.append(value)
            return {part: HackEffect(part, "straps", (), 0, 0) for part in parts}

        return remembered_hacks(pd.DataFrame({"fit_factor": [value]}), set(parts), work_out, of=of, hasty=hasty)

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
