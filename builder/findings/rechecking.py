"""The face model's own check and the effects of parts, made beside a site that is served already."""

from __future__ import annotations

import tempfile
import threading
from dataclasses import dataclass, field
from pathlib import Path

from builder.findings.dataset import Dataset


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
    """Works out one dataset at a time, and says by a change of the file `signal` that a check is done."""

    signal: Path = field(default_factory=_signal_file)
    _thread: threading.Thread | None = None
    _done: int = 0

    def start(self, data: Dataset) -> None:
        """Work out a dataset unless another is still being worked out; the build after that one asks again."""
        if self._thread is None or not self._thread.is_alive():
            self._thread = threading.Thread(target=self._check, args=(data,), daemon=True)
            self._thread.start()

    def wait(self) -> None:
        """Wait until a running check is done."""
        if self._thread is not None:
            self._thread.join()

    def _check(self, data: Dataset) -> None:
        data.work_out()
        self._done += 1
        self.signal.write_text(str(self._done))
