"""A page for each mask, and the chart of its donnings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import replace
from itertools import groupby
from operator import attrgetter, itemgetter
from typing import Any, TypeVar

from builder.findings.advice import Ranked, chances_by_mask
from builder.findings.dataset import Dataset, Row
from builder.findings.methods_used import NONE
from builder.findings.standing import standing
from builder.findings.wearer_run import wearer_runs
from builder.records.entries import MaskRecord
from builder.records.former_names import former_configurations, former_parts
from builder.records.kept_addresses import Removal, Renaming, Withdrawal
from builder.records.vocabulary import CLASS_LIMITS, Leak, Slot
from builder.site.addresses import mask_address, test_anchor
from builder.site.donnings_charts import donnings_data, donnings_of_mask, donnings_picture
from builder.site.entry_pictures import of_mask
from builder.site.face_choices import face_choices
from builder.site.ladder_picture import ladder_picture
from builder.site.narrowed_figures import narrowed_file
from builder.site.panel_picture import panel_picture
from builder.site.published import PublishedFile, PublishedPage, Renderer, data_file, picture_of
from builder.site.shown_tests import ShownTest, shown_by_mask
from builder.site.wearing_pictures import gains_picture, leaking_faces
from builder.words.catalogue import say
from builder.words.labels import mask_label
from builder.words.mask_words import mask_description, mask_lead
from builder.words.specimen_words import specimen_sentence
from builder.words.wearer_run_words import wearer_run_words
from builder.words.wearing_words import wearing_rows
from builder.words.which_part import wearer_parts

T = TypeVar("T")

SECTION = "explore.md"
MOST_TOLD = 10
"""Wearers whose parts are told apart on the page; `sealbook parts` has all."""
_METHOD = attrgetter("date", "protocol", "instrument", "day")
_FACE = attrgetter("wearer", "face_length_mm", "face_width_mm", "cell", "nose_bridge")


def mask_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give a page for each mask, also for one that was taken out."""
    removed = removed_tests(data.entries.removed)

    def pages(masks: Set[str]) -> dict[str, PublishedPage]:
        tests, chances = shown_by_mask(data), chances_by_mask(data)
        anchors = old_anchors(data.entries.renamed)
        return {
            mask: _mask_page(
                data,
                render,
                data.entries.masks[mask],
                own=tests.get(mask, []),
                removed=removed.get(mask, []),
                population=chances.get(mask, ()),
                anchors=anchors,
            )
            for mask in sorted(masks)
        }

    yield from by_mask(data.of_masks("page", pages))
    for removal in data.entries.removed:
        if removal.mask:
            withdrawn = [line for line in data.entries.withdrawn if line.mask == removal.mask]
            yield _removed_page(render, removal, removed.get(removal.mask, []), withdrawn)


def mask_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the chart of each mask that has a test that counts."""

    def charts(masks: Set[str]) -> dict[str, PublishedFile]:
        path = _donnings_file(data)
        placed = {mask: donnings_of_mask(data, mask) for mask in masks}
        return {
            mask: data_file(mask_address(mask) + path, donnings_data(data, own)) for mask, own in placed.items() if own
        }

    yield from by_mask(data.of_masks("chart", charts))


def by_mask(made: Mapping[str, T]) -> Iterator[T]:
    """Give what was made of masks in the order of their ids."""
    return (one for _, one in sorted(made.items(), key=itemgetter(0)))


def narrowed_mask_files(data: Dataset, render: Renderer) -> Iterator[PublishedFile]:
    """Give the figures and the chart of each mask by each of its methods, where it has several."""
    for alike in data.by_method.values():
        for mask_id in alike.methods_by_mask:
            if not data.methods_by_mask[mask_id].mixed:
                continue
            values = narrowed_values(alike, data.entries.masks[mask_id])
            places = replace(render, data=alike).places("mask.html", depth=2, **values)
            yield narrowed_file(mask_address(mask_id), alike.methods_by_mask[mask_id].each[0], places)
        for file in mask_files(alike):
            if data.methods_by_mask[file.path.split("/")[1]].mixed:
                yield file


def _donnings_file(data: Dataset) -> str:
    """Name the file of a chart beside its mask's page."""
    return f"methods/{data.methods.each[0].id}-donnings.packed" if data.whole else "donnings.packed"


def removed_tests(removals: Iterable[Removal]) -> dict[str, list[Row]]:
    """Give the tests that were taken out by their mask, sorted by id: each with its anchor, date and reason."""
    tests = sorted((removal.test, removal) for removal in removals if removal.test)
    by_mask: dict[str, list[Row]] = {}
    for test, removal in tests:
        row = {"test": test, "anchor": test_anchor(test), "date": removal.date, "reason": removal.reason}
        by_mask.setdefault(test.partition("/")[0], []).append(row)
    return by_mask


def old_anchors(renamed: Iterable[Renaming]) -> dict[str, list[str]]:
    """Give by test id the anchors that the test had under other names on the page of its mask."""
    found: dict[str, list[str]] = {}
    for renaming in renamed:
        if renaming.test:
            found.setdefault(renaming.to[0], []).append(test_anchor(renaming.test))
    return found


def _removed_page(render: Renderer, removal: Removal, removed: list[Row], withdrawn: list[Withdrawal]) -> PublishedPage:
    mask = removal.mask or ""
    return PublishedPage(
        address=mask_address(mask),
        title=say("removed.mask", mask=mask),
        description=say("about.removed", mask=mask),
        html=render(
            "removed-mask.html", depth=2, mask=mask, removal=removal, removed=removed, withdrawn=withdrawn, anchors={}
        ),
        section=SECTION,
    )


def _mask_page(
    data: Dataset,
    render: Renderer,
    record: MaskRecord,
    *,
    own: list[ShownTest],
    removed: list[Row],
    population: tuple[Ranked, ...],
    anchors: dict[str, list[str]],
) -> PublishedPage:
    mask = record.mask
    narrowed = narrowed_values(data, record)
    counted = [test for test in own if test.counted]
    elsewhere = Counter(sorted(cell for _, cell in {(test.wearer, test.cell) for test in counted}))
    return PublishedPage(
        address=mask_address(record.id),
        title=mask_label(mask),
        description=mask_description(data, record.id),
        html=render(
            "mask.html",
            depth=2,
            mask=mask,
            limit=CLASS_LIMITS[mask.mask_class],
            filled=dict(mask.as_sold.filled()),
            slots=list(Slot),
            sizes=data.sizes(record.id),
            shown=of_mask(data, record.id),
            population=population,
            gains=gains_picture(data, narrowed["rows"], narrowed["label"]),
            faces=leaking_faces(data, narrowed["rows"]),
            leaks=list(Leak),
            specimens=specimen_sentence(data.specimens),
            wearing=wearing_rows(data, narrowed["rows"]),
            panel=panel_picture(elsewhere),
            elsewhere=elsewhere,
            face_kinds=face_choices(counted),
            tests=every_test(own),
            contributors=sorted(Counter(test.contributor for test in own).items()),
            worn_by=sorted(Counter(test.wearer for test in own).items()),
            wearers=len({test.wearer for test in counted}),
            removed=removed,
            withdrawn=[line for line in data.entries.withdrawn if line.mask == record.id],
            anchors=anchors,
            **narrowed,
        ),
        section=SECTION,
        picture=picture_of(mask_address(record.id)),
    )


def narrowed_values(data: Dataset, record: MaskRecord) -> dict[str, Any]:
    """Give what fills the places of a mask's page that can be narrowed to a method."""
    label = mask_label(record.mask)
    placed = donnings_of_mask(data, record.id)
    donnings, left_out = donnings_picture(data, placed, label) if placed else ("", "")
    rows = sorted(data.summary_by_mask.get(record.id, []), key=_sold_then_best)
    rungs = data.ladders.get(record.id, ())
    return {
        "record": record,
        "label": label,
        "rows": rows,
        "old_places": _old_places(data, rows),
        "rungs": rungs,
        "ladder": ladder_picture(data, rungs, label),
        "told": wearer_parts(data, data.factorials.get(record.id, ())),
        "testers": [wearer_run_words(data, run) for run in wearer_runs(data, record.id, rungs=rungs, most=MOST_TOLD)],
        "most_told": MOST_TOLD,
        "lead": mask_lead(data, record.id),
        "donnings": donnings,
        "donnings_file": _donnings_file(data),
        "methods": data.methods_by_mask.get(record.id, NONE),
        "left_out": left_out,
    }


def _old_places(data: Dataset, rows: Iterable[Row]) -> dict[str, list[str]]:
    """Give by configuration the places it had on this page while parts of it were called otherwise."""
    parts = former_parts(data.entries.renamed)
    ids = [row["configuration"] for row in rows] if parts else []
    return {one: [old for (old,), _ in former_configurations((one,), {}, parts)] for one in ids}


def _sold_then_best(row: Row) -> tuple[object, ...]:
    """Put the mask as sold first, then its changes from the best one, those without a test that counts last."""
    several, limit, median = standing(row)
    return row["parts"] != "", row["tests"] == 0, not several, -limit, -median, row["configuration"]


def every_test(own: Sequence[ShownTest]) -> Iterator[tuple[str, int, list[list[list[ShownTest]]]]]:
    """Give for each configuration its parts, how many tests it has, and these by wearer and by day and method."""
    for parts, of_configuration in groupby(own, key=attrgetter("parts")):
        tests = list(of_configuration)
        # A wearer's tests stand apart where one states less of the face; as texts, for no measure is no number.
        wearers = groupby(tests, key=lambda test: str(_FACE(test)))
        yield parts, len(tests), [[list(day) for _, day in groupby(of_wearer, key=_METHOD)] for _, of_wearer in wearers]
