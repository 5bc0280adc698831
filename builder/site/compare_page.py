"""The compare page: a few comparisons ready to read, and the data files its script compares anything with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import starmap

import pandas as pd

from builder.findings.dataset import Dataset, Row
from builder.findings.methods_used import method_id
from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.methods import METHOD, Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter
from builder.fit.compare.two_configurations import Comparison, compare
from builder.records.vocabulary import FacialHair
from builder.site.published import PublishedFile, PublishedPage, Renderer, coded, compact_json, data_file
from builder.site.row_strips import strip_geometry
from builder.words import vocabulary_words
from builder.words.catalogue import say
from builder.words.labels import change_label, kinds_label, mask_label
from builder.words.method_words import method_name

ADDRESS = "compare/"
READY = 30
"""Comparisons in the page itself; on a large site those that most wearers tried."""


FIGURES = (
    "tests",
    "wearers",
    "median_fit_factor",
    "median_at_least",
    "lowest_fit_factor",
    "highest_fit_factor",
    "highest_at_least",
)
"""The columns of the summary that the page shows."""


@dataclass(frozen=True)
class Ready:
    """A mask as sold against the change that most wearers tried beside it."""

    label: str
    change: str
    comparison: Comparison


def compare_page(data: Dataset, render: Renderer) -> PublishedPage:
    """Make the page. Without scripts it holds the ready comparisons, with them any two to six configurations."""
    html = render(
        "compare.html",
        depth=1,
        ready=ready_comparisons(data),
    )
    description = say("about.compare")
    return PublishedPage(ADDRESS, say("explorer.tick"), description, html, section="compare.md")


def comparables_file(data: Dataset) -> PublishedFile:
    """Give what the script reads first: all that can be chosen, and what it is called.

    Wearers are numbers here, that only tell whether two configurations share some.
    """
    arms = data.measured_arms.by_configuration
    masks = [configuration.partition("+")[0] for configuration in arms]
    wearers = {configuration: dict.fromkeys(face.wearer for face in own) for configuration, own in arms.items()}
    number = {wearer: index for index, wearer in enumerate(sorted(set().union(*wearers.values())))}
    published = {
        "configurations": {
            "id": list(arms),
            "mask": masks,
            "mask_label": [mask_label(data.entries.masks[mask].mask) for mask in masks],
            "change": [change_label(data, configuration.partition("+")[2]) for configuration in arms],
            "kinds": coded([kinds_label(data, configuration) for configuration in arms]),
            "wearers": [[number[wearer] for wearer in own] for own in wearers.values()],
            "paged": [int(configuration in data.paged) for configuration in arms],
        },
        "facial_hair": {hair.value: vocabulary_words.label(hair) for hair in FacialHair},
        "scatter": scatter_values(data.scatter),
        "methods": method_values(data.method_effects),
        "method_names": {used.id: method_name(used.method) for used in data.methods.each},
        "renamed": {line.old: line.to[0] for line in data.entries.renamed if not line.test and len(line.to) == 1},
        "reference": data.reference,
        "strip": strip_geometry(data),
        "name": data.name,
        "newest": data.newest,
        "invented": data.invented,
    }
    return PublishedFile(f"{ADDRESS}configurations.json", compact_json(published))


def measured_files(data: Dataset) -> Iterator[PublishedFile]:
    """Give a file a mask with what the script computes and draws.

    It names its configurations and wearers in full, so it stays true beside an older list that a browser kept.
    """
    arms = data.measured_arms.by_configuration
    masks = [configuration.partition("+")[0] for configuration in arms]
    tests = dict(list(data.counted.groupby("mask")))
    for mask in dict.fromkeys(masks):
        own = [configuration for configuration, of in zip(arms, masks, strict=True) if of == mask]
        figures = [row for row in data.summary_by_mask[mask] if row["tests"]]
        measured = {
            "arms": arm_columns(data.measured_arms, own),
            "tests": _test_columns(tests[mask]),
            "figures": _figure_columns(figures),
            "method_figures": _method_columns(data, mask),
        }
        yield data_file(f"{ADDRESS}masks/{mask}.packed", compact_json(measured))


def arm_columns(measured: MeasuredArms, configurations: Sequence[str]) -> dict[str, object]:
    """Lay out the arms of some configurations in columns, a row for each method, words as `coded` writes them."""
    rows = [
        (configuration, face, arm)
        for configuration in configurations
        for face, own in measured.by_configuration[configuration].items()
        for arm in own
    ]
    return {
        "configuration": coded([configuration for configuration, _, _ in rows]),
        "wearer": coded([face.wearer for _, face, _ in rows]),
        "facial_hair": coded([face.facial_hair for _, face, _ in rows]),
        "method": coded([[getattr(arm.method, name) for name in METHOD] for _, _, arm in rows]),
        "n": [arm.readings.n for _, _, arm in rows],
        "mean": _digits([arm.readings.mean for _, _, arm in rows]),
        "moderated": _digits([arm.readings.variance for _, _, arm in rows]),
        "df": [int(arm.df) for _, _, arm in rows],
        "wearer_df": coded(_digits(measured.scatter.of([face.wearer for _, face, _ in rows])[1].tolist())),
        "limits": coded([_digits(arm.readings.limits) for _, _, arm in rows]),
    }


def scatter_values(scatter: NestedScatter) -> dict[str, object]:
    """Give the re-donning scatter of a wearer without repeats, and how much arms of one wearer differ in it."""
    return {"variance": scatter.stranger.variance, "arm_df": scatter.arm_df, "planned": scatter.planned}


def method_values(effects: MethodEffects) -> dict[str, object]:
    """Give what each level of a method adds to ln FF, its loadings of errors in common, and a wearer's own variance."""
    return {
        "levels": [[METHOD.index(name), value] for name, value in effects.levels],
        "mean": _digits(effects.mean.tolist()),
        "loadings": [_digits(row) for row in effects.root.tolist()],
        "own": effects.scales.wearer**2,
    }


def ready_comparisons(data: Dataset) -> list[Ready]:
    """Compare each mask as sold with the change that most wearers tried beside it, the best known masks first."""
    faces = {configuration: set(own) for configuration, own in data.measured_arms.by_configuration.items()}
    found = []
    for mask, rows in sorted(data.summary_by_mask.items()):
        both = {
            row["configuration"]: faces[mask] & faces[row["configuration"]]
            for row in rows
            if row["parts"] and row["tests"] and mask in faces
        }
        # The first of equals in the order of ids.
        most = max(both, key=lambda changed: len({wearer for wearer, _ in both[changed]}), default="")
        if most and both[most]:
            found.append((-len(both[most]), mask_label(data.entries.masks[mask].mask), mask, most))
    found.sort(key=lambda one: (one[0], one[1].casefold()))
    return [
        Ready(label, change_label(data, changed.partition("+")[2]), _beside_sold(data, mask, changed))
        for _, label, mask, changed in found[:READY]
    ]


def _beside_sold(data: Dataset, mask: str, changed: str) -> Comparison:
    rung = data.rung(changed)
    return rung.alone if rung else compare(data.measured_arms, mask, changed)


def _test_columns(tests: pd.DataFrame) -> dict[str, object]:
    return {
        "configuration": coded(tests["configuration"].tolist()),
        "wearer": coded(tests["wearer"].tolist()),
        "fit_factor": tests["fit_factor"].tolist(),
        "at_least": tests["at_least"].astype(int).tolist(),
        "method": coded(list(map(method_id, starmap(Method, tests[METHOD].itertuples(index=False))))),
    }


def _method_columns(data: Dataset, mask: str) -> dict[str, object]:
    """Lay out the same figures by each method alone; none where all tests of the mask are of one."""
    if not data.methods_by_mask[mask].mixed:
        return {"method": [], **_figure_columns([])}
    rows = [
        (method, row)
        for method, alike in data.by_method.items()
        for row in alike.summary_by_mask.get(mask, [])
        if row["tests"]
    ]
    return {"method": coded([method for method, _ in rows]), **_figure_columns([row for _, row in rows])}


def _figure_columns(summary: list[Row]) -> dict[str, list[object]]:
    return {name: [row[name] for row in summary] for name in ("configuration", *FIGURES)}


def _digits(values: Iterable[float]) -> list[float]:
    """Keep twelve digits: the last bits of a sum differ from one processor to another, no figure does."""
    return [float(f"{value:.12g}") for value in values]
