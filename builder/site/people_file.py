"""The wearers of the database as a file for the browser: where their faces lie, what they tried, what came of it.

It is the same for every reader, so that nothing of a reader's face is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from builder.findings.advice import advise
from builder.findings.dataset import Dataset
from builder.findings.tried import Trier, triers
from builder.fit.facemodel import FaceDescription
from builder.site.published import PublishedFile, compact_json
from builder.words.labels import configuration_label, is_medical
from builder.words.predictions import list_check, own_check_sentence, why_sentence

ADDRESS = "faces/people.json"

_MARKS = {True: "1", False: "0", None: "?"}
"""How it is written whether a wearer's own median reaches the level."""


def people_file(data: Dataset) -> Iterator[PublishedFile]:
    """Give the file."""
    yield PublishedFile(ADDRESS, compact_json(people_content(data)))


def people_content(data: Dataset) -> dict[str, Any]:
    """Lay out configurations with tests that count, by id, and the wearers, whose `tried` are places among these."""
    anyone = advise(data, FaceDescription(), 0)
    rows = {row.configuration: row for row in sorted(anyone.ranked, key=lambda row: row.configuration)}
    number = {name: place for place, name in enumerate(rows)}
    wearers = triers(data.counted)
    return {
        "configurations": {
            "id": list(rows),
            "label": [configuration_label(data, name) for name in rows],
            "medical": [int(is_medical(data, name)) for name in rows],
            "wearers": [row.wearers for row in rows.values()],
            "share_wearers": [row.share_wearers for row in rows.values()],
            "reached": [row.reached for row in rows.values()],
            # Over all faces an interval is sharper than that of the average face, which a browser works out.
            "low": [_digits(row.low) for row in rows.values()],
            "high": [_digits(row.high) for row in rows.values()],
        },
        "wearers": {
            "length": [_mm(one.place[0]) for one in wearers],
            "width": [_mm(one.place[1]) for one in wearers],
            "tried": [[number[name] for name in one.tried] for one in wearers],
            "bridge": [one.nose_bridge for one in wearers],
            "passed": [_marks(one) for one in wearers],
            "readings": [[_readings(one.readings[name]) for name in one.tried] for one in wearers],
        },
        "why": why_sentence(data, anyone),
        # Without chances a list rests on who is near, if anybody is.
        "why_near": {
            place: "" if data.model else why_sentence(data, replace(anyone, near_only=True, by_cell=place == "cell"))
            for place in ("face", "cell")
        },
        "check": list_check(data) if data.model is not None else "",
        "own_check": own_check_sentence(data) if data.model is not None else "",
        "name": data.name,
        "newest": data.newest,
        "invented": data.invented,
    }


def _marks(one: Trier) -> str:
    return "".join(_MARKS[reaches] for reaches in one.tried.values())


def _readings(own: list[tuple[float, bool]]) -> list[float]:
    """Write fit factors with more digits than a page shows, lest they are rounded twice; an "at least" one below 0."""
    return [float(f"{-value if at_least else value:.6g}") for value, at_least in own]


def _mm(value: float) -> float | None:
    return None if math.isnan(value) else round(value, 1)


def _digits(chance: float | None) -> float | None:
    return None if chance is None else round(chance, 4)
