"""The tidy table as arrays: which coefficients of the model each test reaches.

Tests of one wearer in one configuration by one method make an arm, and all that follows works on arms, sorted by mask,
then wearer. What is a wearer's own in a configuration is taken anew for each method: people differ in what a method
reads on them, too.

The coefficients are split into one block a mask (its effect, its face features, its configurations) and the rest
that masks share (intercept, styles, parts, parts by nose bridge, methods, face features, those of each style, wearers).
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from builder.fit.arrays import BoolArray, FloatArray, IntArray
from builder.fit.compare.methods import METHOD
from builder.fit.facemodel.batches import Batch, batches_of
from builder.fit.facemodel.blocks import MaskBlock
from builder.fit.facemodel.kernel import FEATURES, MASK_FEATURES, FaceDescription, embed
from builder.fit.facemodel.reference import REFERENCE, MethodLevel, level_numbers, levels_of
from builder.fit.facemodel.scales import TERM


@dataclass(frozen=True)
class Catalogue:
    """Configurations (C), sorted by mask and then by id, tested or not."""

    configurations: NDArray[np.object_]
    masks: NDArray[np.object_]
    styles: NDArray[np.object_]
    hacks: NDArray[np.object_]
    mask: IntArray
    """Number of each configuration's mask, (C,)."""
    style: IntArray
    """Number of each configuration's style, (C,)."""
    parts: BoolArray
    """Which parts each configuration has, (C, hacks)."""
    levels: tuple[MethodLevel, ...]
    """Of methods: what a column of `METHOD` may hold."""

    @cached_property
    def number(self) -> "pd.Series[int]":
        """Number of each configuration, by its id."""
        return pd.Series(np.arange(len(self.configurations)), index=self.configurations)

    @cached_property
    def of_mask(self) -> list[slice]:
        """Where each mask's configurations are."""
        return _runs(self.mask, len(self.masks))

    @cached_property
    def reference(self) -> IntArray:
        """Numbers of the levels of the method that chances are stated for."""
        return np.array([self.levels.index((name, getattr(REFERENCE, name))) for name in METHOD], dtype=np.intp)


@dataclass(frozen=True)
class Columns:
    """Where the shared coefficients stand.

    Intercept, styles, parts, parts by nose bridge, levels of methods, face, face of each style, then wearers.
    """

    styles: int
    hacks: int
    levels: tuple[str, ...]
    """The column of `METHOD` of each level."""
    wearers: int

    @property
    def first_hack(self) -> int:
        """First of the parts."""
        return 1 + self.styles

    @property
    def first_bridge(self) -> int:
        """First of the parts by nose bridge."""
        return self.first_hack + self.hacks

    @property
    def first_level(self) -> int:
        """First of the levels of methods."""
        return self.first_bridge + self.hacks

    @property
    def first_face(self) -> int:
        """First of the features of the face that all masks share."""
        return self.first_level + len(self.levels)

    @property
    def face(self) -> IntArray:
        """Features of the face that all masks share."""
        return self.first_face + np.arange(FEATURES)

    def face_style(self, style: int) -> IntArray:
        """Features of the face that masks of one style share."""
        return self.face + FEATURES * (1 + style)

    @property
    def first_wearer(self) -> int:
        """First of the wearers."""
        return self.first_face + FEATURES * (1 + self.styles)

    @property
    def size(self) -> int:
        """How many there are, wearers included."""
        return self.first_wearer + self.wearers

    @property
    def terms(self) -> IntArray:
        """Number of the term that gives each column but the wearers' its scale."""
        kinds = ["intercept", "style", "hack", "hack_bridge", *self.levels, "face", "face_style"]
        each = [1, self.styles, self.hacks, self.hacks, *[1] * len(self.levels), FEATURES, FEATURES * self.styles]
        return np.repeat([TERM[kind] for kind in kinds], each)


@dataclass(frozen=True)
class Wearers:
    """Everyone with a test that counts, and their faces as features (W, FEATURES) with the variance these lack."""

    names: NDArray[np.object_]
    faces: tuple[FaceDescription, ...]
    features: FloatArray
    missing: FloatArray
    """Kernel variance missing from all features, (W,)."""
    missing_mask: FloatArray
    """Kernel variance missing from the first few, (W,)."""
    bridge: FloatArray
    """As in `Embedding`, (W,)."""


@dataclass(frozen=True)
class Design:
    """Tests, arms and coefficients of one table."""

    catalogue: Catalogue
    wearers: Wearers
    columns: Columns
    blocks: tuple[MaskBlock, ...]
    tests: NDArray[np.object_]
    reading: FloatArray
    """ln fit factor of each test, or the limit it is at least."""
    at_least: BoolArray
    counting_variance: FloatArray
    arm: IntArray
    """Arm of each test."""
    arm_wearer: IntArray
    arm_configuration: IntArray
    arm_levels: IntArray
    """Levels of each arm's method, (arms, 3)."""
    group_wearer: IntArray

    @cached_property
    def batches(self) -> tuple[Batch, ...]:
        """The same blocks, many at once."""
        return batches_of(self.blocks, self.columns.first_wearer, self.columns.size)

    @property
    def centre(self) -> float:
        """The mean reading, subtracted while solving to keep the arithmetic sharp."""
        return float(self.reading.mean())


def build_catalogue(table: pd.DataFrame, configurations: pd.DataFrame | None = None) -> Catalogue:
    """The configurations of the table and those of `configurations` (configuration, mask, style, parts) beside them."""
    names = ["configuration", "mask", "style", "parts"]
    frames = [table[names]] if configurations is None else [table[names], configurations[names]]
    known = pd.concat(frames).drop_duplicates("configuration").sort_values(["mask", "configuration"])
    mask, masks = pd.factorize(known["mask"], sort=True)
    style, styles = pd.factorize(known["style"], sort=True)
    parts = known["parts"].str.get_dummies("+")
    return Catalogue(
        configurations=known["configuration"].to_numpy(object),
        masks=np.asarray(masks, dtype=object),
        styles=np.asarray(styles, dtype=object),
        hacks=parts.columns.to_numpy(object),
        mask=mask.astype(np.intp),
        style=style.astype(np.intp),
        parts=parts.to_numpy(bool),
        levels=levels_of(table),
    )


def faces_of(table: pd.DataFrame) -> dict[str, FaceDescription]:
    """The face of each wearer, in order of their names."""
    first = table.drop_duplicates("wearer").sort_values("wearer")
    lengths, widths = first["face_length_mm"].to_numpy(float), first["face_width_mm"].to_numpy(float)
    return {
        str(wearer): FaceDescription(
            None if np.isnan(a) else float(a), None if np.isnan(b) else float(b), str(cell), str(bridge)
        )
        for wearer, a, b, cell, bridge in zip(
            first["wearer"], lengths, widths, first["cell"], first["nose_bridge"], strict=True
        )
    }


def build_design(table: pd.DataFrame, catalogue: Catalogue) -> Design:
    """Lay out the tests of `table`, all of which count, over the configurations of the catalogue."""
    wearer, _ = pd.factorize(table["wearer"], sort=True)
    wearers = _wearers(faces_of(table))
    configuration = catalogue.number.loc[table["configuration"]].to_numpy(np.intp)
    mask = catalogue.mask[configuration]
    levels = level_numbers(catalogue.levels, table)
    keys, arm = np.unique(np.column_stack([mask, wearer, configuration, levels]), axis=0, return_inverse=True)
    arm_mask, arm_wearer, arm_configuration = keys[:, :3].T.astype(np.intp)
    arm_levels = keys[:, 3:].astype(np.intp)
    groups_of, arm_group = np.unique(keys[:, :2], axis=0, return_inverse=True)
    group_mask, group_wearer = groups_of.T.astype(np.intp)
    masks = len(catalogue.masks)
    columns = Columns(
        len(catalogue.styles), len(catalogue.hacks), tuple(name for name, _ in catalogue.levels), len(wearers.names)
    )
    blocks = tuple(
        _block(
            columns,
            catalogue,
            number,
            arms=arms,
            groups=groups,
            wearer=arm_wearer[arms],
            configuration=arm_configuration[arms],
            group=arm_group.reshape(-1)[arms] - groups.start,
            levels=arm_levels[arms],
            phi=wearers.features[arm_wearer[arms]],
            bridge=wearers.bridge[arm_wearer[arms]],
        )
        for number, (arms, groups) in enumerate(zip(_runs(arm_mask, masks), _runs(group_mask, masks), strict=True))
    )
    return Design(
        catalogue=catalogue,
        wearers=wearers,
        columns=columns,
        blocks=blocks,
        tests=table["test"].to_numpy(object),
        # Below 1 nothing can protect less: such a reading is noise about no protection.
        reading=np.log(np.maximum(table["fit_factor"].to_numpy(float), 1.0)),
        at_least=table["at_least"].to_numpy(bool),
        counting_variance=table["counting_sd"].to_numpy(float) ** 2,
        arm=arm.reshape(-1).astype(np.intp),
        arm_wearer=arm_wearer,
        arm_configuration=arm_configuration,
        arm_levels=arm_levels,
        group_wearer=group_wearer,
    )


def _wearers(faces: dict[str, FaceDescription]) -> Wearers:
    embedded = [embed(face) for face in faces.values()]
    return Wearers(
        names=np.array(list(faces), dtype=object),
        faces=tuple(faces.values()),
        features=np.stack([e.features for e in embedded]),
        missing=np.array([e.truncated + e.spread for e in embedded]),
        missing_mask=np.array([e.truncated_mask + e.spread for e in embedded]),
        bridge=np.array([e.bridge for e in embedded]),
    )


def _runs(numbers: IntArray, count: int) -> list[slice]:
    """Where each number from 0 to `count` − 1 stands in a sorted array."""
    edges = np.searchsorted(numbers, np.arange(count + 1))
    return [slice(int(a), int(b)) for a, b in pairwise(edges)]


def _block(
    columns: Columns,
    catalogue: Catalogue,
    number: int,
    *,
    arms: slice,
    groups: slice,
    wearer: IntArray,
    configuration: IntArray,
    group: IntArray,
    levels: IntArray,
    phi: FloatArray,
    bridge: FloatArray,
) -> MaskBlock:
    """One mask's block, from the wearer, configuration, group, method and face of each of its arms."""
    ours = catalogue.of_mask[number]
    style = int(catalogue.style[ours.start])
    ones = np.ones((len(wearer), 1))
    parts = np.flatnonzero(catalogue.parts[configuration].any(axis=0))
    met = np.unique(levels)
    shared = np.concatenate(
        [
            [0, 1 + style],
            columns.first_hack + parts,
            columns.first_bridge + parts,
            columns.first_level + met,
            columns.face,
            columns.face_style(style),
        ]
    )
    own_terms = np.repeat(
        [TERM["mask"], TERM["face_mask"], TERM["configuration"]], [1, MASK_FEATURES, ours.stop - ours.start]
    )
    own_rows = [ones, phi[:, :MASK_FEATURES], np.eye(ours.stop - ours.start)[configuration - ours.start]]
    held = catalogue.parts[configuration][:, parts]
    measured = (levels[:, :, None] == met).any(axis=1)
    shared_rows = [ones, ones, held, held * bridge[:, None], measured, phi, phi]
    starts = np.flatnonzero(np.diff(group, prepend=-1))
    return MaskBlock(
        own=len(own_terms),
        shared=shared,
        terms=np.concatenate([own_terms, columns.terms[shared]]),
        arms=arms,
        groups=groups,
        rows=np.hstack([*own_rows, *shared_rows]),
        starts=starts,
        group=group,
        wearers=wearer[starts],
    )
