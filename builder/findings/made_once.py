"""Figures made once for a dataset, whoever asks for them again: pages in another language, or another kind of page."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

from builder.findings.dataset import Dataset

P = ParamSpec("P")
T = TypeVar("T")


def made_once(make: Callable[Concatenate[Dataset, P], T]) -> Callable[Concatenate[Dataset, P], T]:
    """Keep what a function makes of a dataset and hashable arguments, for as long as the dataset is there.

    What holds words is asked for by their language.
    """
    made: WeakKeyDictionary[Dataset, dict[Hashable, T]] = WeakKeyDictionary()

    @wraps(make)
    def known(data: Dataset, /, *args: P.args, **named: P.kwargs) -> T:
        own, asked = made.setdefault(data, {}), (args, *named.items())
        if asked not in own:
            own[asked] = make(data, *args, **named)
        return own[asked]

    return known
