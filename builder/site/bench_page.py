"""The bench page: an evening at the counter, and what its script needs of the database to judge the takes."""

from __future__ import annotations

import hashlib
from typing import Any

from builder.findings.dataset import Dataset
from builder.fit.compare.nested_scatter import WearerScatter
from builder.records.entry_keys import fields_of
from builder.records.models import Test
from builder.site.compare_page import scatter_values
from builder.site.contribute_form import form
from builder.site.published import PublishedFile, PublishedPage, Renderer, compact_json
from builder.words.catalogue import say
from builder.words.run_sheet import run_cautions

ADDRESS = "bench/"
DIGITS = 12
"""Of the digest that tells one state of the data from another."""


def bench_page(render: Renderer) -> PublishedPage:
    """Make the page. Without scripts it says what it needs, and which command does the same."""
    return PublishedPage(
        ADDRESS,
        say("page.bench"),
        say("about.bench"),
        render("bench.html", depth=1, cautions=run_cautions()),
        section="bench.md",
    )


def bench_files(data: Dataset) -> list[PublishedFile]:
    """Make the file that the script reads beside that of the contribute form."""
    known = bench_data(data)
    digest = hashlib.sha256(compact_json([known, form(data)]).encode()).hexdigest()[:DIGITS]
    return [PublishedFile(f"{ADDRESS}known.json", compact_json(known | {"digest": digest}))]


def bench_data(data: Dataset) -> dict[str, Any]:
    """Collect how donnings scatter, on each wearer and on a stranger, and what to beware of with each part."""
    scatter, parts = data.scatter, data.entries.parts
    return {
        "scatter": scatter_values(scatter),
        "stranger": _scatter(scatter.stranger),
        "wearers": {wearer: _scatter(one) for wearer, one in sorted(scatter.wearers.items())},
        "lasting": sorted(part for part, record in parts.items() if not record.part.can_be_undone),
        "cautions": {
            part: list(record.part.cautions) for part, record in sorted(parts.items()) if record.part.cautions
        },
        "columns": [[field.name, ".".join(field.path)] for field in fields_of(Test)],
        "newest": data.newest,
        "invented": data.invented,
    }


def _scatter(one: WearerScatter) -> dict[str, float]:
    return {"variance": one.variance, "df": one.df}
