"""The explorer: a table of every configuration, and the data files its script searches and filters."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from itertools import groupby, product
from operator import itemgetter
from typing import Any

from builder.findings.dataset import Dataset, Row, rows_of
from builder.fit.compare.methods import METHOD
from builder.fit.summary import summaries
from builder.records.vocabulary import MaskClass, NoseBridge, Slot, Style
from builder.site.comfort_pictures import comfort_counts, comfort_of_rows
from builder.site.published import PublishedFile, PublishedPage, Renderer, coded, compact_json, data_file, packed
from builder.site.row_strips import strip_geometry
from builder.words import vocabulary_words
from builder.words.catalogue import count, say
from builder.words.change_effects import ChangeEffect, change_effects
from builder.words.labels import change_label, mask_label, part_label, slot_of
from builder.words.method_words import method_choice, method_name

ADDRESS = "explore/"
ROWS_WITHOUT_SCRIPT = 100
"""Rows in the page itself. More would make it slow to load on a phone, and who has no script finds them in the CSV."""

FIGURES = tuple(name for name in summaries.FIGURES if name != "gsd")
"""The columns of the summary that the table shows."""

COLUMNS = {
    "median": "sb-num",
    "lowest": "sb-explorer__range",
    "share": "sb-num",
    "wearers": "sb-num",
    "effect": "sb-explorer__effect",
    "wearer_median": "sb-num",
    "geometric_mean": "sb-num",
    "leakage": "sb-num",
    "tests": "sb-num",
}
"""The columns that a reader can choose, in their order, each with its class. The script knows the same."""
SHOWN_COLUMNS = ("median", "lowest", "share", "wearers", "effect")
"""Those that are shown at first."""

_ANY = "any"
_METHOD = itemgetter(*METHOD)


def _cells() -> dict[str, str]:
    return {str(cell): str(cell) for cell in range(1, 11)} | {
        "outside": say("explore_page.outside"),
        "unknown": say("form.not_measured"),
    }


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
    effect: str
    """What the change did on the same wearers, in a few words; "" for as sold, and where nobody tried both."""
    effect_low: float | None
    """The lower limit of that ratio, None where there is none."""
    figures: dict[str, Any]
    worn: dict[str, int]
    """How many donnings tell of comfort and breathing, and what (`comfort_counts`)."""


@dataclass(frozen=True)
class Option:
    """One choice of a filter: its value in the address and its label."""

    value: str
    label: str


# An underscore is in no part's id.
def any_hack() -> tuple[Option, ...]:
    """Give the choices of changes that name none."""
    return Option("as_sold", say("explore_page.sold_only")), Option("any_part", say("explore_page.changed_only"))


@dataclass(frozen=True)
class Options:
    """The choices of each filter, only those that the data holds."""

    style: tuple[Option, ...]
    mask_class: tuple[Option, ...]
    straps: tuple[Option, ...]
    hack: tuple[Option, ...]
    cell: tuple[Option, ...]
    bridge: tuple[Option, ...]
    method: tuple[Option, ...]


def explorer_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Make the explorer's page, readable without its script."""
    rows = configuration_rows(data)
    comfort, untold = comfort_of_rows(data, [_drawn(row) for row in rows], root="../")
    html = render(
        "explorer.html",
        depth=1,
        comfort=comfort,
        untold=untold,
        rows=rows[:ROWS_WITHOUT_SCRIPT],
        more=max(0, len(rows) - ROWS_WITHOUT_SCRIPT),
        options=filter_options(data, rows),
        columns=[(name, label, COLUMNS[name]) for name, label in _column_labels().items()],
        shown=SHOWN_COLUMNS,
    )
    description = say("about.explore")
    return PublishedPage(ADDRESS, say("page.explore"), description, html, section="explore.md")


def _drawn(row: ExplorerRow) -> dict[str, Any]:
    label = say("label.configuration", mask=row.mask_label, change=row.change)
    return {"id": row.id, "label": label, **row.figures, **row.worn}


def _column_labels() -> dict[str, str]:
    return {
        "median": say("head.median"),
        "lowest": say("head.range"),
        "share": say("term.reach"),
        "wearers": say("head.wearers"),
        "effect": say("explorer.effect"),
        "wearer_median": say("explorer.wearer_median"),
        "geometric_mean": say("term.geometric_mean"),
        "leakage": say("term.leakage"),
        "tests": say("head.tests"),
    }


def explorer_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give what the script reads first: a file of all configurations, what they are called, and their figures."""
    rows = configuration_rows(data)
    labels = {
        "style": {style.value: vocabulary_words.label(style) for style in Style},
        "mask_class": {mask_class.value: vocabulary_words.label(mask_class) for mask_class in MaskClass},
        "part": {token: part_label(data, token) for token in _tokens(rows)},
        "slot": {token: vocabulary_words.label(slot_of(data, token)) for token in _tokens(rows)},
        "method": {used.id: method_name(used.method) for used in data.methods.each},
    }
    named = (
        "id",
        "mask",
        "mask_label",
        "maker",
        "change",
        "style",
        "mask_class",
        "straps",
        "parts",
        "effect",
        "effect_low",
    )
    columns = {name: [getattr(row, name) for row in rows] for name in named}
    columns |= {name: [row.worn[name] for row in rows] for name in rows[0].worn} if rows else {}
    configurations = {
        "configurations": columns | _figure_columns([row.figures for row in rows]),
        "labels": labels,
        "methods": len(data.methods.each),
        "wearers": data.methods.wearers,
        "strip": strip_geometry(data),
    }
    yield PublishedFile(f"{ADDRESS}configurations.json", compact_json(configurations))


def face_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give a file a face type with the figures over its wearers, and for each method the same over its tests.

    They name their configurations, so they stay true beside an older list that a browser kept.
    """
    faces = _chosen_faces(data)
    for face, over in _over_faces(data, faces):
        yield data_file(f"{ADDRESS}faces/{face}.packed", compact_json(over))
    for method, alike in data.by_method.items() if data.methods.mixed else ():
        every = [(_ANY, _ANY), *faces]
        files = partial(_method_files, alike, method, every)
        yield from data.of_same_tests(f"explorer files {method}", alike.table["test"], files, every)


def _method_files(alike: Dataset, method: str, faces: list[tuple[str, str]]) -> list[PublishedFile]:
    return [
        PublishedFile(f"{ADDRESS}methods/{method}/{face}.packed", packed(compact_json(over)))
        for face, over in _over_faces(alike, faces)
    ]


def configuration_rows(data: Dataset) -> list[ExplorerRow]:
    """List every configuration tested, and each mask without any test as sold, best first.

    By the lower limit of the share of wearers who reach 100, then by their median, then by name; what has none last.
    """
    straps = dict(zip(data.table["configuration"], data.table["straps"], strict=True))
    tested = set(data.summary["mask"])
    ids = [*data.summary["configuration"], *(mask for mask in data.entries.masks if mask not in tested)]
    effects = change_effects(data)
    rows = [_row(data, name, straps.get(name, ""), effects.get(name, ChangeEffect("", None))) for name in ids]
    return sorted(rows, key=lambda row: (*_worst_last(row.figures), row.mask_label.casefold(), row.id))


def filter_options(data: Dataset, rows: list[ExplorerRow]) -> Options:
    """Collect what each filter can choose from, in the order of the vocabulary or by label."""
    styles, classes = {row.style for row in rows}, {row.mask_class for row in rows}
    straps = {row.straps for row in rows if row.straps}
    hacks = {token for row in rows for token in row.parts.split("+") if token}
    return Options(
        style=tuple(Option(style.value, vocabulary_words.label(style)) for style in Style if style in styles),
        mask_class=tuple(Option(item.value, vocabulary_words.label(item)) for item in MaskClass if item in classes),
        straps=_by_label(Option(token, part_label(data, token)) for token in straps),
        hack=(*any_hack(), *_by_label(Option(token, part_label(data, token)) for token in hacks)),
        cell=_faces(data, "cell", _cells()),
        bridge=_faces(data, "nose_bridge", _bridges()),
        method=tuple(Option(used.id, method_choice(used)) for used in data.methods.each),
    )


def _worst_last(figures: Mapping[str, Any]) -> tuple[bool, float, float]:
    low, median = figures["share_at_100_low"], figures["wearer_median_fit_factor"]
    return math.isnan(low), 0 if math.isnan(low) else -low, 0 if math.isnan(median) else -median


def _row(data: Dataset, configuration: str, straps: str, effect: ChangeEffect) -> ExplorerRow:
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
        effect=effect.said,
        effect_low=None if effect.low is None else float(f"{effect.low:.10g}"),
        worn=comfort_counts(data, configuration),
        figures={name: summary.get(name, _without_tests(name)) for name in FIGURES},
    )


def _without_tests(name: str) -> object:
    if name in {"tests", "wearers", "set_aside", "share_wearers"}:
        return 0
    return False if name.endswith("at_least") else math.nan


def _bridges() -> dict[str, str]:
    return {bridge.value: vocabulary_words.label(bridge) for bridge in NoseBridge} | {
        "unknown": say("faces_page.not_judged")
    }


def _chosen_faces(data: Dataset) -> list[tuple[str, str]]:
    """Give each face type that can be chosen: a cell with a nose bridge, a cell with any, a bridge in any cell."""
    cells = [option.value for option in _faces(data, "cell", _cells())]
    bridges = [option.value for option in _faces(data, "nose_bridge", _bridges())]
    return [face for face in product([_ANY, *cells], [_ANY, *bridges]) if face != (_ANY, _ANY)]


def _over_faces(data: Dataset, faces: Iterable[tuple[str, str]]) -> Iterator[tuple[str, dict[str, object]]]:
    """Name each face type, and give how many wearers it has, by how many methods, and the figures over these alone."""
    found = {face: (wearers, methods, rows) for face, wearers, methods, rows in _by_face(data)}
    for face in faces:
        wearers, methods, rows = found.get(face, (0, 0, []))
        columns = {"id": [row["configuration"] for row in rows]} | {
            name: _shorter(column) for name, column in _figure_columns(rows).items()
        }
        yield "-".join(face), {"wearers": wearers, "methods": methods, "configurations": columns}


def _by_face(data: Dataset) -> Iterator[tuple[tuple[str, str], int, int, list[Row]]]:
    """Summarise each face type's tests, and those of any face.

    Once for all of a kind, since a summary of few tests costs about as much as one of many.
    """
    summary = data.summary[data.summary["tests"] > 0]
    yield (_ANY, _ANY), data.methods.wearers, len(data.methods.each), rows_of(summary)
    wearers: dict[tuple[str, str], set[str]] = {}
    methods: dict[tuple[str, str], set[tuple[str, ...]]] = {}
    for test in data.rows:
        cell, bridge = _face(test)
        for face in ((cell, bridge), (cell, _ANY), (_ANY, bridge)) if test["counted"] else ():
            wearers.setdefault(face, set()).add(test["wearer"])
            methods.setdefault(face, set()).add(_METHOD(test))
    for known in (["cell", "nose_bridge"], ["cell"], ["nose_bridge"]):
        summary = summaries.summarise_by(data.table, [*known, "mask", "configuration", "parts"])
        for face, own in groupby(rows_of(summary[summary["tests"] > 0]), key=_face):
            yield face, len(wearers[face]), len(methods[face]), list(own)


def _shorter(column: list[object]) -> object:
    """Write words and numbers that repeat once, where that is shorter."""
    if len(set(column)) == len(column):
        return column
    return min(column, coded(column), key=lambda written: len(compact_json(written)))


def _face(row: Row) -> tuple[str, str]:
    return row.get("cell", _ANY), row.get("nose_bridge", _ANY)


def _figure_columns(rows: Iterable[Mapping[str, object]]) -> dict[str, list[object]]:
    return {name: [_number(name, row[name]) for row in rows] for name in FIGURES}


def _faces(data: Dataset, column: str, labels: dict[str, str]) -> tuple[Option, ...]:
    """Give the face types that somebody has, each with the number of its wearers."""
    wearers = data.counted.groupby(column)["wearer"].nunique()
    return tuple(
        Option(value, say("explore_page.face_choice", face=label, wearers=count("wearer", wearers[value])))
        for value, label in labels.items()
        if value in wearers.index
    )


def _tokens(rows: list[ExplorerRow]) -> list[str]:
    used = {token for row in rows for token in (row.straps, *row.parts.split("+"))}
    return sorted(used - {""})


def _by_label(options: Iterable[Option]) -> tuple[Option, ...]:
    return tuple(sorted(options, key=lambda option: (option.label.casefold(), option.value)))


def _number(name: str, value: object) -> object:
    """Keep ten digits: the last bits of a sum differ from one processor to another, no figure does.

    A reading stays as it is: it may lie exactly between two printed figures.
    """
    if not isinstance(value, float):
        return value
    if math.isnan(value):
        return None
    return value if name.endswith("fit_factor") else float(f"{value:.10g}")
