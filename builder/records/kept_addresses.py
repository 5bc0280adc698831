"""The list of what is not where it was: taken out, under another name, or withdrawn. Its addresses stay."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from builder.records.value_types import EntryId, EntryTable, Id, OneLine, TestId


class Removal(EntryTable):
    """A test, or a mask with all its tests, that was published once and taken out since."""

    test: Annotated[TestId | None, Field(description="Id of the test: its path below tests/, without .toml.")] = None
    mask: Annotated[Id | None, Field(description="Or id of a mask that was taken out.")] = None
    date: Annotated[dt.date, Field(description="Day it was taken out.")]
    reason: Annotated[OneLine, Field(description="Why. Old links to it end at this sentence.")]

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        if (self.test is None) == (self.mask is None):
            raise PydanticCustomError("removal", "a line says which test or which mask was taken out, one of the two")
        return self


class Renaming(EntryTable):
    """A mask, part or test that had another name. A mask that was split has one name now for each of its sizes."""

    mask: Annotated[Id | None, Field(description="Id that a mask had.")] = None
    part: Annotated[Id | None, Field(description="Or id that a part had.")] = None
    test: Annotated[TestId | None, Field(description="Or id that a test had.")] = None
    to: Annotated[
        tuple[EntryId, ...],
        Field(strict=False, min_length=1, max_length=20, description="Its id now; several where a mask was split."),
    ]
    date: Annotated[dt.date, Field(description="Day it was renamed.")]

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        if sum(name is not None for name in (self.mask, self.part, self.test)) != 1:
            raise PydanticCustomError("renaming", "a line says which mask, part or test was renamed, one of them")
        return self

    @property
    def kind(self) -> str:
        """What was renamed: "mask", "part" or "test"."""
        return "mask" if self.mask else "part" if self.part else "test"

    @property
    def old(self) -> str:
        """The id it had."""
        return self.mask or self.part or self.test or ""


class Withdrawal(EntryTable):
    """How many tests of a mask were withdrawn by the people concerned, who are not named."""

    mask: Annotated[Id, Field(description="Id of the mask.")]
    tests: Annotated[int, Field(ge=1, le=100_000, description="How many of its tests.")]
    date: Annotated[dt.date, Field(description="Day they were withdrawn.")]
    reason: Annotated[OneLine, Field(description="Why, without naming anybody.")]


class Removed(EntryTable):
    """What was taken out, renamed or withdrawn, so that its addresses stay: each links on, or to the reason."""

    removed: Annotated[
        tuple[Removal, ...], Field(strict=False, max_length=20_000, description="One table for each test or mask.")
    ] = ()
    renamed: Annotated[
        tuple[Renaming, ...], Field(strict=False, max_length=20_000, description="One table for each old name.")
    ] = ()
    withdrawn: Annotated[
        tuple[Withdrawal, ...],
        Field(strict=False, max_length=20_000, description="One table for each mask whose tests were withdrawn."),
    ] = ()
