"""What the open data are, who may use them and how to cite them: for people, for citation tools, for search engines."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from urllib.parse import urljoin

from builder.findings.dataset import UNNAMED, Dataset
from builder.findings.open_tables import Table
from builder.records.file_names import id_from
from builder.words.catalogue import count, say

LICENCE = "CC0-1.0"
LICENCE_TITLE = "Creative Commons Zero 1.0 Universal"
LICENCE_ADDRESS = "https://creativecommons.org/publicdomain/zero/1.0/"
KEYWORDS = ("respirator", "mask", "fit test", "fit factor", "total inward leakage", "face panel")
FORMAT_VERSION = "3.0.0"
"""Raised in its first number when a file reads differently.

3 left out the path of a test; 2 made rows in JSON lists, which were objects before.
"""
MEDIA_TYPES = {"csv": "text/csv", "json": "application/json"}


@dataclass(frozen=True)
class About:
    """The facts of one state of the data. `address` is where the site is published, "" if unknown."""

    tests: int
    oldest: str
    newest: str
    invented: bool
    address: str = ""
    name: str = UNNAMED
    """What the database calls itself."""

    @classmethod
    def of(cls, data: Dataset, address: str = "") -> About:
        """Take the facts from a dataset."""
        oldest = str(data.table["date"].min()) if len(data.table) else ""
        return cls(len(data.table), oldest, data.newest, data.invented, address, data.name)

    @property
    def id(self) -> str:
        """Name the data in small letters, digits and hyphens, as a Data Package asks."""
        return id_from(self.name) or id_from(UNNAMED)

    @property
    def title(self) -> str:
        """Name the data in a line."""
        return say("open_data.title", name=self.name)

    @property
    def authors(self) -> str:
        """Name all who made them."""
        return say("open_data.authors", name=self.name)

    @property
    def description(self) -> str:
        """Say in a few sentences what the data are."""
        said = say("open_data.description")
        return f"{say('open_data.invented')} {said}" if self.invented else said

    @property
    def citation(self) -> str:
        """Give one line to cite the data by."""
        filled = {"authors": self.authors, "title": self.title, "tests": count("test", self.tests)}
        if self.newest:
            said = say("open_data.citation_newest", newest=self.newest, **filled)
        else:
            said = say("open_data.citation", **filled)
        return f"{said} {self.address}".rstrip()


def licence_text() -> str:
    """Give the legal text of the licence."""
    return files("builder.words.opendata").joinpath("CC0-1.0.txt").read_text("utf-8")


def citation_file(about: About) -> str:
    """Write CITATION.cff (Citation File Format 1.2.0). Its strings are JSON's, which YAML 1.2 reads the same."""
    keys: dict[str, object] = {
        "cff-version": "1.2.0",
        "message": say("open_data.cite"),
        "title": about.title,
        "type": "dataset",
        "authors": [{"name": about.authors}],
        "abstract": about.description,
        "keywords": list(KEYWORDS),
        "license": LICENCE,
    }
    if about.newest:
        keys["version"] = say("open_data.version", newest=about.newest)
    if about.address:
        keys["url"] = about.address
    return "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in keys.items())


def catalogue_entry(about: About, tables: Sequence[Table]) -> dict[str, object]:
    """Describe the data as a Dataset of schema.org, which search engines for data read as JSON-LD."""
    entry: dict[str, object] = {
        "@context": "https://schema.org",
        "@type": "Dataset",
        "name": about.title,
        "description": about.description,
        "license": LICENCE_ADDRESS,
        "creator": {"@type": "Organization", "name": about.authors},
        "creditText": about.citation,
        "isAccessibleForFree": True,
        "keywords": list(KEYWORDS),
        "variableMeasured": [
            {"@type": "PropertyValue", "name": name, "description": column.meaning}
            for name, column in tables[0].columns.items()
            if column.unit
        ],
        "distribution": [
            {
                "@type": "DataDownload",
                "name": f"{table.name}.{form}",
                "description": table.title,
                "encodingFormat": MEDIA_TYPES[form],
                "contentUrl": f"{about.address and urljoin(about.address, 'data/')}{table.name}.{form}",
            }
            for table in tables
            for form in table.forms
        ],
    }
    if about.newest:
        entry |= {"temporalCoverage": f"{about.oldest}/{about.newest}", "dateModified": about.newest}
    if about.address:
        entry["url"] = urljoin(about.address, "data/")
    return entry
