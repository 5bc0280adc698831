"""Tasks that stand by themselves, and how they are run: one by one, unless whoever calls has something quicker."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

T = TypeVar("T")


class Runs(Protocol):
    """Runs tasks that do not look at each other; what each returns, in the order of the tasks."""

    def __call__(self, tasks: Sequence[Callable[[], T]], /) -> list[T]:
        """Run them all."""


def one_by_one(tasks: Sequence[Callable[[], T]]) -> list[T]:
    """Run tasks here, one after the other."""
    return [task() for task in tasks]
