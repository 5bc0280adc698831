// The module that the builder makes from its levels and limits: builder/site/browser_levels.py.

declare module "*/words/levels.js" {
  export const LEVELS: {
    readonly pass_level: number;
    readonly least_told: number;
    readonly most_told: number;
    readonly shown_level: number;
    readonly predicted_level: number;
    readonly likely_level: number;
    readonly clear_level: number;
    readonly beyond_shown: number;
    readonly beyond_likely: number;
    readonly beyond_clear: number;
    readonly alike_ratio: number;
    readonly clear_interaction_p: number;
    readonly doubling: number;
    readonly wanted_power: number;
    readonly most_added_donnings: number;
    readonly few_faces: number;
    readonly near_mm: number;
    readonly bridge_mm: number;
    readonly little_known: number;
    readonly face_sd: number;
    readonly face_df: number;
    readonly limit_points: number;
    readonly limit_nodes: number;
    readonly limit_nodes_end: number;
    readonly limit_step: number;
    readonly widest_stride: number;
    readonly narrowest_step: number;
    readonly narrow: number;
    readonly places: number;
    readonly places_end: number;
    readonly farthest: number;
    readonly tau_scale: number;
    readonly mean_sd: number;
    readonly grid_points: number;
    readonly grid_end: number;
    readonly interaction_sd: number;
    readonly interaction_sd_spread: number;
    readonly interaction_steps: number;
    readonly interaction_reach: number;
    readonly one_more_reach: number;
    readonly one_more_steps: number;
    readonly one_more_halvings: number;
    readonly longest_run: number;
    readonly worth_one_more: number;
    readonly wearing_minutes: number;
    readonly change_minutes: number;
    readonly longest_name: number;
  };
}
