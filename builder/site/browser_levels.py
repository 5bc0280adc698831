"""The levels and limits that the scripts compute with, as a module for the browser, so that none has one of its own."""

from __future__ import annotations

from builder.fit import levels
from builder.fit.compare import contrasts, pooling
from builder.site.published import PublishedFile, compact_json

ADDRESS = "assets/scripts/words/levels.js"

LEVELS: dict[str, float] = {
    "pass_level": levels.PASS_LEVEL,
    "shown_level": levels.SHOWN_LEVEL,
    "predicted_level": levels.PREDICTED_LEVEL,
    "likely_level": levels.LIKELY_LEVEL,
    "clear_level": levels.CLEAR_LEVEL,
    "beyond_shown": levels.beyond(levels.SHOWN_LEVEL),
    "beyond_likely": levels.beyond(levels.LIKELY_LEVEL),
    "beyond_clear": levels.beyond(levels.CLEAR_LEVEL),
    "alike_ratio": levels.ALIKE_RATIO,
    "doubling": levels.DOUBLING,
    "wanted_power": levels.WANTED_POWER,
    "most_added_donnings": levels.MOST_ADDED_DONNINGS,
    "few_faces": levels.FEW_FACES,
    "face_sd": contrasts.FACE_SD,
    "face_df": contrasts.FACE_DF,
    "tau_scale": pooling.TAU_SCALE,
    "mean_sd": pooling.MEAN_SD,
    "grid_points": pooling.GRID_POINTS,
    "grid_end": pooling.GRID_END,
}
"""By the names that the scripts read them by; `site_src/types/levels.d.ts` lists the same."""


def browser_levels() -> PublishedFile:
    """Give the module."""
    return PublishedFile(ADDRESS, f"export const LEVELS = Object.freeze({compact_json(LEVELS)});\n")
