"""The levels and limits that the scripts compute and speak with, as the data files bring them."""

from __future__ import annotations

from builder.fit import levels
from builder.fit.compare import contrasts, pooling

CONSTANTS: dict[str, float] = {
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
"""By the names that `constant(…)` in common/constants.js asks for."""
