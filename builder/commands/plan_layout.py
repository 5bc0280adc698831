"""The run sheet laid out: as plain text, and as one HTML page that needs no file beside it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from builder.words.catalogue import count
from builder.words.labels import protocol_label
from builder.words.plan_words import hours
from builder.words.run_sheet import RunSheet

WIDTH = 100
_HEAD = " No  fit factor  at least  leaks       comfort  wear"
_BOXES = "[________]    [ ]     [________]    [_]    "
_INDENT = " " * (5 + len(_BOXES))


def as_text(sheet: RunSheet) -> str:
    """Lay the sheet out: head, rows, then what it can tell, cannot tell, and what to beware of."""
    return "\n".join(_layout(sheet))


def as_page(sheet: RunSheet) -> str:
    """Lay the sheet out on a page to print and fill in, every text escaped."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    from builder.words import catalogue, labels

    environment = Environment(
        loader=PackageLoader("builder.commands"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    template = environment.get_template("run-sheet.html")
    return template.render(sheet=sheet, hours=hours, labels=labels, catalogue=catalogue)


def _layout(sheet: RunSheet) -> Iterator[str]:
    which = "half of the combinations" if sheet.half else "every combination"
    yield f"{sheet.mask_label} ({sheet.mask}), {which}: {count('configuration', sheet.configurations)}"
    yield (
        f"{count('donning', sheet.donnings)} of each, {len(sheet.lines)} in all, seed {sheet.seed}; "
        f"{protocol_label(sheet.protocol).lower()}"
    )
    yield _duration(sheet)
    yield f"Wearer: {sheet.wearer or '________________'}    Date: ________________    Instrument: ________________"
    specimen = 0
    for line in sheet.lines:
        if line.specimen != specimen:
            specimen = line.specimen
            yield f"\nSpecimen {specimen}\n{_HEAD}" if sheet.specimens > 1 else f"\n{_HEAD}"
        yield f"{line.number:3}  {_BOXES}{line.wear}"
        yield f"{_INDENT}{'first: ' if line.number > 1 else ''}{line.change}"
    yield from _section("What it can tell", [*sheet.telling, sheet.drift], sheet.basis)
    yield from _section("What it cannot tell apart", sheet.cannot_tell)
    yield from _section("Specimens", [sheet.specimens_why] if sheet.specimens_why else [])
    yield from _section("Beware", sheet.cautions)


def _duration(sheet: RunSheet) -> str:
    beside = "" if sheet.minutes_exercises else " beside the exercises"
    return f"About {hours(sheet.minutes)}{beside}, with 5 min in the mask before each test and 2 min a part changed."


def _section(title: str, items: Sequence[str], lead: str = "") -> Iterator[str]:
    if items:
        yield f"\n{title}"
        yield from textwrap.wrap(lead, WIDTH)
        yield from (textwrap.fill(item, WIDTH, initial_indent="- ", subsequent_indent="  ") for item in items)
