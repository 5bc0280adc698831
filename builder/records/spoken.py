"""Which language is spoken: what was made in one is not to stand in for what is made in another."""

from __future__ import annotations

from contextvars import ContextVar

ENGLISH = "en"
"""The language that everything is said in where nothing else is asked for."""

SPOKEN: ContextVar[str] = ContextVar("SPOKEN", default="")
"""The code of the language that pages speak now (`builder.words.catalogue.speaking`); "" where nothing is a page's."""
