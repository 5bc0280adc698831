"""The explorer: a table of every configuration, and the two data files its script searches and filters."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from builder.findings.dataset import Dataset
from builder.fit.summary import summaries
from builder.records.vocabulary import MaskClass, NoseBridge, Slot, Style
from builder.site.published import PublishedFile, PublishedPage, Renderer, compact_json
from builder.site.row_strips import strip_geometry
from builder.words.labels import change_label, mask_label, part_label
from builder.words.numbers import plural

ADDRESS = "explore/"
ROWS_WITHOUT_SCRIPT = 300
"""Rows in the page itself. More would make it slow to load, and who has no script finds them in the CSV."""

FIGURES = tuple(name for name in summaries.FIGURES if name != "gsd")
"""The columns of the summary that the table shows; the script computes the same ones for chosen faces."""

_CELLS = {str(cell): str(cell) for cell in range(1, 11)} | {"outside": "Outside the panel", "unknown": "Not measured"}
_BRIDGES = {bridge.value: bridge.label for bridge in NoseBridge} | {"unknown": "Not judged"}


@dataclass(frozen=True)
class ExplorerRow:
    """One configuration: what it is called, what it is made of, and its figures (NaN where no test counts)."""

    id: str
    mask: str
    mask_label: str
    maker: str
    change: str
    style: str
    mask_class: str
    straps: str
    """The straps in effect, as sold or changed; "" where the mask's file names none."""
    parts: str
    figures: dict[str, object]


@dataclass(frozen=True)
class Option:
    """One choice of a filter: its value in the address and its label."""

    value: str
    label: str


# An underscore is in no part's id.
ANY_HACK = (Option("as_sold", "As sold only"), Option("any_part", "Changed only"))


@dataclass(frozen=True)
class Options:
    """The choices of each filter, only those that the data holds."""

    style: tuple[Option, ...]
    mask_class: tuple[Option, ...]
    straps: tuple[Option, ...]
    hack: tuple[Option, ...]
    cell: tuple[Option, ...]
    bridge: tuple[Option, ...]


def explorer_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Make the explorer's page, readable without its script."""
    rows = configuration_rows(data)
    html = render(
        "explorer.html",
        depth=1,
        rows=rows[:ROWS_WITHOUT_SCRIPT],
        more=max(0, len(rows) - ROWS_WITHOUT_SCRIPT),
        options=filter_options(data, rows),
    )
    description = "Every mask tested and every change made to it: search, filter, sort, and link what you see."
    return PublishedPage(ADDRESS, "Explore", description, html, section="explore.md")


def explorer_files(data: Dataset) -> list[PublishedFile]:
    """Make the two files the script reads: the configurations, and the tests that a face filter needs."""
    rows = configuration_rows(data)
    labels = {
        "style": {style.value: style.label for style in Style},
        "mask_class": {mask_class.value: mask_class.label for mask_class in MaskClass},
        "part": {token: part_label(data, token) for token in _tokens(rows)},
    }
    named = ("id", "mask", "mask_label", "maker", "change", "style", "mask_class", "straps", "parts")
    columns = {name: [getattr(row, name) for row in rows] for name in named}
    figures = {name: [_number(row.figures[name]) for row in rows] for name in FIGURES}
    configurations = {
        "configurations": columns | figures,
        "labels": labels,
        "strip": strip_geometry(data),
    }
    return [
        PublishedFile(f"{ADDRESS}configurations.json", compact_json(configurations)),
        PublishedFile(f"{ADDRESS}tests.json", compact_json(_tests(data.table, rows))),
    ]


def configuration_rows(data: Dataset) -> list[ExplorerRow]:
    """List every configuration tested, and each mask without any test as sold; by mask's name, as sold first."""
    straps = dict(zip(data.table["configuration"], data.table["straps"], strict=True))
    tested = set(data.summary["mask"])
    ids = [*data.summary["configuration"], *(mask for mask in data.entries.masks if mask not in tested)]
    rows = [_row(data, configuration, straps.get(configuration, "")) for configuration in ids]
    return sorted(rows, key=lambda row: (row.mask_label.casefold(), row.id))


def filter_options(data: Dataset, rows: list[ExplorerRow]) -> Options:
    """Collect what each filter can choose from, in the order of the vocabulary or by label."""
    styles, classes = {row.style for row in rows}, {row.mask_class for row in rows}
    straps = {row.straps for row in rows if row.straps}
    hacks = {token for row in rows for token in row.parts.split("+") if token}
    return Options(
        style=tuple(Option(style.value, style.label) for style in Style if style in styles),
        mask_class=tuple(Option(item.value, item.label) for item in MaskClass if item in classes),
        straps=_by_label(Option(token, part_label(data, token)) for token in straps),
        hack=(*ANY_HACK, *_by_label(Option(token, part_label(data, token)) for token in hacks)),
        cell=_faces(data, "cell", _CELLS),
        bridge=_faces(data, "nose_bridge", _BRIDGES),
    )


def _row(data: Dataset, configuration: str, straps: str) -> ExplorerRow:
    mask_id, _, parts = configuration.partition("+")
    mask = data.entries.masks[mask_id].mask
    as_sold = mask.as_sold.part_in(Slot.STRAPS) or ""
    summary = data.summary_by_id.get(configuration, {})
    return ExplorerRow(
        id=configuration,
        mask=mask_id,
        mask_label=mask_label(mask),
        maker=mask.maker,
        change=change_label(data, parts),
        style=mask.style.value,
        mask_class=mask.mask_class.value,
        straps=straps or as_sold,
        parts=parts,
        figures={name: summary.get(name, _without_tests(name)) for name in FIGURES},
    )


def _without_tests(name: str) -> object:
    if name in {"tests", "wearers", "set_aside", "share_wearers"}:
        return 0
    return False if name.endswith("at_least") else math.nan


def _tests(table: pd.DataFrame, rows: list[ExplorerRow]) -> dict[str, object]:
    """Lay out the tests in columns. Faces stand with the tests, since not every test of a wearer names the face."""
    place = {row.id: index for index, row in enumerate(rows)}
    pairs = pd.MultiIndex.from_frame(table[["cell", "nose_bridge"]])
    face, faces = pd.factorize(pairs, sort=True)
    return {
        "faces": {"cell": list(faces.get_level_values(0)), "bridge": list(faces.get_level_values(1))},
        "configuration": [place[configuration] for configuration in table["configuration"]],
        "face": face.tolist(),
        "wearer": pd.factorize(table["wearer"], sort=True)[0].tolist(),
        "fit_factor": table["fit_factor"].tolist(),
        "at_least": table["at_least"].astype(int).tolist(),
        "counted": table["counted"].astype(int).tolist(),
    }


def _faces(data: Dataset, column: str, labels: dict[str, str]) -> tuple[Option, ...]:
    """Give the face types that somebody has, each with the number of its wearers."""
    wearers = data.counted.groupby(column)["wearer"].nunique()
    return tuple(
        Option(value, f"{label} ({plural(wearers[value], 'wearer')})")
        for value, label in labels.items()
        if value in wearers.index
    )


def _tokens(rows: list[ExplorerRow]) -> list[str]:
    used = {token for row in rows for token in (row.straps, *row.parts.split("+"))}
    return sorted(used - {""})


def _by_label(options: Iterable[Option]) -> tuple[Option, ...]:
    return tuple(sorted(options, key=lambda option: (option.label.casefold(), option.value)))


def _number(value: object) -> object:
    return None if isinstance(value, float) and math.isnan(value) else value
