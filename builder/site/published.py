"""The pages and files a build publishes, as plain records that know nothing of a site generator."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from builder.findings.dataset import Dataset
from builder.pictures.palette import Ink
from builder.site.row_strips import RowStrips, fit_top
from builder.words import chances, effects, names

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


@dataclass(frozen=True)
class PublishedFile:
    """One file: its path below the site's root and its content."""

    path: str
    content: str | bytes


def compact_json(value: object) -> str:
    """Write a file for the scripts; ValueError for a number that JSON has not."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"), sort_keys=True)


def picture_of(address: str) -> str:
    """Where the picture of a page lies that has its own."""
    return address + GENERAL_PICTURE


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("builder.site"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    for module in (names, effects, chances):
        public = {n: value for n, value in vars(module).items() if callable(value) and not n.startswith("_")}
        environment.globals.update(public)
    environment.globals["Ink"] = Ink
    environment.filters.update(figure=names.figure, fit=names.fit)
    return environment


@dataclass(frozen=True)
class Renderer:
    """Renders templates of this package over a dataset, every value escaped unless it is markup already."""

    data: Dataset
    repository: str = ""
    """Address of the repository, "" for none."""
    environment: Environment = field(default_factory=_environment)

    def __call__(self, template: str, depth: int, **values: object) -> str:
        """Render a template for a page `depth` folders below the site's root."""
        root = "../" * depth
        return self.environment.get_template(template).render(
            data=self.data,
            strips=RowStrips(fit_top(self.data)),
            repository=self.repository.rstrip("/"),
            link=lambda address: Markup.escape(root + address),
            **values,
        )
