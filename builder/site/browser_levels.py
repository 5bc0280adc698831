"""The levels and limits that the scripts compute with, as a module for the browser, so that none has one of its own."""

from __future__ import annotations

from builder.fit import levels
from builder.fit.compare import contrasts, interactions, limited_pooling, limits, pooling, two_configurations
from builder.fit.plan import one_more
from builder.site import addresses
from builder.site.published import PublishedFile, compact_json

ADDRESS = "assets/scripts/words/levels.js"

LEVELS: dict[str, float] = {
    "pass_level": levels.PASS_LEVEL,
    "least_told": levels.LEAST_TOLD,
    "most_told": levels.MOST_TOLD,
    "shown_level": levels.SHOWN_LEVEL,
    "predicted_level": levels.PREDICTED_LEVEL,
    "likely_level": levels.LIKELY_LEVEL,
    "clear_level": levels.CLEAR_LEVEL,
    "beyond_shown": levels.beyond(levels.SHOWN_LEVEL),
    "beyond_likely": levels.beyond(levels.LIKELY_LEVEL),
    "beyond_clear": levels.beyond(levels.CLEAR_LEVEL),
    "alike_ratio": levels.ALIKE_RATIO,
    "clear_interaction_p": levels.CLEAR_INTERACTION_P,
    "doubling": levels.DOUBLING,
    "wanted_power": levels.WANTED_POWER,
    "most_added_donnings": levels.MOST_ADDED_DONNINGS,
    "few_faces": levels.FEW_FACES,
    "near_mm": levels.NEAR_MM,
    "bridge_mm": levels.BRIDGE_MM,
    "little_known": levels.LITTLE_KNOWN,
    "face_sd": two_configurations.FACE_SD,
    "face_df": two_configurations.FACE_DF,
    "limit_points": contrasts.LIMIT_POINTS,
    "limit_nodes": len(limits.NODES),
    "limit_nodes_end": float(limits.NODES[-1]),
    "limit_step": limited_pooling.STEP,
    "widest_stride": limited_pooling.WIDEST_STRIDE,
    "narrowest_step": limited_pooling.NARROWEST_STEP,
    "narrow": limited_pooling.NARROW,
    "places": len(limited_pooling.PLACES),
    "places_end": float(limited_pooling.PLACES[-1]),
    "farthest": limited_pooling.FARTHEST,
    "tau_scale": pooling.TAU_SCALE,
    "mean_sd": pooling.MEAN_SD,
    "grid_points": pooling.GRID_POINTS,
    "grid_end": pooling.GRID_END,
    "interaction_sd": interactions.INTERACTION_SD,
    "interaction_sd_spread": interactions.SD_SPREAD,
    "interaction_steps": len(interactions.STEPS),
    "interaction_reach": float(interactions.STEPS[-1]),
    "one_more_reach": one_more.REACH,
    "one_more_steps": one_more.STEPS,
    "one_more_halvings": one_more.HALVINGS,
    "longest_run": levels.LONGEST_RUN,
    "worth_one_more": levels.WORTH_ONE_MORE,
    "wearing_minutes": levels.WEARING_MINUTES,
    "change_minutes": levels.CHANGE_MINUTES,
    "longest_name": addresses.LONGEST_NAME,
}
"""By the names that the scripts read them by; `site_src/types/levels.d.ts` lists the same."""


def browser_levels() -> PublishedFile:
    """Give the module."""
    return PublishedFile(ADDRESS, f"export const LEVELS = Object.freeze({compact_json(LEVELS)});\n")
