"""A page for each mask, one with the source of its tests, and the chart of its donnings."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from builder.records.reading import MaskRecord
from builder.records.vocabulary import CLASS_LIMITS, Leak, Slot
from builder.site.charts import donnings_chart
from builder.site.dataset import Dataset, Row, rows_of
from builder.site.effects import ladder
from builder.site.names import AT_LEAST, change_label, figure, mask_address, mask_label, plural, test_anchor
from builder.site.pages import PublishedFile, PublishedPage, Renderer
from builder.site.panel import panel_picture

SECTION = "explore.md"
FEW_WEARERS = 3


def mask_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give two pages a mask: what was measured, and the files it was read from."""
    tests = dict(tuple(data.table.groupby("mask", sort=True)))
    for mask_id, record in sorted(data.entries.masks.items()):
        own = tests.get(mask_id, data.table.iloc[:0])
        yield _mask_page(data, render, record, own)
        yield _source_page(data, render, record, own)


def mask_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the chart of each mask that has a test."""
    for mask_id, own in data.table.groupby("mask", sort=True):
        yield PublishedFile(f"{mask_address(str(mask_id))}donnings.json", donnings_chart(data, own))


def _mask_page(data: Dataset, render: Renderer, record: MaskRecord, own: pd.DataFrame) -> PublishedPage:
    mask = record.mask
    rows = rows_of(data.summary[data.summary["mask"] == record.id])
    counted = own[own["counted"]]
    as_sold = next((row for row in rows if row["parts"] == "" and row["tests"]), None)
    changed = [row for row in rows if row["parts"] and row["tests"]]
    best = max(changed, key=_standing, default=None)
    label = mask_label(mask)
    return PublishedPage(
        address=mask_address(record.id),
        title=label,
        description=_description(label, as_sold, best, data),
        html=render(
            "mask.html",
            depth=2,
            record=record,
            mask=mask,
            label=label,
            limit=CLASS_LIMITS[mask.mask_class],
            filled=dict(mask.as_sold.filled()),
            slots=list(Slot),
            sizes=data.sizes(record.id),
            rows=rows,
            rungs=ladder(data, record.id),
            as_sold=as_sold,
            best=best,
            leaks=_leaks(counted),
            leaks_noted=int((counted["leaks"] != "").sum()),
            panel=panel_picture(_wearers_by_cell(counted)),
            elsewhere=_wearers_by_cell(counted),
            tests=_tests_by_configuration(own),
            wearers=counted["wearer"].nunique(),
        ),
        section=SECTION,
    )


def _description(label: str, as_sold: Row | None, best: Row | None, data: Dataset) -> str:
    if as_sold is None:
        return f"{label}: no test as sold yet."
    at_least = AT_LEAST if as_sold["median_at_least"] else ""
    text = (
        f"{label}: median fit factor as sold {at_least}{figure(as_sold['median_fit_factor'])} "
        f"over {plural(as_sold['wearers'], 'wearer')}"
    )
    if best is None:
        return text + "."
    return f"{text}; {figure(best['median_fit_factor'])} with {change_label(data, str(best['parts']))}."


def _standing(row: Row) -> tuple[bool, float]:
    """Rank a configuration for the sentence at the top: one face alone never beats what several wearers measured."""
    return row["wearers"] >= FEW_WEARERS, row["median_fit_factor"]


def _leaks(counted: pd.DataFrame) -> list[Row]:
    """Count the tests that noted each place, as sold and changed, among those that noted any."""
    noted = counted[counted["leaks"] != ""]
    places = noted["leaks"].str.split("+").explode()
    sold = noted["parts"].reindex(places.index) == ""
    return [
        {
            "place": leak,
            "sold": int(((places == leak.value) & sold).sum()),
            "changed": int(((places == leak.value) & ~sold).sum()),
        }
        for leak in Leak
    ]


def _wearers_by_cell(counted: pd.DataFrame) -> dict[str, int]:
    return {str(cell): int(n) for cell, n in counted.groupby("cell")["wearer"].nunique().items()}


def _tests_by_configuration(own: pd.DataFrame) -> list[tuple[str, list[Row]]]:
    """Give the tests of each configuration, as sold first, in order of wearer and date."""
    ordered = own.sort_values(["configuration", "wearer", "date", "test"])
    return [
        (str(configuration), rows_of(tests)) for configuration, tests in ordered.groupby("configuration", sort=True)
    ]


def _source_page(data: Dataset, render: Renderer, record: MaskRecord, own: pd.DataFrame) -> PublishedPage:
    label = mask_label(record.mask)
    files = [(record.id, record.path)] + [(test_anchor(t), p) for t, p in zip(own["test"], own["path"], strict=True)]
    sources = [(anchor, path, (data.root / path).read_text("utf-8-sig")) for anchor, path in files]
    return PublishedPage(
        address=f"{mask_address(record.id)}source/",
        title=f"{label}: files",
        description=f"The files that the figures of {label} were computed from.",
        html=render("source.html", depth=3, record=record, label=label, sources=sources),
        section=SECTION,
    )
