"""A further test adds little to a site: its file is published once, and each language lists its figure alone.

What a whole site grows by is measured by hand: `python -m tests.bench.site_growth`.
"""

from __future__ import annotations

import re

from builder.findings.dataset import Dataset
from builder.site.listed_tests import listed_tests
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer
from builder.site.source_pages import source_pages
from builder.words.catalogue import speaking

_TABLE = r'<table class="sb-figures sb-tests">.*?</table>'


def test_a_test_is_told_in_few_bytes_in_both_languages(demo: Dataset) -> None:
    tests = len(demo.table)
    told = {"files": 0.0, "lists": 0.0, "noted": 0.0}
    for code, folder in (("en", ""), ("de", "de/")):
        render = Renderer(demo, folder=folder)
        with speaking(code):
            files = [page.html for page in source_pages(demo, render)]
            masks = [page.html for page in mask_pages(demo, render)]
            noted = [file.content for file in listed_tests(demo, render)]
        told["files"] += sum(map(len, files)) / tests
        told["lists"] += sum(len(table) for html in masks for table in re.findall(_TABLE, html, re.DOTALL)) / tests
        told["noted"] += sum(map(len, noted)) / tests
    assert told["files"] < 700
    assert told["lists"] < 420
    assert told["noted"] < 150
