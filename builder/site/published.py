"""The pages and files a build publishes, as plain records that know nothing of a site generator."""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import FunctionType, ModuleType
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from jinja2.runtime import Context
from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.fit import levels
from builder.pictures.cards import WIDTH
from builder.records.spoken import ENGLISH
from builder.site import addresses, figure_cells, long_tables
from builder.site.compiled_templates import CompiledTemplates
from builder.site.row_strips import RowStrips, fit_top
from builder.words import (
    catalogue,
    chances,
    comparisons,
    effects,
    labels,
    mask_words,
    method_words,
    month_words,
    numbers,
    predictions,
    rule_words,
    specimen_words,
    summary_figures,
    table_words,
    terms,
    tester_words,
    unbroken,
    vocabulary_words,
    wanted_words,
    yardstick_words,
)

GENERAL_PICTURE = "preview.png"
"""The picture of every page that has none of its own."""


@dataclass(frozen=True)
class PublishedPage:
    """One page: its address below the site's root ending in "/", its title, a description and its body as HTML."""

    address: str
    title: str
    description: str
    html: str
    section: str = ""
    """Source name of the navigation entry that the page belongs to."""
    picture: str = GENERAL_PICTURE
    """Path of the picture that previews of links to the page show."""
    picture_width: int = WIDTH
    """Its width in pixels; all have the shape of a preview."""
    language: str = ENGLISH
    """Code of the language that the page is written in."""
    told_once: bool = False
    """Whether only the page in the first language tells it: nobody is led on from there, those in others lead there."""


@dataclass(frozen=True)
class PublishedFile:
    """One file: its path below the site's root and its content."""

    path: str
    content: str | bytes


# Made once: it is asked thousands of times in a build.
_ENCODED = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"), sort_keys=True).encode


def compact_json(value: object) -> str:
    """Write a file for the scripts; ValueError for a number that JSON has not."""
    return _ENCODED(value)


def packed(text: str) -> bytes:
    """Write what few readers ask for in a tenth of its size; the scripts unpack it (`common/files.js`)."""
    return zlib.compress(text.encode(), 9)


def data_file(path: str, figure: str) -> PublishedFile:
    """Give a file for the scripts, packed where its name says so."""
    return PublishedFile(path, packed(figure) if path.endswith(".packed") else figure)


def coded(words: Sequence[object]) -> dict[str, list[object]]:
    """Write a column of words that repeat as the words, in order of first use, and each row's place among them."""
    keys = [tuple(word) if isinstance(word, list) else word for word in words]
    places = {word: place for place, word in enumerate(dict.fromkeys(keys))}
    return {"words": list(places), "at": [places[key] for key in keys]}


def picture_of(address: str) -> str:
    """Where the picture of a page lies that has its own."""
    return address + GENERAL_PICTURE


NAMESPACES: dict[str, ModuleType] = {
    module.__name__.rpartition(".")[2]: module
    for module in (
        addresses,
        catalogue,
        chances,
        table_words,
        comparisons,
        effects,
        figure_cells,
        labels,
        levels,
        long_tables,
        mask_words,
        method_words,
        month_words,
        numbers,
        predictions,
        rule_words,
        summary_figures,
        specimen_words,
        tester_words,
        terms,
        unbroken,
        vocabulary_words,
        wanted_words,
        yardstick_words,
    )
}
"""What templates call by module and name, as in `numbers.figure(value)`."""


class _Context(Context):
    """What a template is filled from. Most of what it calls are functions, asked for nothing of the template."""

    def call(self, asked: Callable[..., object], /, *args: object, **kwargs: object) -> object:
        """Call a function at once; Jinja looks at each call for what a callable takes from the template."""
        if type(asked) is not FunctionType:
            return super().call(asked, *args, **kwargs)
        kwargs.pop("_loop_vars", None)
        kwargs.pop("_block_vars", None)
        return asked(*args, **kwargs)


class _Environment(Environment):
    """Templates with such contexts."""

    context_class = _Context


@cache
def _environment() -> Environment:
    options: dict[str, Any] = {"autoescape": True, "trim_blocks": True, "lstrip_blocks": True}
    environment = _Environment(
        loader=PackageLoader("builder.site"),
        undefined=StrictUndefined,
        auto_reload=False,
        bytecode_cache=CompiledTemplates(options),
        **options,
    )
    environment.globals.update(NAMESPACES)
    return environment


@dataclass(frozen=True)
class Renderer:
    """Renders templates of this package over a dataset, every value escaped unless it is markup already."""

    data: Dataset
    repository: str = ""
    """Address of the repository, "" for none."""
    environment: Environment = field(default_factory=_environment)
    folder: str = ""
    """Where the pages of the language lie below the site's root, ending in "/"; "" for the root itself."""

    def __call__(self, template: str, depth: int, **values: object) -> str:
        """Render a template for a page `depth` folders below the pages of its language."""
        return self.environment.get_template(template).render(self._common(depth), **values)

    def places(self, template: str, depth: int, **values: object) -> dict[str, str]:
        """Render the blocks of a template alone, each by its name: the places of a page that can be narrowed."""
        loaded = self.environment.get_template(template)
        context = loaded.new_context(self._common(depth) | values)
        return {name: "".join(block(context)).strip() for name, block in loaded.blocks.items()}

    def _common(self, depth: int) -> dict[str, object]:
        first = "../" * depth
        root = first + "../" * self.folder.count("/")
        return {
            "data": self.data,
            "strips": RowStrips(fit_top(self.data)),
            "repository": self.repository.rstrip("/"),
            "within": self.folder,
            "link": lambda address: Markup.escape(first + address),
            # What all languages have in common.
            "at_root": lambda address: Markup.escape(root + address),
        }
