"""Drawings as PNG files, drawn once for the same drawing: an edit changes few of them."""

from __future__ import annotations

from functools import partial

from builder.findings.dataset import Dataset
from builder.pictures.png import as_png
from builder.pictures.shapes import Drawing


def png_of(data: Dataset, drawing: Drawing, width: int = 0) -> bytes:
    """Write a drawing as PNG (`as_png`), taken from the pieces of the dataset where these have it."""
    return data.pieces.of(f"png {width} {drawing!r}".encode(), partial(as_png, drawing, width))
