"""Invented databases drawn from the model itself, or from a truth that it gets wrong."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import pandas as pd
from scipy.special import ndtr

from builder.fit.arrays import FloatArray, IntArray
from builder.fit.compare.methods import METHOD, Method
from builder.fit.facemodel.kernel import FaceDescription, embed
from builder.fit.facemodel.reference import REFERENCE
from builder.fit.facemodel.scales import Scales
from builder.fit.panel import CELLS, NOSE_BRIDGES, cells_of, population_shares, standardise

PARTS = ("head-straps", "knotted-loops", "soft-wire", "stiff-wire", "foam-strip", "cord-brace", "no-nose-foam")


@dataclass(frozen=True)
class World:
    """What is true in an invented database. `ceiling` is the highest fit factor that can be read."""

    wearers: int = 10
    masks: int = 8
    configurations: int = 30
    tests: int = 160
    scales: Scales = field(default_factory=Scales)
    mean: float = 4.0
    heavy_tails: bool = False
    ceiling: float = np.inf
    size_mismatch: bool = False
    cell_only_share: float = 0.0
    bridge_known_share: float = 1.0
    masks_alike: bool = False
    """Whether nothing that masks or parts differ by is true."""
    parts_by_bridge: float = 0.0
    """How much more a part does on a high nose bridge than on a medium one, ln SD over parts."""
    mixed_methods: bool = False
    """Whether wearers use methods of their own, and now and then another."""


@dataclass(frozen=True)
class Invented:
    """A table, and the true share of the panel's population that one donning of each configuration fits.

    The shares hold for worlds that are as modelled. `level` is what each configuration does on anyone, in ln, `smooth`
    what each feature of a face adds to it, `by_bridge` what a high nose bridge does, `mask` its mask's number.
    """

    table: pd.DataFrame
    passing: "pd.Series[float]"
    world: World
    level: FloatArray
    smooth: FloatArray
    by_bridge: FloatArray
    mask: IntArray
    wanted: FloatArray
    """The standardised face length that suits each mask, where size must suit."""
    methods: FloatArray
    """What each of `METHODS` adds to ln fit factor beside the first, the reference."""

    def expected(self, faces: Sequence[FaceDescription]) -> FloatArray:
        """What each configuration does on average on people with these measured faces, ln, (faces, configurations)."""
        embedded = [embed(face) for face in faces]
        features = np.stack([one.features for one in embedded])
        mean = self.level + features @ self.smooth + np.outer([one.bridge for one in embedded], self.by_bridge)
        return mean + _suits(faces, self.wanted)[:, self.mask] if self.world.size_mismatch else mean

    def own_terms(self, people: int, rng: np.random.Generator) -> FloatArray:
        """What is a person's own in each configuration, (people, configurations)."""
        scales, masks = self.world.scales, (people, self.world.masks)
        of_mask = rng.standard_t(3, masks) if self.world.heavy_tails else rng.standard_normal(masks)
        return np.asarray(
            scales.wearer * rng.standard_normal((people, 1))
            + scales.wearer_mask * of_mask[:, self.mask]
            + scales.wearer_configuration * rng.standard_normal((people, len(self.mask)))
        )

    def chances(self, face: FaceDescription, rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
        """The true chance of each configuration: over people with such a face, and that of one of them."""
        scales, mean = self.world.scales, self.level + embed(face).features @ self.smooth - np.log(100)
        own = (
            scales.wearer * rng.standard_normal()
            + scales.wearer_mask * rng.standard_normal(self.world.masks)[self.mask]
            + scales.wearer_configuration * rng.standard_normal(len(mean))
        )
        return np.asarray(ndtr(mean / _one_donning(scales))), np.asarray(ndtr((mean + own) / scales.redonning))


def flat_faces(world: World) -> World:
    """The same world, but faces tell nothing."""
    return replace(world, scales=replace(world.scales, face=1e-3, face_style=1e-3, face_mask=1e-3))


def simulate(world: World, seed: int) -> pd.DataFrame:
    """A tidy table, sorted by test, with the columns that the face model reads."""
    return invent(world, seed).table


def invent(world: World, seed: int) -> Invented:
    """An invented database with what is true in it."""
    rng = np.random.default_rng(seed)
    scales = world.scales
    catalogue = _catalogue(world, rng)
    mask, style = pd.factorize(catalogue["mask"])[0], pd.factorize(catalogue["style"])[0]
    styles = int(style.max()) + 1
    faces = faces_of(world, rng)
    phi = np.stack([embed(face).features for face in faces])
    width = phi.shape[1]

    parts = np.array([[part in names.split("+") for part in PARTS] for names in catalogue["parts"]])
    effect = (
        (scales.style * rng.standard_normal(styles))[style]
        + (scales.mask * rng.standard_normal(world.masks))[mask]
        + scales.configuration * rng.standard_normal(len(catalogue))
        + parts @ (scales.hack * rng.standard_normal(len(PARTS)) * 0.7 + 0.3)
    )
    if world.masks_alike:
        effect = 0.0 * effect
    shape = (world.wearers, world.masks)
    draw = rng.standard_t(3, shape) if world.heavy_tails else rng.standard_normal(shape)
    smooth = (
        scales.face * rng.standard_normal((width, 1))
        + scales.face_style * rng.standard_normal((width, styles))[:, style]
        + scales.face_mask * rng.standard_normal((width, world.masks))[:, mask]
    )
    smooth *= not world.masks_alike
    surface = phi @ smooth
    wanted = np.zeros(world.masks)
    if world.size_mismatch:
        wanted = rng.normal(0, 1, world.masks)
        surface = surface + _suits(faces, wanted)[:, mask]

    by_bridge = parts @ (world.parts_by_bridge * np.random.default_rng([seed, 2]).standard_normal(len(PARTS)))
    surface = surface + np.outer([embed(face).bridge for face in faces], by_bridge)

    wearer, configuration = _pairs(world, len(catalogue), rng)
    own = scales.wearer * rng.standard_normal(world.wearers)
    cells, cell = np.unique(wearer * len(catalogue) + configuration, return_inverse=True)
    noise = rng.standard_t(3, world.tests) if world.heavy_tails else rng.standard_normal(world.tests)
    method, adds = _methods(world, wearer, np.random.default_rng([seed, 1]))
    reading = (
        world.mean
        + effect[configuration]
        + surface[wearer, configuration]
        + own[wearer]
        + scales.wearer_mask * draw[wearer, mask[configuration]]
        + scales.wearer_configuration * rng.standard_normal(len(cells))[cell]
        + scales.redonning * noise
        + adds[method]
    )
    table = _table(
        world,
        catalogue,
        faces,
        rng,
        wearer=wearer,
        configuration=configuration,
        fit_factor=np.exp(reading),
        method=[METHODS[number] for number in method],
    )
    people, weights = _population()
    level = world.mean + effect
    passing = weights @ ndtr((level + people @ smooth - np.log(100)) / _one_donning(scales))
    return Invented(
        table=table,
        passing=pd.Series(passing, index=catalogue["configuration"]),
        world=world,
        level=level,
        smooth=smooth,
        by_bridge=by_bridge,
        mask=mask,
        wanted=wanted,
        methods=adds,
    )


def _suits(faces: Sequence[FaceDescription], wanted: FloatArray) -> FloatArray:
    """What a mask's size adds on each face: most where the face has the length that it wants, (faces, masks)."""
    place = np.array([standardise(face.length_mm or 0.0, face.width_mm or 0.0)[0] for face in faces])
    return np.asarray(1.0 - 0.8 * (place[:, None] - wanted) ** 2)


def _one_donning(scales: Scales) -> float:
    """The ln SD of one donning of somebody with a given face."""
    return float(np.linalg.norm([scales.wearer, scales.wearer_mask, scales.wearer_configuration, scales.redonning]))


def _population() -> tuple[FloatArray, FloatArray]:
    """Features of faces spread evenly over the panel's cells, and their weights."""
    shares, steps = population_shares(), (np.arange(4) + 0.5) / 4
    faces = [
        (FaceDescription(float(length), float(width), nose_bridge=bridge), shares[cell.name] / 48)
        for cell in CELLS
        for length in cell.length_low + steps * (cell.length_high - cell.length_low)
        for width in cell.width_low + steps * (cell.width_high - cell.width_low)
        for bridge in NOSE_BRIDGES
    ]
    return np.stack([embed(face).features for face, _ in faces]), np.array([weight for _, weight in faces])


def _catalogue(world: World, rng: np.random.Generator) -> pd.DataFrame:
    mask = np.arange(world.configurations) % world.masks
    rank = np.arange(world.configurations) // world.masks
    names = [f"mask-{number:04d}" for number in mask]
    parts = ["" if r == 0 else _part_list(int(r), int(m)) for r, m in zip(rank, mask, strict=True)]
    return pd.DataFrame(
        {
            "configuration": [f"{name}+{part}" if part else name for name, part in zip(names, parts, strict=True)],
            "mask": names,
            "style": np.array(["cup", "duckbill", "flat-fold", "trifold"], dtype=object)[mask % 4],
            "parts": parts,
        }
    )


def _part_list(rank: int, mask: int) -> str:
    """The rank-th non-empty set of parts, starting elsewhere for each mask."""
    bits = (rank + 5 * mask) % (2 ** len(PARTS) - 1) + 1
    return "+".join(part for number, part in enumerate(PARTS) if bits >> number & 1)


def faces_of(world: World, rng: np.random.Generator) -> list[FaceDescription]:
    """Faces of as many people as the world has wearers: ANSUR II, men and women."""
    man = rng.random(world.wearers) < 0.5
    length = np.where(man, rng.normal(122.6, 6.7, world.wearers), rng.normal(113.1, 6.1, world.wearers)).round()
    width = np.where(man, rng.normal(142.6, 6.2, world.wearers), rng.normal(133.8, 5.6, world.wearers)).round()
    bridge = rng.choice(["low", "medium", "high"], world.wearers)
    return [
        FaceDescription(float(a), float(b), nose_bridge=str(c)) for a, b, c in zip(length, width, bridge, strict=True)
    ]


def _pairs(world: World, count: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Everyone tests some configurations, a fifth of them again."""
    wearer = np.sort(rng.integers(0, world.wearers, world.tests))
    wearer[: world.wearers] = np.arange(world.wearers)
    configuration = rng.integers(0, count, world.tests)
    again = np.flatnonzero(rng.random(world.tests) < 0.2)
    again = again[again >= world.wearers]
    source = rng.integers(0, again)
    wearer[again], configuration[again] = wearer[source], configuration[source]
    return wearer, configuration


METHODS = (
    REFERENCE,
    Method("short-four-exercise", "condensation-counter", "all-sizes"),
    Method("one-exercise", "optical-counter", "all-sizes"),
    Method("one-exercise", "condensation-counter", "narrow-band"),
)


def _methods(world: World, wearer: np.ndarray, rng: np.random.Generator) -> tuple[IntArray, FloatArray]:
    """The number of each test's method, and what each method adds to ln fit factor beside the reference."""
    if not world.mixed_methods:
        return np.zeros(len(wearer), dtype=np.intp), np.zeros(len(METHODS))
    sds = dict(
        zip(
            METHOD,
            np.sqrt(0.5) * np.array([world.scales.protocol, world.scales.instrument, world.scales.size_selection]),
            strict=True,
        )
    )
    levels = sorted({(name, getattr(method, name)) for method in METHODS for name in METHOD})
    adds = {level: sds[level[0]] * rng.standard_normal() for level in levels}
    totals = np.array([sum(adds[name, getattr(method, name)] for name in METHOD) for method in METHODS])
    usual = rng.integers(0, len(METHODS), world.wearers)[wearer]
    number = np.where(rng.random(len(wearer)) < 0.25, rng.integers(0, len(METHODS), len(wearer)), usual)
    return number.astype(np.intp), totals - totals[0]


def _table(
    world: World,
    catalogue: pd.DataFrame,
    faces: list[FaceDescription],
    rng: np.random.Generator,
    *,
    wearer: np.ndarray,
    configuration: np.ndarray,
    fit_factor: FloatArray,
    method: list[Method],
) -> pd.DataFrame:
    hidden = rng.random(world.wearers) < world.cell_only_share
    bridge_known = rng.random(world.wearers) < world.bridge_known_share
    length = np.array([face.length_mm or np.nan for face in faces])
    width = np.array([face.width_mm or np.nan for face in faces])
    table = catalogue.iloc[configuration].reset_index(drop=True)
    table["wearer"] = [f"wearer-{number:04d}" for number in wearer]
    table["face_length_mm"] = np.where(hidden, np.nan, length)[wearer]
    table["face_width_mm"] = np.where(hidden, np.nan, width)[wearer]
    table["cell"] = cells_of(length, width).astype(object)[wearer]
    table["nose_bridge"] = np.where(bridge_known, [face.nose_bridge for face in faces], "unknown")[wearer]
    table["fit_factor"] = np.minimum(fit_factor, world.ceiling)
    table["at_least"] = fit_factor >= world.ceiling
    table["counting_sd"] = 0.0
    for name in METHOD:
        table[name] = np.array([getattr(one, name) for one in method], dtype=object)
    table["counted"] = True
    table["test"] = [
        f"{m}/2026-01-01-{w}-{i}" for i, (m, w) in enumerate(zip(table["mask"], table["wearer"], strict=True))
    ]
    return table.sort_values("test", ignore_index=True)
