"""The face model as a file for the browser, from which it works out chances on any face given any own results."""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import numpy as np

from builder.findings.dataset import Dataset
from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import Method, MethodEffects
from builder.fit.facemodel import FaceDescription, FaceModel
from builder.fit.facemodel.condensed import CondensedPosterior, condense, turned
from builder.fit.facemodel.kernel import (
    FEATURES,
    LENGTH_SCALE,
    MASK_FEATURES,
    bridge_map,
    bridge_places,
    embed,
    feature_pairs,
    kernel,
    places,
    plane_map,
)
from builder.fit.facemodel.own_results import FIT_TEST_KINDS, LEAK_WRONGLY_FELT, covering
from builder.fit.facemodel.reference import REFERENCE
from builder.fit.levels import LEAKS_AT_ONCE
from builder.fit.panel import CELLS, NOSE_BRIDGES, standardise
from builder.records.vocabulary import Instrument, Protocol, SizeSelection
from builder.site.published import PublishedFile, compact_json

ADDRESS = "faces/model.json"

MEAN_STEP, LEFT_STEP = 0.001, 0.002
LOADING_STEPS = (0.005, 0.0075, 0.01, 0.015, 0.02, 0.03)
"""What the numbers of a posterior are rounded to, ln fit factor (squared for `left`); loadings so that they fit in."""
MOST_BYTES = 135_000
"""Of all posteriors, compressed as they are sent."""


def face_model_file(data: Dataset) -> Iterator[PublishedFile]:
    """Give the file, where there is a model."""
    if data.model is not None:
        yield PublishedFile(ADDRESS, compact_json(model_content(data.model, data.method_effects)))


def model_content(model: FaceModel, methods: MethodEffects) -> dict[str, Any]:
    """Lay out the file: a model, and what methods of measuring differ by."""
    step, posteriors = _posteriors(model)
    return {
        "catalogue": _catalogue(model),
        "features": feature_constants(),
        "own_results": _own_results(methods),
        "posteriors": posteriors,
        "steps": {"mean": MEAN_STEP, "loading": step, "left": LEFT_STEP},
    }


def in_characters(numbers: FloatArray, step: float) -> str:
    """Write numbers as multiples of a step, a character each: 0, −1, 1, −2 … from "(" on.

    A text of few different characters compresses to about the entropy of the numbers. Left out are the backslash and
    what JSON or an editor would write otherwise.
    """
    whole = np.rint(numbers.ravel() / step).astype(np.int64)
    code = np.where(whole < 0, -2 * whole - 1, 2 * whole) + ord("(")
    code += code >= ord("\\")
    code += (code >= 0x7F) * (0xA0 - 0x7F)
    if len(code) and code.max() >= 0xD800:
        raise ValueError(f"{numbers.max()} is too many steps of {step}")
    return "".join(map(chr, code.tolist()))


def _catalogue(model: FaceModel) -> dict[str, Any]:
    catalogue = model.design.catalogue
    style = np.zeros(len(catalogue.masks), dtype=np.intp)
    style[catalogue.mask] = catalogue.style
    return {
        "configurations": catalogue.configurations.tolist(),
        "mask": catalogue.mask.tolist(),
        "styles": catalogue.styles.tolist(),
        "style": style.tolist(),
        "held": [np.flatnonzero(held).tolist() for held in catalogue.parts],
        "parts": len(catalogue.hacks),
    }


def feature_constants() -> dict[str, Any]:
    """Lay out what a face's features are made of: the same for every model."""
    plane_of, bridge_of = feature_pairs()
    planes, bridges = int(plane_of.max()) + 1, int(bridge_of.max()) + 1
    origin = standardise(0.0, 0.0)
    step = standardise(1.0, 1.0)
    every, few = turned(FEATURES), turned(MASK_FEATURES)
    cells = {
        name: {"plane": _digits(weights @ plane_map()(points)[:, :planes]), "shared": _digits(_shared(points, weights))}
        for name in [*(cell.name for cell in CELLS), "unknown"]
        for points, weights in [places(FaceDescription(cell=name))]
    }
    bridge = {}
    for name in (*NOSE_BRIDGES, "unknown"):
        points = bridge_places(FaceDescription(nose_bridge=name))[:, None]
        weights = np.full(len(points), 1 / len(points))
        bridge[name] = {
            "bridge": _digits(weights @ bridge_map()(points)[:, :bridges]),
            "shared": _digits(_shared(points, weights)),
            "height": embed(FaceDescription(nose_bridge=name)).bridge,
        }
    return {
        "origin": origin,
        "per_mm": [one - zero for one, zero in zip(step, origin, strict=True)],
        "length_scale": LENGTH_SCALE,
        "nodes": _digits(plane_map().nodes),
        "coefficients": _digits(plane_map().coefficients[:, :planes]),
        "plane_of": plane_of.tolist(),
        "bridge_of": bridge_of.tolist(),
        "cells": cells,
        "bridges": bridge,
        "turns": [{"mean": _digits(turn.mean), "turn": _digits(turn.turn)} for turn in (every, few)],
    }


def _own_results(methods: MethodEffects) -> dict[str, Any]:
    """What answers are worth: kinds of fit test, what is felt at once, and what methods of measuring differ by."""
    every = [
        Method(protocol, instrument, size)
        for protocol in map(str, Protocol)
        for instrument in map(str, Instrument)
        for size in map(str, SizeSelection)
    ]
    methods = covering(methods, every)
    return {
        "kinds": {name: asdict(kind) for name, kind in FIT_TEST_KINDS.items()},
        "leaks": {"limit": LEAKS_AT_ONCE, "wrong": LEAK_WRONGLY_FELT},
        "reference": asdict(REFERENCE),
        "levels": [list(level) for level in methods.levels],
        "mean": _digits(methods.mean),
        "covariance": _digits(methods.covariance),
        "person": methods.scales.wearer,
    }


def _posteriors(model: FaceModel) -> tuple[float, list[dict[str, Any]]]:
    """Lay out all posteriors with the finest step of their loadings that they are small enough with."""
    condensed = condense(model.mixed, model.bases)
    for step in LOADING_STEPS:
        posteriors = [
            {
                "weight": _digits(weight),
                "scales": {name: _digits(value) for name, value in vars(posterior.scales).items()},
                **_rows(rows, step),
            }
            for posterior, rows, weight in zip(model.mixed, condensed, model.weights.tolist(), strict=True)
        ]
        if len(gzip.compress(compact_json(posteriors).encode(), 6)) <= MOST_BYTES:
            break
    return step, posteriors


def _rows(rows: CondensedPosterior, loading_step: float) -> dict[str, Any]:
    loadings = {
        name: in_characters(np.moveaxis(getattr(rows, name), -1, 0), loading_step)
        for name in ("loading", "bridge_loading", "style_loading", "mask_loading", "own_loading", "own_mask_loading")
    }
    means = {
        name: in_characters(getattr(rows, name), MEAN_STEP)
        for name in ("mean", "bridge_mean", "style_mean", "mask_mean")
    }
    return {
        "directions": rows.loading.shape[1],
        "own_directions": rows.own_loading.shape[1],
        "left": in_characters(rows.left, LEFT_STEP),
        **loadings,
        **means,
    }


def _shared(points: FloatArray, weights: FloatArray) -> FloatArray:
    return np.asarray(weights @ kernel(points, points) @ weights)


def _digits(numbers: FloatArray | float) -> Any:
    """Cut to eight significant digits: more than single precision."""
    return np.vectorize(lambda value: float(f"{value:.8g}"), otypes=[float])(numbers).tolist()
