"""Work shared out over the processors: each process is a copy of this one as it is, and gives back what it made."""

from __future__ import annotations

import os
import signal
import sys
import warnings
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from builder.fit.shared_work import one_by_one

T = TypeVar("T")

_END_WITH_PARENT = 1
"""PR_SET_PDEATHSIG of prctl(2): the signal that a process gets when the one it was copied from ends."""

_shared: Sequence[Callable[[], Any]] = ()
"""What the copies work on: they find it here, so that nothing has to be sent to them but a number."""


def side_by_side(tasks: Sequence[Callable[[], T]]) -> list[T]:
    """Run tasks in as many processes as there are processors; what each returns, in the order of the tasks.

    A task may use all that is known here, and what it changes is known to nobody. What it returns is pickled, what it
    raises is raised here. They are run here, one by one, where there is one processor, where no process can be copied,
    and where a copy was ended from outside, as it is for want of memory.
    """
    global _shared  # noqa: PLW0603
    processes = min(len(tasks), _processors())
    # macOS can copy a process, but its own libraries may then hang in the copy.
    if processes < 2 or sys.platform != "linux":
        return one_by_one(tasks)
    # Half of what a verb loads that shares nothing out.
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    _shared = tasks
    try:
        with warnings.catch_warnings():
            # Python warns of threads that the copy has not: those of the linear algebra, which begins them anew.
            warnings.simplefilter("ignore", DeprecationWarning)
            with ProcessPoolExecutor(processes, get_context("fork"), _begin, (os.getpid(),)) as pool:
                return list(pool.map(_run, range(len(tasks))))
    except (BrokenProcessPool, ImportError, NotImplementedError, OSError):
        # One of a task is raised again here.
        return one_by_one(tasks)
    finally:
        _shared = ()


def _begin(parent: int) -> None:
    """Have a copy end with the process that it is of, whatever ends that."""
    import ctypes

    ctypes.CDLL(None).prctl(_END_WITH_PARENT, signal.SIGKILL)
    if os.getppid() != parent:
        os._exit(1)


def _run(number: int) -> Any:
    return _shared[number]()


def _processors() -> int:
    """Give the processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
