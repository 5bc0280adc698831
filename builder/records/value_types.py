"""Kinds of values that entries hold, and the table that all of them are made of."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
# Tabs and line ends aside, no control characters; no marks that turn the direction of the text around them.
TEXT_PATTERN = r"^[^\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]*$"
TEST_ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*/[0-9]{4}-[0-9]{2}-[0-9]{2}-[a-z0-9]+(-[a-z0-9]+)*-[1-9][0-9]*$"
ENTRY_ID_PATTERN = f"{ID_PATTERN}|{TEST_ID_PATTERN}"
URL_PATTERN = r"^https?://[^\s<>\"'`\\{}|^]+$"

PICTURE_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*\.(jpg|png|webp)$"

Id = Annotated[str, StringConstraints(pattern=ID_PATTERN, min_length=2, max_length=60)]
SpecimenLabel = Annotated[str, StringConstraints(pattern=ID_PATTERN, min_length=1, max_length=40)]
TestId = Annotated[str, StringConstraints(pattern=TEST_ID_PATTERN, max_length=150)]
EntryId = Annotated[str, StringConstraints(pattern=ENTRY_ID_PATTERN, min_length=2, max_length=150)]
OneLine = Annotated[str, StringConstraints(pattern=TEXT_PATTERN, min_length=1, max_length=200, strip_whitespace=True)]
ShortLine = Annotated[str, StringConstraints(pattern=TEXT_PATTERN, min_length=1, max_length=40, strip_whitespace=True)]
Prose = Annotated[str, StringConstraints(pattern=TEXT_PATTERN, min_length=1, max_length=2000, strip_whitespace=True)]
PictureName = Annotated[str, StringConstraints(pattern=PICTURE_PATTERN, max_length=120)]
WebAddress = Annotated[str, StringConstraints(pattern=URL_PATTERN, max_length=500)]
Millimetres = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)]
Seconds = Annotated[float, Field(gt=0, le=86_400, allow_inf_nan=False)]
FitFactor = Annotated[float, Field(ge=1, le=1e7, allow_inf_nan=False)]


class EntryTable(BaseModel):
    """A TOML table: unknown keys are refused and types are not guessed ("117" is no number)."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


def word_key(title: str) -> object:
    # A word is written as a plain string; strict mode would ask for the enum itself.
    return Field(strict=False, description=title)
