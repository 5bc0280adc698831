"""The model's own check as bytes, to be kept from one run to the next: nothing in it is ever run when it is read."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pandas as pd

from builder.fit.facemodel import FirstThree, Score, Validation
from builder.fit.facemodel.own_check import OwnCheck


def as_bytes(check: Validation) -> bytes:
    """Write a check; `from_bytes` reads the same, to the bit and the type."""
    return json.dumps(check, default=_plain).encode()


def _plain(value: object) -> object:
    if isinstance(value, pd.DataFrame):
        return {
            str(name): [str(column.dtype), column.astype(object).where(column.notna(), None).tolist()]
            for name, column in value.items()
        }
    if isinstance(value, np.generic):
        return value.item()
    return vars(value)


def from_bytes(content: bytes) -> Validation:
    """Read what `as_bytes` wrote."""
    said = json.loads(content)
    for name in ("model", "configuration_mean", "overall_share"):
        said[name] = Score(**said[name])
    return Validation(
        **{
            **said,
            "reliability": _frame(said["reliability"]),
            "tests": _frame(said["tests"]),
            "first_three": FirstThree(**said["first_three"]),
            "own_results": tuple(_own_check(**own) for own in said["own_results"]),
        }
    )


def _own_check(model: dict[str, float], shifted_mean: dict[str, float], **figures: Any) -> OwnCheck:
    return OwnCheck(model=Score(**model), shifted_mean=Score(**shifted_mean), **figures)


def _frame(columns: dict[str, tuple[str, list[Any]]]) -> pd.DataFrame:
    return pd.DataFrame({name: pd.Series(values, dtype=dtype) for name, (dtype, values) in columns.items()})
