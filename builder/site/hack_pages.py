"""A page for each part somebody changed a mask with, and the list of them."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from markupsafe import Markup

from builder.findings.dataset import Dataset, Row
from builder.findings.made_once import made_once
from builder.findings.methods_used import methods_of
from builder.findings.nose_wires import wire_holding
from builder.fit.compare.factorial import clear_interactions
from builder.fit.compare.hack_contrasts import HackContrast
from builder.fit.compare.hack_effects import HackEffect
from builder.records.vocabulary import Slot
from builder.site.addresses import hack_address
from builder.site.all_effects_picture import all_effects_picture
from builder.site.effects_charts import condensed_picture, effects_figure, effects_picture, extremes_sentence
from builder.site.entry_pictures import of_part
from builder.site.long_tables import blocks
from builder.site.narrowed_figures import narrowed_file
from builder.site.published import PublishedFile, PublishedPage, Renderer, data_file, picture_of
from builder.words.catalogue import count, say
from builder.words.effects import interaction_sentence
from builder.words.labels import mask_label, part_label, slot_of

SECTION = "hacks.md"
MOST_CONTRASTS, MOST_LISTED, MOST_ROWS, MOST_SENTENCES = 40, 100, 60, 10
"""What a page can show and still be read: contrasts in a picture with a row each, and in its tables; configurations,
sentences. The command and the explorer have all."""


def hack_pages(data: Dataset, render: Renderer) -> Iterator[PublishedPage]:
    """Give the list of hacks, then a page each: every part that some test changed a mask with."""
    used = parts_in_tests(data)
    groups = _by_slot(data, used)
    yield PublishedPage(
        address="hacks/",
        title=say("page.hacks"),
        description=say("about.hacks"),
        html=render("hacks.html", depth=1, groups=groups, picture=all_effects_picture(groups)),
        section=SECTION,
    )
    for token, tests in used.items():
        yield _hack_page(data, render, token, tests)


def hack_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give the chart of each part that somebody tried with and without on one face."""
    for token, effect in sorted(data.hacks.items()):
        if effect.contrasts and not condensed(effect):
            yield data_file(
                hack_address(token) + _effects_file(data), effects_figure(data, effect, most_telling(effect))
            )


def narrowed_hack_files(data: Dataset, render: Renderer) -> Iterator[PublishedFile]:
    """Give the figures and the chart of each part by each of its methods, where it has several."""
    mixed = {token for token, tests in parts_in_tests(data).items() if methods_of(tests).mixed}
    for alike in data.by_method.values():
        for token, tests in parts_in_tests(alike).items():
            used = methods_of(tests).each
            if used and token in mixed:
                values = narrowed_values(alike, token, tests)
                places = replace(render, data=alike).places("hack.html", depth=2, **values)
                yield narrowed_file(hack_address(token), used[0], places)
        yield from (file for file in hack_files(alike) if file.path.split("/")[1] in mixed)


def _effects_file(data: Dataset) -> str:
    """Name the file of a chart beside its part's page."""
    return f"methods/{data.methods.each[0].id}-effects.packed" if data.whole else "effects.json"


def condensed(effect: HackEffect) -> bool:
    """Whether a part has more contrasts than rows of their own would leave on one screen."""
    return len(effect.contrasts) > MOST_CONTRASTS


def most_telling(effect: HackEffect) -> list[HackContrast]:
    """Give the contrasts that a page lists, by mask and wearer; where there are more, those that weigh most."""
    weighed = sorted(effect.contrasts, key=lambda c: (c.bound != "none", c.variance or math.inf))[:MOST_LISTED]
    return sorted(weighed, key=lambda c: (c.mask, c.wearer, c.backgrounds))


@made_once
def parts_in_tests(data: Dataset) -> dict[str, list[Row]]:
    """Give the tests with each changed part, by the part's token, sorted."""
    found: dict[str, list[Row]] = {}
    for row in data.rows:
        for token in filter(None, row["parts"].split("+")):
            found.setdefault(token, []).append(row)
    return dict(sorted(found.items()))


def _by_slot(data: Dataset, used: dict[str, list[Row]]) -> list[tuple[Slot, list[Row]]]:
    groups: list[tuple[Slot, list[Row]]] = []
    for slot in Slot:
        rows: list[Row] = [
            {
                "token": token,
                "label": part_label(data, token),
                "part": data.part(token),
                "masks": len({test["mask"] for test in tests}),
                "wearers": len({test["wearer"] for test in tests if test["counted"]}),
                "tests": sum(test["counted"] for test in tests),
                "effect": data.hacks.get(token),
            }
            for token, tests in used.items()
            if slot_of(data, token) is slot
        ]
        if rows:
            groups.append((slot, rows))
    return groups


def _hack_page(data: Dataset, render: Renderer, token: str, tests: list[Row]) -> PublishedPage:
    label = part_label(data, token)
    # The masks of most tests first.
    masks = sorted(Counter(test["mask"] for test in tests).items(), key=lambda one: (one[1], one[0]), reverse=True)
    part = data.part(token)
    narrowed = narrowed_values(data, token, tests)
    return PublishedPage(
        address=hack_address(token),
        title=label[:1].upper() + label[1:],
        description=say(
            "about.hack", part=label, faces=count("face", narrowed["wearers"]), masks=count("mask", narrowed["masks"])
        ),
        html=render(
            "hack.html",
            depth=2,
            label=label[:1].upper() + label[1:],
            part=part,
            slot=slot_of(data, token),
            holding=wire_holding(part) if part else None,
            shown=of_part(data, token, (mask for mask, _ in masks)),
            **narrowed,
        ),
        section=SECTION,
        picture=picture_of(hack_address(token)),
    )


def narrowed_values(data: Dataset, token: str, tests: list[Row]) -> dict[str, Any]:
    """Give what fills the places of a part's page that can be narrowed to a method."""
    label, effect = part_label(data, token), data.hacks.get(token)
    counted = [test for test in tests if test["counted"]]
    tried = {test["configuration"] for test in tests}
    rows = [row for row in data.summary_by_id.values() if row["configuration"] in tried]
    most = sorted(rows, key=lambda row: (-row["wearers"], -row["tests"]))[:MOST_ROWS]
    shown = {row["configuration"] for row in most}
    interactions = clear_interactions((one for own in data.factorials.values() for one in own), token)
    contrasts = most_telling(effect) if effect else []
    many = effect is not None and condensed(effect)
    return {
        "token": token,
        "rows": [row for row in rows if row["configuration"] in shown],
        "more_rows": len(rows) - len(shown),
        "tests": len(counted),
        "wearers": len({test["wearer"] for test in counted}),
        "masks": len({test["mask"] for test in counted}),
        "effect": effect,
        "effects_file": _effects_file(data),
        "methods": methods_of(tests),
        "contrasts": contrasts,
        "many": many,
        "listed": blocks(contrasts, few=0),
        "extremes": extremes_sentence(data, effect) if effect and many else "",
        "picture": _picture(data, effect, contrasts, label) if effect else "",
        "more_contrasts": len(effect.contrasts) - len(contrasts) if effect else 0,
        "interactions": [
            interaction_sentence(
                say("effect.place", wearer=found.wearer, mask=mask_label(data.entries.masks[found.mask].mask)),
                conditional,
                label,
                part_label(data, conditional.other),
            )
            for found, conditional in interactions[:MOST_SENTENCES]
        ],
    }


def _picture(data: Dataset, effect: HackEffect, contrasts: list[HackContrast], label: str) -> Markup:
    if condensed(effect):
        return condensed_picture(data, effect, label)
    return effects_picture(data, effect, contrasts, label)
