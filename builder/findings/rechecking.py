"""The face model's own check, made beside a site that is served already."""

from __future__ import annotations

import tempfile
import threading
from dataclasses import dataclass, field
from pathlib import Path

import pandas as pd

from builder.findings.forecast import forecast


def _signal_file() -> Path:
    folder = tempfile.TemporaryDirectory(prefix="sealbook-")
    _FOLDERS.append(folder)
    signal = Path(folder.name) / "checked"
    signal.write_text("")
    return signal


_FOLDERS: list[tempfile.TemporaryDirectory[str]] = []
"""Kept until the program ends, which removes them."""


@dataclass
class Recheck:
    """Checks one table at a time, and says by a change of the file `signal` that a check is done."""

    signal: Path = field(default_factory=_signal_file)
    _thread: threading.Thread | None = None
    _done: int = 0

    def start(self, table: pd.DataFrame) -> None:
        """Check a table unless another check is still running; the build after that one asks again."""
        if self._thread is None or not self._thread.is_alive():
            self._thread = threading.Thread(target=self._check, args=(table,), daemon=True)
            self._thread.start()

    def wait(self) -> None:
        """Wait until a running check is done."""
        if self._thread is not None:
            self._thread.join()

    def _check(self, table: pd.DataFrame) -> None:
        forecast(table)
        self._done += 1
        self.signal.write_text(str(self._done))
