"""What the scripts read a counter's log by, as a module for the browser: its words, limits, protocols and sentences."""

from __future__ import annotations

from builder.fit.counted import counted
from builder.fit.counts import (
    counting,
    doubt_texts,
    doubts,
    log_clock,
    run_doubts,
    run_log,
    run_result,
    sampled_air,
    trace,
)
from builder.fit.counts import schedule as laid
from builder.fit.phrases import PHRASES
from builder.records import csv_tables, nearest_words
from builder.records.logs import (
    log_columns,
    log_header,
    log_layout,
    log_lines,
    log_messages,
    log_reading,
    log_said,
    log_sample,
    schedules,
)
from builder.records.logs.log_words import units_by_factor, words
from builder.records.rules.ambient_level import SAMPLED_CM3
from builder.records.vocabulary import PROTOCOL_TIMES, PURGE_AMBIENT_S, PURGE_MASK_S, Protocol
from builder.site.browser_words import COUNTING
from builder.site.published import PublishedFile, compact_json

ADDRESS = "assets/scripts/words/logs.js"

LOG_LIMITS: dict[str, float] = {
    "chunk_rows": csv_tables.CHUNK_ROWS,
    "longest_line": csv_tables.LONGEST_LINE,
    "most_shown": csv_tables.MOST_SHOWN,
    "most_also": csv_tables.MOST_ALSO,
    "alike": nearest_words.ALIKE,
    "sample_lines": log_layout.SAMPLE_LINES,
    "header_within": log_header.HEADER_WITHIN,
    "longest_of_words": log_header.LONGEST_OF_WORDS,
    "fits": log_header.FITS,
    "fits_all": log_header.FITS_ALL,
    "mostly": log_sample.MOSTLY,
    "few_rows": log_sample.FEW_ROWS,
    "first_serial_day": log_columns.SERIAL_DAYS[0],
    "last_serial_day": log_columns.SERIAL_DAYS[1],
    "serial_step": log_columns.SERIAL_STEP,
    "least_day_step": log_columns.DAY_STEP[0],
    "most_day_step": log_columns.DAY_STEP[1],
    "most_below": log_lines.MOST_BELOW,
    "longest_phase_s": schedules.LONGEST_PHASE_S,
    "purge_ambient_s": PURGE_AMBIENT_S,
    "purge_mask_s": PURGE_MASK_S,
    "most_stretches": run_log.MOST_STRETCHES,
    "regular_rows": log_clock.REGULAR_ROWS,
    "regular_share": log_clock.REGULAR_SHARE,
    "regular_within": log_clock.REGULAR_WITHIN,
    "gap": log_clock.GAP,
    "overlap": log_clock.OVERLAP,
    "coarse_share": log_clock.COARSE_SHARE,
    "first_row": log_clock.FIRST_ROW,
    "rounding_s": run_log.ROUNDING_S,
    "bins": trace.BINS,
    "shortest_bin_s": trace.SHORTEST_BIN_S,
    "fine_bins": laid.FINE_BINS,
    "missing_cost": laid.MISSING_COST,
    "alike_cost": laid.ALIKE_COST,
    "in_mask_share": laid.IN_MASK_SHARE,
    "in_air_share": laid.IN_AIR_SHARE,
    "poor_fit": laid.POOR_FIT,
    "shortest_mask_s": run_result.SHORTEST_MASK_S,
    "shortest_ambient_s": run_result.SHORTEST_AMBIENT_S,
    "drift_warning": counting.DRIFT_WARNING,
    "drift_refusal": counting.DRIFT_REFUSAL,
    "drift_chance": counting.DRIFT_CHANCE,
    "constant_from": doubts.CONSTANT_FROM,
    "fewest_expected": doubts.FEWEST_EXPECTED,
    "most_sampled_cm3": doubts.MOST_SAMPLED_CM3,
    "falls": run_doubts.FALLS,
    "rises": run_doubts.RISES,
    "shifts_mask": run_doubts.SHIFTS_MASK,
    "shifts_air": run_doubts.SHIFTS_AIR,
    "standard_deviations": run_doubts.STANDARD_DEVIATIONS,
    "fewest_readings": run_doubts.FEWEST_READINGS,
    "at_top_share": run_doubts.AT_TOP_SHARE,
    "fewest_at_top": run_doubts.FEWEST_AT_TOP,
}
"""By the names that the scripts read them by; `site_src/types/logs.d.ts` lists the same."""


def counted_phrases() -> dict[str, str]:
    """Give what logs count, one and several, as the scripts say it."""
    nouns = sorted({"gap", "overlap", "row", "step", "value", *filter(None, doubt_texts.REMARKS.values())})
    return {noun: counted(1, noun) for noun in nouns} | {f"{noun}s": f"{{n}} {noun}s" for noun in nouns}


def browser_logs() -> PublishedFile:
    """Give the module."""
    known = {name: table for name, table in words().items() if name != "units"}
    shipped = {
        "words": known | {"units": units_by_factor()},
        "limits": LOG_LIMITS,
        "most": log_reading.MOST,
        "epoch_units": log_columns.EPOCH_UNITS,
        "kinds": sampled_air.KINDS,
        "exercises": log_said.EXERCISES,
        "protocols": {
            protocol.value: {
                "steps": [[step.exercise.value, step.seconds] for step in timing.steps],
                "ambient_start_s": timing.ambient_start_s,
                "ambient_end_s": timing.ambient_end_s,
                "ambient_between": timing.ambient_between,
            }
            for protocol, timing in PROTOCOL_TIMES.items()
        },
        "timed": [protocol.value for protocol in PROTOCOL_TIMES],
        "untimed": [protocol.value for protocol in Protocol if protocol not in PROTOCOL_TIMES],
        "sampled_cm3": {instrument.value: sampled for instrument, sampled in SAMPLED_CM3.items()},
        "messages": {**log_messages.MESSAGES, **log_messages.ON_A_PAGE, **COUNTING},
        "doubts": dict(doubt_texts.DOUBTS),
        "remarks": list(doubt_texts.REMARKS.items()),
        "phrases": {**PHRASES, **counted_phrases()},
    }
    return PublishedFile(ADDRESS, f"export const LOGS = Object.freeze({compact_json(shipped)});\n")
