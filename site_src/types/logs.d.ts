// What the builder brings of its reading of logs: builder/site/browser_logs.py.

declare module "*/words/logs.js" {
  interface LogTiming {
    readonly steps: readonly (readonly [exercise: string, seconds: number])[];
    readonly ambient_start_s: number;
    readonly ambient_end_s: number;
    readonly ambient_between: boolean;
  }

  export const LOGS: {
    readonly words: {
      readonly columns: Record<string, string[]>;
      readonly places: Record<string, string[]>;
      readonly beside: { readonly place: string[]; readonly phase: string[] };
      readonly phases: Record<string, string[]>;
      readonly phases_alone: Record<string, string[]>;
      readonly exercises: Record<string, string[]>;
      readonly cells: Record<"missing" | "over" | "below" | "above", string[]>;
      readonly months: Record<string, string[]>;
      readonly units: Record<string, [factor: number, names: string[]][]>;
    };
    readonly limits: {
      readonly chunk_rows: number;
      readonly longest_line: number;
      readonly most_shown: number;
      readonly most_also: number;
      readonly alike: number;
      readonly sample_lines: number;
      readonly header_within: number;
      readonly longest_of_words: number;
      readonly fits: number;
      readonly fits_all: number;
      readonly mostly: number;
      readonly few_rows: number;
      readonly first_serial_day: number;
      readonly last_serial_day: number;
      readonly serial_step: number;
      readonly least_day_step: number;
      readonly most_day_step: number;
      readonly most_below: number;
      readonly longest_phase_s: number;
      readonly purge_ambient_s: number;
      readonly purge_mask_s: number;
      readonly most_stretches: number;
      readonly regular_rows: number;
      readonly regular_share: number;
      readonly regular_within: number;
      readonly gap: number;
      readonly overlap: number;
      readonly coarse_share: number;
      readonly first_row: number;
      readonly rounding_s: number;
      readonly bins: number;
      readonly shortest_bin_s: number;
      readonly fine_bins: number;
      readonly missing_cost: number;
      readonly alike_cost: number;
      readonly in_mask_share: number;
      readonly in_air_share: number;
      readonly poor_fit: number;
      readonly shortest_mask_s: number;
      readonly shortest_ambient_s: number;
      readonly drift_warning: number;
      readonly drift_refusal: number;
      readonly drift_chance: number;
      readonly constant_from: number;
      readonly fewest_expected: number;
      readonly most_sampled_cm3: number;
      readonly falls: number;
      readonly rises: number;
      readonly shifts_mask: number;
      readonly shifts_air: number;
      readonly standard_deviations: number;
      readonly fewest_readings: number;
      readonly at_top_share: number;
      readonly fewest_at_top: number;
    };
    readonly most: Record<string, number>;
    readonly epoch_units: readonly (readonly [least: number, unit: number])[];
    readonly kinds: readonly string[];
    readonly exercises: readonly string[];
    readonly protocols: Record<string, LogTiming>;
    readonly timed: readonly string[];
    readonly untimed: readonly string[];
    readonly sampled_cm3: Record<string, number>;
    readonly messages: Record<string, string>;
    readonly doubts: Record<string, string>;
    readonly phrases: Record<string, string>;
    readonly remarks: readonly (readonly [doubt: string, noun: string])[];
  };
}
