"""What the form on the contribute page knows: the schemas that the checker applies, and what has a file already.

Everything here grows with masks, parts and wearers, not with tests: which number of a day is free the form cannot know.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import pandas as pd

from builder.findings.dataset import Dataset
from builder.findings.table import HAIR_REASON
from builder.fit.panel import CELLS, UNKNOWN
from builder.records.file_names import DEVICES, REMOVED_PARTS
from builder.records.models import REMOVED, Mask, Part, Test
from builder.records.problems import UNPRINTABLE
from builder.records.rules.possible_date import EARLIEST
from builder.records.rules.pseudonym import GIVEN_NAME
from builder.records.toml_text import SCHEMAS
from builder.records.value_types import ID_PATTERN, TEXT_PATTERN, URL_PATTERN
from builder.records.vocabulary import HAIR_AT_SEAL, PROTOCOL_TIMES, STANDS_FOR, Slot
from builder.site.published import PublishedFile
from builder.words import vocabulary_words
from builder.words.labels import mask_label
from builder.words.schema_words import spoken_schema

_KINDS: Mapping[str, type[Mask | Part | Test]] = {"mask": Mask, "part": Part, "test": Test}
_FACE = {"face_length_mm": "length_mm", "face_width_mm": "width_mm", "cell": "cell", "nose_bridge": "nose_bridge"}


def contribute_files(data: Dataset) -> list[PublishedFile]:
    """Make the file the form reads."""
    content = json.dumps(form(data), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return [PublishedFile("contribute/form.json", content)]


def form(data: Dataset) -> dict[str, Any]:
    """Collect limits, words and known records. Keys of schemas keep their order: entries are written in it."""
    taken_out = {removal.mask for removal in data.entries.removed if removal.mask}
    return {
        "schemas": {kind: spoken_schema(model) for kind, model in _KINDS.items()},
        "schema_paths": {kind: SCHEMAS[model] for kind, model in _KINDS.items()},
        "patterns": {"id": ID_PATTERN, "text": TEXT_PATTERN, "link": URL_PATTERN, "unprintable": UNPRINTABLE.pattern},
        "slots": [[slot.value, vocabulary_words.label(slot)] for slot in Slot],
        "removed": REMOVED,
        "reserved": {"mask": sorted(DEVICES | taken_out), "part": sorted(DEVICES | REMOVED_PARTS)},
        "given_name": GIVEN_NAME.pattern,
        "earliest": EARLIEST.isoformat(),
        "hair_at_seal": sorted(HAIR_AT_SEAL),
        "hair_reason": HAIR_REASON,
        "stands_for": {given.value: named.value for given, named in STANDS_FOR.items()},
        "protocols": {
            protocol.value: {
                "steps": [{"exercise": step.exercise.value, "seconds": step.seconds} for step in timing.steps],
                "ambient_start": timing.ambient_start_s,
                "ambient_end": timing.ambient_end_s,
                "ambient_between": timing.ambient_between,
            }
            for protocol, timing in PROTOCOL_TIMES.items()
        },
        "cells": [{"name": cell.name} | asdict(cell) for cell in CELLS],
        "masks": _masks(data),
        "parts": _parts(data),
        "wearers": _wearers(data),
    }


def _masks(data: Dataset) -> list[dict[str, Any]]:
    masks = [
        {
            "id": record.id,
            "label": mask_label(record.mask),
            "maker": record.mask.maker,
            "model": record.mask.model,
            "size": record.mask.size or "",
            "as_sold": {slot.value: part for slot, part in record.mask.as_sold.filled()},
        }
        for record in data.entries.masks.values()
    ]
    return sorted(masks, key=lambda mask: (mask["label"].casefold(), mask["id"]))


def _parts(data: Dataset) -> list[dict[str, str]]:
    parts = [
        {"id": record.id, "label": record.part.name, "slot": record.part.slot.value}
        for record in data.entries.parts.values()
    ]
    return sorted(parts, key=lambda part: (part["label"].casefold(), part["id"]))


def _wearers(data: Dataset) -> dict[str, dict[str, Any]]:
    """Give what is known of each wearer's face, which the checker makes sure is the same in every file."""
    faces = data.table.set_index("wearer")[list(_FACE)].rename(columns=_FACE).replace(UNKNOWN, None)
    known = faces.groupby(level=0, sort=True).first().astype(object)
    return {
        str(wearer): {str(key): value for key, value in face.items() if pd.notna(value)}
        for wearer, face in known.to_dict("index").items()
    }
