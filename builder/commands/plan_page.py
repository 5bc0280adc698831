"""The run sheet as one HTML page, to print and fill in: no file beside it is needed."""

from __future__ import annotations

from jinja2 import Environment, PackageLoader, StrictUndefined

from builder.pictures.palette import Ink
from builder.words import labels, numbers
from builder.words.plan_words import hours
from builder.words.run_sheet import RunSheet


def as_page(sheet: RunSheet) -> str:
    """Lay the sheet out on a page, every text escaped."""
    environment = Environment(
        loader=PackageLoader("builder.commands"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    template = environment.get_template("run-sheet.html")
    return template.render(sheet=sheet, hours=hours, Ink=Ink, labels=labels, numbers=numbers)
