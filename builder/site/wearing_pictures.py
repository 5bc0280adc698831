"""What wearers noticed of a mask's configurations, as pictures: what a change gains and costs, and where it leaked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import cast

from markupsafe import Markup

from builder.findings.dataset import Dataset, Row
from builder.findings.wearing import LEAKS
from builder.pictures.leaking_face import FacePlace, leaking_face
from builder.pictures.share_bars import SharesRow, share_bars
from builder.pictures.svg import fluid, inked
from builder.records.vocabulary import Leak
from builder.words import vocabulary_words
from builder.words.catalogue import say
from builder.words.labels import change_label

MOST_FACES = 6
"""Configurations whose face is drawn, the mask as sold and the best; the table has all."""
_NOTED: dict[FacePlace, str] = {
    "eyes": "touches_eyes_share",
    "glasses": "fogging_share",
    **{cast(FacePlace, leak.value): rate for rate, leak in LEAKS.items()},
}


def gains_picture(data: Dataset, rows: Sequence[Row], mask: str) -> Markup:
    """Draw how many wearers each configuration reaches beside how it is to wear; nothing where nobody noted that."""
    drawn = [row for row in rows if row["tests"] and row["configuration"] in data.wearing_by_id]
    noted = [data.wearing_by_id[row["configuration"]] for row in drawn]
    if not any(found["comfortable_tests"] or found["hard_to_breathe_tests"] for found in noted):
        return Markup("")
    bars = [
        SharesRow(
            change_label(data, row["parts"]),
            (
                _share(row["share_at_100"], row["share_wearers"]),
                _share(found["comfortable"], found["comfortable_tests"]),
                _share(1 - found["hard_to_breathe"], found["hard_to_breathe_tests"]),
            ),
            muted=not row["parts"],
        )
        for row, found in zip(drawn, noted, strict=True)
    ]
    columns = [say("wearing.reach"), say("wearing.comfortable"), say("wearing.easy")]
    about = "; ".join(
        say(
            "chart.labelled",
            label=bar.label,
            figures=", ".join(f"{column} {figure}" for column, (_, figure) in zip(columns, bar.shares, strict=True)),
        )
        for bar in bars
    )
    return Markup(fluid(share_bars(columns, bars, say("chart.gains", mask=mask), about), "gains"))


def leaking_faces(data: Dataset, rows: Sequence[Row]) -> list[tuple[str, Markup]]:
    """Draw a face for each of the first configurations that have something noted at a place, with its label."""
    faces: list[tuple[str, Markup]] = []
    for row in rows:
        if len(faces) == MOST_FACES:
            break
        found = data.wearing_by_id.get(row["configuration"])
        if found is None or not any(found[f"{name}_tests"] for name in _NOTED.values()):
            continue
        label = change_label(data, row["parts"])
        shares = {place: found[name] for place, name in _NOTED.items() if found[f"{name}_tests"]}
        figures = {place: _share(share, found[f"{_NOTED[place]}_tests"])[1] for place, share in shares.items()}
        words = {place: (_name(place), figure) for place, figure in figures.items()}
        about = "; ".join(
            say("chart.labelled", label=_name(place), figures=figure) for place, figure in figures.items()
        )
        drawing = leaking_face(shares, words, say("chart.noticed", configuration=label), about)
        faces.append((label, Markup(inked(drawing, f"face-{len(faces)}"))))
    return faces


def _share(share: float, of: int) -> tuple[float, str]:
    if not of or math.isnan(share):
        return float("nan"), say("wearing.not_noted")
    return share, say("wearing.of", n=round(share * of), of=of)


def _name(place: FacePlace) -> str:
    if place == "eyes":
        return say("form.touches_the_eyes")
    return say("wearing.glasses") if place == "glasses" else vocabulary_words.label(Leak(place))
