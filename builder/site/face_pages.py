"""The face pages: what to try first on a face, the panel, a page for each cell, and what their script fetches."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, replace

from markupsafe import Markup

from builder.findings.advice import Advice, Ranked, advise, plausible_mm
from builder.findings.dataset import Dataset, Row
from builder.findings.methods_used import NONE
from builder.findings.standing import standing
from builder.fit.facemodel import FaceDescription
from builder.fit.facemodel.reference import REFERENCE
from builder.fit.panel import CELLS, LEAST_LENGTH_MM, LEAST_WIDTH_MM
from builder.pictures.svg import styled
from builder.pictures.ten_faces import ten_faces
from builder.records.vocabulary import Instrument, MaskClass, NoseBridge, Protocol, SizeSelection, Style
from builder.site.addresses import cell_address
from builder.site.narrowed_figures import narrowed_file
from builder.site.panel_picture import panel_picture, wearers_by_cell
from builder.site.published import PublishedFile, PublishedPage, Renderer, compact_json, picture_of
from builder.words.catalogue import say
from builder.words.chances import STEP, uncertain_percent
from builder.words.labels import cell_label, configuration_label, is_medical
from builder.words.predictions import list_check, own_check_sentence, why_sentence

SECTION = "faces.md"
OTHER_CELLS = ("outside", "unknown")
LONGEST_LIST = 60
"""Rows of a ranked list on a page: whoever wants the end of it has `sealbook suggest`."""


def face_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give what to try first with the panel, then a page a cell, and one each for faces outside it and not measured."""
    wearers = wearers_by_cell(data.counted)
    yield PublishedPage(
        address="faces/",
        title=say("page.faces"),
        description=say("about.faces"),
        html=render(
            "faces.html",
            depth=1,
            cells=CELLS,
            others=OTHER_CELLS,
            bridges=tuple(NoseBridge),
            limits={name: plausible_mm(name) for name in ("length_mm", "width_mm")},
            wearers=wearers,
            tests=data.counted.groupby("cell").size().to_dict(),
            has_model=data.model is not None,
            styles=tuple(Style),
            classes=tuple(MaskClass),
            ways={"protocol": Protocol, "instrument": Instrument, "size_selection": SizeSelection},
            reference=asdict(REFERENCE),
            ten=ten_people,
            panel=panel_picture(wearers, lambda cell: f"../{cell_address(cell)}"),
            advice=shown_advice(data, advise(data, FaceDescription(), as_sold=True)),
        ),
        section=SECTION,
    )
    for name in [str(cell.number) for cell in CELLS] + list(OTHER_CELLS):
        yield _cell_page(data, render, name, wearers)


def face_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the panel's cells and limits, in which the browser looks a face up."""
    wearers = wearers_by_cell(data.counted)
    panel = {
        "cells": [{"name": cell.name} | asdict(cell) | {"wearers": wearers.get(cell.name, 0)} for cell in CELLS],
        "limits": {"length": plausible_mm("length_mm"), "width": plausible_mm("width_mm")},
        "least": {"length": LEAST_LENGTH_MM, "width": LEAST_WIDTH_MM},
    }
    yield PublishedFile("faces/panel.json", compact_json(panel))


def ten_people(chance: float) -> Markup:
    """Draw a chance as ten faces, never none or all of them."""
    return Markup(styled(ten_faces(uncertain_percent(chance) // STEP), "sb-ten"))


def narrowed_face_files(data: Dataset, render: Renderer) -> Iterator[PublishedFile]:
    """Give what was tried in each cell by each of its methods, where it has several."""
    for name, methods in data.methods_by_cell.items():
        for used in methods.each if methods.mixed else ():
            alike = data.by_method[used.id]
            values = narrowed_values(alike, name)
            places = replace(render, data=alike).places("cell.html", depth=2, **values)
            yield narrowed_file(cell_address(name), used, places)


def shown_advice(data: Dataset, advice: Advice) -> Row:
    """Lay out advice for a page and for the script, which draw the same from it.

    `first` holds the rows to try first with their `cumulative_chance`, `best_as_sold` and `best_changed` one of each
    kind, `ranked` the head of the list, `more` how many rows follow it, `check` how such lists have done, and
    `own_check` what own results are worth.
    """
    by_id = {row.configuration: row for row in advice.ranked}
    return {
        "basis": advice.basis,
        "why": why_sentence(data, advice),
        # How lists of three have done is only known of lists of all configurations.
        "check": list_check(data) if advice.basis == "model" and not advice.as_sold else "",
        "own_check": own_check_sentence(data) if advice.basis == "model" else "",
        "first": [
            _shown(data, by_id[choice.configuration])
            | {"cumulative_chance": None if choice.cumulative_chance is None else _cut(choice.cumulative_chance)}
            for choice in advice.try_first
        ],
        "best_as_sold": advice.best_as_sold and _shown(data, advice.best_as_sold),
        "best_changed": advice.best_changed and _shown(data, advice.best_changed),
        "ranked": [_shown(data, row) for row in advice.ranked[:LONGEST_LIST]],
        "more": max(0, len(advice.ranked) - LONGEST_LIST),
    }


def _shown(data: Dataset, row: Ranked) -> Row:
    figures = {name: _shorter(name, value) if isinstance(value, float) else value for name, value in vars(row).items()}
    return figures | {
        "label": configuration_label(data, row.configuration),
        "changed": "+" in row.configuration,
        "medical": is_medical(data, row.configuration),
        "reached": row.reached,
    }


def _shorter(name: str, value: float) -> float:
    """Cut a figure to what is printed of it, so that it is rounded but once: where it is printed.

    A chance is printed in steps of 5 %, whose limits lie on the fourth digit after the point.
    """
    return float(f"{value:.10g}") if name == "fit_factor" else _cut(value)


def _cut(chance: float) -> float:
    return math.floor(chance * 10_000) / 10_000


def _cell_page(data: Dataset, render: Renderer, name: str, wearers: dict[str, int]) -> PublishedPage:
    title = cell_label(name)
    people = {(row["nose_bridge"], row["wearer"]) for row in data.counted_by_cell.get(name, ())}
    return PublishedPage(
        address=cell_address(name),
        title=say("cell_page.title", cell=title),
        description=say("about.cell", cell=title),
        html=render(
            "cell.html",
            depth=2,
            name=name,
            title=title,
            cell=next((cell for cell in CELLS if str(cell.number) == name), None),
            wearers=wearers.get(name, 0),
            bridges=Counter(sorted(bridge for bridge, _ in people)),
            panel=panel_picture(wearers, lambda cell: f"../../{cell_address(cell)}", here=name),
            advice=shown_advice(data, advise(data, FaceDescription(cell=name), as_sold=True)),
            all_bridges=tuple(NoseBridge),
            ten=ten_people,
            **narrowed_values(data, name),
        ),
        section=SECTION,
        picture=picture_of(cell_address(name)),
    )


def narrowed_values(data: Dataset, name: str) -> Row:
    """Give what fills the place of a cell's page that can be narrowed to a method."""
    return {
        "rows": sorted(data.summary_by_cell.get(name, []), key=standing, reverse=True),
        "methods": data.methods_by_cell.get(name, NONE),
    }
