"""Logs of an evening: the short protocol with a fit factor that is known."""

from __future__ import annotations

EXERCISES = ("bending-over", "talking", "head-side-to-side", "head-up-and-down")
OUTSIDE = 6000


def log(fit_factor: float) -> str:
    """A row a second: room air, four exercises, room air, with the fit factor in every exercise."""
    rows, second = ["seconds,phase,exercise,particles"], 0
    inside = OUTSIDE / fit_factor
    stretches = [("ambient", "", 20), *(("mask", exercise, 30) for exercise in EXERCISES), ("ambient", "", 20)]
    for phase, exercise, seconds in stretches:
        counted = 0
        for row in range(seconds):
            second += 1
            # Room air varies a little, as it does; in the mask the sum over the stretch is what it should be.
            wanted = round(inside * (row + 1)) if phase == "mask" else OUTSIDE * (row + 1) + (-1) ** row * 30
            rows.append(f"{second},{phase},{exercise},{wanted - counted}")
            counted = wanted
    return "\n".join(rows) + "\n"
