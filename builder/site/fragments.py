"""Pieces of hand-written pages that are made from code: a comment names each, a template fills it."""

from __future__ import annotations

import re

from builder.records.entry_keys import values_of
from builder.records.models import Mask, Part, Test
from builder.records.vocabulary import CLASS_LIMITS, PROTOCOL_TIMES, Protocol, Word
from builder.site import method_figures as methods
from builder.site.published import Renderer

MARK = re.compile(r"^<!-- sealbook: (?P<name>[a-z-]+) -->$", re.MULTILINE)


def word_lists() -> tuple[tuple[str, type[Word]], ...]:
    """Give the closed lists of words with the keys that hold them, in the order of the entries' keys."""
    held: dict[type[Word], dict[str, None]] = {}
    for model in (Mask, Part, Test):
        for path, key in values_of(model).items():
            name = key.path[-1]
            for word in key.words[:1]:
                held.setdefault(type(word), {})[name if name == key.name else path] = None
    return tuple((", ".join(keys), words) for words, keys in held.items())


def filled(markdown: str, render: Renderer, depth: int) -> str:
    """Replace each mark in a hand-written page by its piece. A name without a template raises TemplateNotFound."""

    def piece(match: re.Match[str]) -> str:
        return render(
            f"fragment-{match['name']}.html",
            depth,
            word_lists=word_lists(),
            limits=CLASS_LIMITS,
            protocols=Protocol,
            timings=PROTOCOL_TIMES,
            methods=methods,
        )

    return MARK.sub(piece, markdown)
