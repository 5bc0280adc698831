"""Logs of runs, made for tests."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

HEADER = "seconds,phase,exercise,particles"
SHORT = ("bending-over", "talking", "head-side-to-side", "head-up-and-down")

Part = tuple[int, str, str, int]
"""Seconds, phase, exercise, particles a second."""


def text_of(parts: Iterable[Part], begin: int = 0) -> str:
    """Write a log with a row a second. Room air varies by some particles, and has the stated count in all."""
    rows, second = [HEADER], begin
    for seconds, phase, exercise, particles in parts:
        for row in range(seconds):
            second += 1
            varied = phase == "ambient" and particles >= 100 and row < seconds // 2 * 2
            more = varied * (-1) ** row * (row // 2 % 5 + 1)
            rows.append(f"{second},{phase},{exercise},{particles + more}")
    return "\n".join(rows) + "\n"


def short_run(in_mask: Iterable[int] = (20, 10, 5, 5), ambient: int = 1000) -> str:
    """Write a run of the short protocol, with purge rows, from the particles a second of each exercise."""
    masks = [(30, "mask", exercise, particles) for exercise, particles in zip(SHORT, in_mask, strict=True)]
    air = (20, "ambient", "", ambient), (9, "ambient", "", ambient)
    return text_of([(4, "purge", "", 77), air[0], (11, "purge", "", 77), *masks, (4, "purge", "", 77), air[1]])


def write(folder: Path, text: str | bytes) -> Path:
    """Write a log to a file."""
    path = folder / "run.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path
