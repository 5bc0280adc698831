"""A page for each part somebody changed a mask with, and the list of them."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from builder.records.vocabulary import Slot
from builder.site.charts import effects_chart
from builder.site.dataset import Dataset, Row, rows_of
from builder.site.effects import interaction_sentence, wire_holding
from builder.site.names import hack_address, mask_label, part_label
from builder.site.pages import PublishedFile, PublishedPage, Renderer, picture_of

SECTION = "hacks.md"


def hack_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give the list of hacks, then a page each: every part that some test changed a mask with."""
    used = parts_in_tests(data.table)
    yield PublishedPage(
        address="hacks/",
        title="Hacks",
        description="Cheap changes to masks, each with what was measured with it and on how many faces.",
        html=render("hacks.html", depth=1, groups=_by_slot(data, used)),
        section=SECTION,
    )
    for token in sorted(used):
        yield _hack_page(data, render, token, used[token])


def hack_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the chart of each part that somebody tried with and without on one face."""
    for token, effect in sorted(data.hacks.items()):
        if effect.contrasts:
            yield PublishedFile(f"{hack_address(token)}effects.json", effects_chart(data, effect))


def parts_in_tests(table: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """Give the tests with each changed part, by the part's token."""
    tokens = table["parts"].str.split("+").explode()
    tokens = tokens[tokens != ""]
    return {str(token): table.loc[rows.index] for token, rows in tokens.groupby(tokens, sort=True)}


def slot_of(data: Dataset, token: str) -> Slot:
    """Find the slot that a part fills, or was taken out of."""
    part = data.part(token)
    return part.slot if part else Slot(token.removeprefix("no-"))


def _by_slot(data: Dataset, used: dict[str, pd.DataFrame]) -> list[tuple[Slot, list[Row]]]:
    groups: list[tuple[Slot, list[Row]]] = []
    for slot in Slot:
        rows: list[Row] = [
            {
                "token": token,
                "label": part_label(data, token),
                "part": data.part(token),
                "masks": int(tests["mask"].nunique()),
                "wearers": int(tests.loc[tests["counted"], "wearer"].nunique()),
                "tests": int(tests["counted"].sum()),
                "effect": data.hacks.get(token),
            }
            for token, tests in sorted(used.items())
            if slot_of(data, token) is slot
        ]
        if rows:
            groups.append((slot, rows))
    return groups


def _hack_page(data: Dataset, render: Renderer, token: str, tests: pd.DataFrame) -> PublishedPage:
    label = part_label(data, token)
    part, effect = data.part(token), data.hacks.get(token)
    counted = tests[tests["counted"]]
    rows = data.summary[data.summary["configuration"].isin(tests["configuration"].unique())]
    return PublishedPage(
        address=hack_address(token),
        title=label[:1].upper() + label[1:],
        description=f"{label}: measured on {counted['wearer'].nunique()} faces and {counted['mask'].nunique()} masks.",
        html=render(
            "hack.html",
            depth=2,
            token=token,
            label=label[:1].upper() + label[1:],
            part=part,
            slot=slot_of(data, token),
            rows=rows_of(rows),
            tests=len(counted),
            wearers=int(counted["wearer"].nunique()),
            masks=int(counted["mask"].nunique()),
            effect=effect,
            contrasts=sorted(effect.contrasts, key=lambda c: (c.mask, c.wearer, c.backgrounds)) if effect else [],
            interactions=[
                interaction_sentence(
                    f"{found.wearer} and {mask_label(data.entries.masks[mask].mask)}",
                    conditional,
                    label,
                    part_label(data, conditional.other),
                )
                for mask, factorials in data.factorials.items()
                for found in factorials
                for conditional in found.conditional
                if conditional.part == token
            ],
            holding=wire_holding(part) if part else None,
        ),
        section=SECTION,
        picture=picture_of(hack_address(token)),
    )
