"""The words that pages explain where they stand: each with a sentence, and where the methods say more."""

from __future__ import annotations

from builder.words.catalogue import say

MORE = {
    "as-sold": "methods/#what-a-hack-does",
    "at-least": "methods/#counts",
    "cell": "methods/#faces",
    "chance": "methods/#the-face-model",
    "configuration": "methods/#summaries",
    "donning": "methods/#re-donning-scatter",
    "fit-factor": "methods/#fit-factor",
    "geometric-mean": "methods/#summaries",
    "gsd": "methods/#summaries",
    "hack": "methods/#what-a-hack-does",
    "interval": "methods/#summaries",
    "leakage": "methods/#fit-factor",
    "median": "methods/#summaries",
    "method": "methods/#protocols",
    "new-face": "methods/#what-a-hack-does",
    "nose-bridge": "faces/",
    "part": "hacks/",
    "range": "methods/#summaries",
    "ratio": "methods/#comparing-two-configurations",
    "reach": "methods/#summaries",
    "set-aside": "methods/#what-is-not-in-the-figures",
    "verdict": "methods/#comparing-two-configurations",
    "wearer": "contribute/",
}
"""Every term by its id, with the address that says more."""

_HEADS = {"configuration", "median", "range", "ratio", "verdict", "wearer"}
_ASKED = {"at-least", "fit-factor", "nose-bridge"}
_AT_THE_BENCH = {"donning", "part"}
"""What has its name elsewhere: it heads a column, or the form or the bench asks for it."""


def name(term: str) -> str:
    """Give what a term is called; KeyError for one that is not there."""
    key = term.replace("-", "_")
    if term in _HEADS:
        return say(f"head.{key}")
    if term in _AT_THE_BENCH:
        return say(f"bench_page.{key}")
    return say(f"form.{key}") if term in _ASKED else say(f"term.{key}")


def said(term: str) -> str:
    """Give the sentence that explains a term."""
    return say(f"term_said.{term.replace('-', '_')}")


def in_order() -> list[str]:
    """Give the ids of all terms by what they are called."""
    return sorted(MORE, key=lambda term: name(term).casefold())
