"""Faces as features: a smooth function of the face becomes a short sum of Karhunen–Loève functions.

The kernel is squared-exponential in standardised face length, face width and nose bridge. Its leading eigenfunctions
are found on a lattice weighted like a population (Nyström's method; Rasmussen & Williams, Gaussian Processes for
Machine Learning, 2006, §4.3.2). A Gaussian-process value is then φ(x)·γ with independent normal γ, and φ(x)·φ(x′)
stands in for k(x, x′).

Eigenvalues come in groups that are equal by symmetry, and the functions of one group are only defined together.
So φ is not unique but φ·φ′ is, as long as whole groups are kept.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.panel import CELLS, NOSE_BRIDGES, Cell, population_shares, standardise

# 10 mm on the standardised scale. Scores change by less than 0.03 in log score between 0.8 and 2.
LENGTH_SCALE = 1.25
# Whole groups of eigenvalues of the product kernel: 13 = 1 + 2 + 1 + 3 + 2 + 4 and 7 = 1 + 2 + 1 + 3.
FEATURES = 13
MASK_FEATURES = 7

_AXIS = np.linspace(-2.8, 2.8, 9)
_PLANE = np.stack(np.meshgrid(_AXIS, _AXIS, indexing="ij"), axis=-1).reshape(-1, 2)
_BRIDGE_PLACES = np.array([-0.6, 0.0, 0.6])
# Standard deviation of faces on the lattice, a little wider than the population so that its edges are kept.
_LATTICE_SD = 1.1
_CELL_POINTS = 4


@dataclass(frozen=True)
class FaceDescription:
    """What is known of a face. Millimetres beat the panel cell; with neither it is a face of the panel's population.

    `cell` is "1" to "10"; any other word tells nothing. `nose_bridge` is "low", "medium", "high" or "unknown".
    """

    length_mm: float | None = None
    width_mm: float | None = None
    cell: str = "unknown"
    nose_bridge: str = "unknown"

    @property
    def measured(self) -> bool:
        """Whether both measures are there."""
        return self.length_mm is not None and self.width_mm is not None


@dataclass(frozen=True)
class EigenMap:
    """Karhunen–Loève functions of the kernel on given nodes (n, d), in falling order of eigenvalue."""

    nodes: FloatArray
    eigenvalues: FloatArray
    coefficients: FloatArray

    def __call__(self, points: FloatArray) -> FloatArray:
        """φ at points (m, d), as (m, n)."""
        return kernel(points, self.nodes) @ self.coefficients


@dataclass(frozen=True)
class Embedding:
    """A face, or a spread of faces, as the mean of its features.

    `truncated` and `truncated_mask` are the kernel variance that the kept features lose, for all of them and for the
    first few which each mask has. `spread` is the variance between faces that fit the description, 0 for one point.
    """

    features: FloatArray
    truncated: float
    truncated_mask: float
    spread: float
    bridge: float
    """Nose bridge for what parts do: −1 low, 0 medium, 1 high; 0 where it is not known."""


def kernel(a: FloatArray, b: FloatArray) -> FloatArray:
    """The squared-exponential kernel between points (m, d) and (n, d), as (m, n)."""
    squared = ((a[:, None, :] - b[None, :, :]) ** 2).sum(axis=2)
    return np.asarray(np.exp(-0.5 * squared / LENGTH_SCALE**2))


@cache
def plane_map() -> EigenMap:
    """The map of face length and width."""
    return _eigen_map(_PLANE)


@cache
def bridge_map() -> EigenMap:
    """The map of the nose bridge."""
    return _eigen_map(_BRIDGE_PLACES[:, None])


def feature_pairs(count: int = FEATURES) -> tuple[IntArray, IntArray]:
    """For each function of the product kernel the one in the plane and the one of the bridge that it multiplies."""
    products = plane_map().eigenvalues[:, None] * bridge_map().eigenvalues
    order = np.argsort(-products, axis=None, kind="stable")[:count]
    i, j = np.unravel_index(order, products.shape)
    return np.asarray(i, dtype=np.intp), np.asarray(j, dtype=np.intp)


def features(points: FloatArray, count: int = FEATURES) -> FloatArray:
    """The first `count` functions of the product kernel at points (m, 3), as (m, count)."""
    i, j = feature_pairs(count)
    return plane_map()(points[:, :2])[:, i] * bridge_map()(points[:, 2:])[:, j]


@cache
def embed(face: FaceDescription) -> Embedding:
    """The features of a face, averaged over what is not known of it."""
    bridges = bridge_places(face)
    plane, plane_weights = places(face)
    points = np.column_stack([np.repeat(plane, len(bridges), axis=0), np.tile(bridges, len(plane))])
    weights = np.repeat(plane_weights, len(bridges)) / len(bridges)
    mean = weights @ features(points)
    shared = float(weights @ kernel(points, points) @ weights)
    return Embedding(
        mean,
        truncated=max(0.0, shared - float(mean @ mean)),
        truncated_mask=max(0.0, shared - float(mean[:MASK_FEATURES] @ mean[:MASK_FEATURES])),
        spread=max(0.0, 1 - shared),
        bridge=float(NOSE_BRIDGES.index(face.nose_bridge) - 1) if face.nose_bridge in NOSE_BRIDGES else 0.0,
    )


@cache
def population_features() -> tuple[FloatArray, FloatArray]:
    """Features (n, FEATURES) of faces spread over the panel's population, and the weight of each."""
    plane, weights = places(FaceDescription())
    bridges = len(_BRIDGE_PLACES)
    points = np.column_stack([np.repeat(plane, bridges, axis=0), np.tile(_BRIDGE_PLACES, len(plane))])
    return features(points), np.repeat(weights, bridges) / bridges


def place_mm(face: FaceDescription) -> tuple[float, float]:
    """Length and width in mm: as measured, the middle of the cell, or NaN where neither is known."""
    if face.length_mm is not None and face.width_mm is not None:
        return face.length_mm, face.width_mm
    for cell in CELLS:
        if cell.name == face.cell:
            return (cell.length_low + cell.length_high) / 2, (cell.width_low + cell.width_high) / 2
    return np.nan, np.nan


def _eigen_map(nodes: FloatArray) -> EigenMap:
    weights = np.exp(-0.5 * (nodes**2).sum(axis=1) / _LATTICE_SD**2)
    root = np.sqrt(weights / weights.sum())
    values, vectors = np.linalg.eigh(root[:, None] * kernel(nodes, nodes) * root)
    # The smallest eigenvalues are rounding noise; they are never used, but must not divide by zero.
    values = np.maximum(values[::-1], 1e-15)
    return EigenMap(nodes, values, root[:, None] * vectors[:, ::-1] / np.sqrt(values))


def bridge_places(face: FaceDescription) -> FloatArray:
    """Places on the axis of the nose bridge that the description allows, all as likely."""
    known = face.nose_bridge in NOSE_BRIDGES
    return _BRIDGE_PLACES[[NOSE_BRIDGES.index(face.nose_bridge)]] if known else _BRIDGE_PLACES


def places(face: FaceDescription) -> tuple[FloatArray, FloatArray]:
    """Standardised places in the plane of length and width that the description allows, and their weights."""
    if face.length_mm is not None and face.width_mm is not None:
        return np.array([standardise(face.length_mm, face.width_mm)]), np.ones(1)
    shares = population_shares()
    cells = [cell for cell in CELLS if cell.name == face.cell] or list(CELLS)
    total = sum(shares[cell.name] for cell in cells)
    weights = np.repeat([shares[cell.name] / total / _CELL_POINTS**2 for cell in cells], _CELL_POINTS**2)
    return np.concatenate([_lattice(cell) for cell in cells]), weights


def _lattice(cell: Cell) -> FloatArray:
    steps = (np.arange(_CELL_POINTS) + 0.5) / _CELL_POINTS
    length = cell.length_low + steps * (cell.length_high - cell.length_low)
    width = cell.width_low + steps * (cell.width_high - cell.width_low)
    return np.column_stack(standardise(np.repeat(length, _CELL_POINTS), np.tile(width, _CELL_POINTS)))
