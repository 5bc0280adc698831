"""Pieces of hand-written pages that are made from code: a comment names each, a template fills it."""

from __future__ import annotations

import re

from builder.records import vocabulary
from builder.site import method_figures as methods
from builder.site.published import Renderer

MARK = re.compile(r"^<!-- sealbook: (?P<name>[a-z-]+) -->$", re.MULTILINE)

WORD_LISTS: tuple[tuple[str, type[vocabulary.Word]], ...] = (
    ("style", vocabulary.Style),
    ("class", vocabulary.MaskClass),
    ("slot", vocabulary.Slot),
    ("nose_bridge", vocabulary.NoseBridge),
    ("facial_hair", vocabulary.FacialHair),
    ("protocol", vocabulary.Protocol),
    ("name, exercise", vocabulary.Exercise),
    ("instrument", vocabulary.Instrument),
    ("size_selection", vocabulary.SizeSelection),
    ("aerosol", vocabulary.Aerosol),
    ("probe", vocabulary.Probe),
    ("leaks", vocabulary.Leak),
)
"""The closed lists of words, by the keys that hold them."""


def filled(markdown: str, render: Renderer, depth: int) -> str:
    """Replace each mark in a hand-written page by its piece. A name without a template raises TemplateNotFound."""

    def piece(match: re.Match[str]) -> str:
        return render(
            f"fragment-{match['name']}.html",
            depth,
            word_lists=WORD_LISTS,
            limits=vocabulary.CLASS_LIMITS,
            methods=methods,
        )

    return MARK.sub(piece, markdown)
