"""The picture of each page for previews of links: what a discussion shows of a page when its address is pasted there.

The pages name them as The Open Graph protocol has it (https://ogp.me).
"""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import replace

from builder.findings.dataset import Dataset
from builder.findings.standing import leading, standing
from builder.fit.panel import CELLS
from builder.pictures.cards import MOST_BARS
from builder.pictures.lettering import written
from builder.pictures.shapes import Drawing
from builder.site.addresses import cell_address, hack_address, mask_address
from builder.site.face_pages import OTHER_CELLS
from builder.site.hack_pages import parts_in_tests
from builder.site.kept_pictures import png_of
from builder.site.mask_pages import by_mask
from builder.site.picture_rows import (
    fit_axis,
    fit_bar,
    plain_change,
    plain_mask,
    preview_card,
    ratio_axis,
    ratio_bar,
)
from builder.site.published import GENERAL_PICTURE, PublishedFile, picture_of
from builder.words import vocabulary_words
from builder.words.catalogue import count, say
from builder.words.effects import effect_sentence, rests_on
from builder.words.labels import cell_label, class_label, part_label, slot_of
from builder.words.mask_words import beside_sold, mask_lead, nothing_told


def preview_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the picture of each mask, part and face cell, and the one of all other pages."""
    yield PublishedFile(GENERAL_PICTURE, png_of(data, general_preview(data)))

    def of(masks: Set[str]) -> dict[str, PublishedFile]:
        return {
            mask: PublishedFile(picture_of(mask_address(mask)), png_of(data, mask_preview(data, mask)))
            for mask in masks
        }

    yield from by_mask(data.of_masks("preview", of))
    for token in parts_in_tests(data):
        yield PublishedFile(picture_of(hack_address(token)), png_of(data, hack_preview(data, token)))
    for cell in (*(cell.name for cell in CELLS), *OTHER_CELLS):
        yield PublishedFile(picture_of(cell_address(cell)), png_of(data, cell_preview(data, cell)))


def general_preview(data: Dataset) -> Drawing:
    """Say what the site is and how much it holds."""
    tests, wearers = count("test", len(data.table)), count("wearer", data.table["wearer"].nunique())
    masks, configurations = count("mask", len(data.entries.masks)), count("configuration", len(data.summary))
    return preview_card(
        data,
        say("card.title"),
        say("card.about"),
        sentences=(
            say("card.tests", tests=tests, wearers=wearers),
            say("card.masks", masks=masks, configurations=configurations),
        ),
    )


def mask_preview(data: Dataset, mask: str) -> Drawing:
    """Show a mask as sold, and say what its leading change did on the wearers of both."""
    record = data.entries.masks[mask].mask
    tested = [row for row in data.summary_by_mask.get(mask, []) if row["tests"]]
    sold = [row for row in tested if not row["parts"]]
    kind = (written(record.maker, ""), vocabulary_words.label(record.style), class_label(record))
    return preview_card(
        data,
        plain_mask(data, mask),
        written(" · ".join(word for word in kind if word), ""),
        bars=[fit_bar(row, plain_change(data, row["parts"])) for row in sold],
        axis=fit_axis(data),
        sentences=_mask_sentences(data, mask, changed=len(tested) > len(sold)) if sold else mask_lead(data, mask),
    )


def _mask_sentences(data: Dataset, mask: str, *, changed: bool) -> tuple[str, ...]:
    rungs = data.ladders.get(mask, ())
    if rung := leading(rungs):
        return (say("mask.change", change=plain_change(data, rung.parts), did=beside_sold(rung.comparison)),)
    return (nothing_told(rungs),) if changed else ()


def cell_preview(data: Dataset, cell: str) -> Drawing:
    """Show what stands best on the faces of a cell."""
    counted = [row["wearer"] for row in data.counted_by_cell.get(cell, ())]
    ranked = sorted(data.summary_by_cell.get(cell, []), key=standing, reverse=True)
    bars = [
        fit_bar(row, f"{plain_mask(data, row['mask'])}: {plain_change(data, row['parts'])}")
        for row in ranked[:MOST_BARS]
    ]
    wearers, tests = count("wearer", len(set(counted))), count("test", len(counted))
    return preview_card(
        data,
        written(say("cell_page.title", cell=cell_label(cell)), cell),
        say("card.cell", wearers=wearers, tests=tests) if ranked else "",
        bars=bars,
        axis=fit_axis(data),
        sentences=() if ranked else (say("card.nobody"),),
    )


def hack_preview(data: Dataset, token: str) -> Drawing:
    """Show the mean effect of a part and what to expect of it on a new face; a sentence where there is no mean."""
    label = written(part_label(data, token), token)
    title, lead = label[:1].upper() + label[1:], say("card.part", slot=vocabulary_words.label(slot_of(data, token)))
    effect = data.hacks.get(token)
    if effect is None or effect.mean_ratio is None or effect.low95 is None or effect.high95 is None:
        said = effect_sentence(effect) if effect else say("card.no_test")
        return preview_card(data, title, lead, sentences=(said[:1].upper() + said[1:],))
    comparisons, faces, masks = rests_on(effect)
    bars = [ratio_bar(say("card.average"), effect.low95, effect.mean_ratio, effect.high95)]
    if effect.predict_low95 is not None and effect.predict_high95 is not None:
        label = say("card.expected")
        new = ratio_bar(label, effect.predict_low95, effect.mean_ratio, effect.predict_high95)
        bars.append(replace(new, figure=""))
    measured = say("card.rests_on", comparisons=comparisons, faces=faces, masks=masks)
    return preview_card(data, title, lead, bars=bars, axis=ratio_axis(bars), sentences=(measured,))
