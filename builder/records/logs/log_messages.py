"""What is said of a log that cannot be read: each sentence once, by its id; the site's scripts have them from here.

A remedy has the id of its problem with `_remedy` behind it.
"""

from __future__ import annotations

from collections.abc import Mapping

from builder.fit.counts.run_log import MANY_STRETCHES
from builder.records.csv_tables import LONG_LINE, LONG_LINE_REMEDY, NO_TEXT, NO_TEXT_REMEDY, QUOTATION, QUOTATION_REMEDY

MESSAGES: Mapping[str, str] = {
    "empty_file": "The file is empty.",
    "empty_file_remedy": "Begin with a row of column names, such as seconds,phase,particles.",
    "no_names": "No row names the columns, and what they hold does not tell.",
    "no_names_remedy": "Put a row of names above the numbers, such as seconds,phase,particles.",
    "no_rows": "The table has no rows below its header.",
    "no_rows_remedy": "Add a row for each interval.",
    "no_text": NO_TEXT,
    "no_text_remedy": NO_TEXT_REMEDY,
    "long_line": LONG_LINE,
    "long_line_remedy": LONG_LINE_REMEDY,
    "quotation": QUOTATION,
    "quotation_remedy": QUOTATION_REMEDY,
    "no_phase": "The column phase is missing.",
    "no_phase_remedy": "Add the column phase, or say by --schedule when room air and mask were sampled.",
    "no_seconds": "The column seconds is missing.",
    "no_seconds_remedy": "Add the column seconds.",
    "no_readings": "There is no column of particles.",
    "no_readings_remedy": "Add the column particles, or concentration, with flow_cm3_s if known.",
    "likely_readings_remedy": "If {name} is it, give --column {name}, or name it particles or concentration.",
    "meant_column_remedy": "Did you mean {column} by {name}?",
    "no_column": "There is no column {name}.",
    "no_column_remedy": "The columns are: {known}.",
    "several_readings": "Several columns hold {measure}: {names}.",
    "several_readings_remedy": "Say which to read by --column NAME.",
    "width": "The row has {values}, the header has {width}.",
    "width_remedy": (
        "Give every row a value for each column, nothing where nothing is known; where commas part the columns, "
        "numbers have a decimal point, not a comma."
    ),
    "no_time": "{value} is no time.",
    "no_time_remedy": "Write times as in the other rows, such as {example}.",
    "no_number": "{value} is no number.",
    "no_number_remedy": "Write a number with a decimal {mark}, such as {example}.",
    "negative": "{value} is below 0.",
    "negative_remedy": "Write 0 or more.",
    "not_whole": "{value} is no whole number.",
    "not_whole_remedy": "Counts are whole. If these are particles per cm³, call the column concentration.",
    "no_flow": "{value} is no flow.",
    "no_flow_remedy": "Write the sampled air in cm³ a second, or delete the column.",
    "too_large": "{value} is above {most}.",
    "too_large_remedy": "Check the unit of the column.",
    "no_phase_word": "{value} is no phase.",
    "no_exercise_word": "{value} is no exercise.",
    "meant_remedy": "Did you mean {word}?",
    "known_remedy": "Write one of: {words}.",
    "many_stretches": MANY_STRETCHES,
    "many_stretches_remedy": "A run has some tens of phases: check the columns phase and exercise.",
    "no_fit_factor_remedy": "Check the columns phase and particles.",
    "no_scheduled_fit_factor_remedy": "Check the schedule and the column of particles.",
    "untimed_protocol": "The protocol {protocol} has no times of its own: give a list of phases, or one of {timed}.",
    "one_air": "It needs ambient and mask phases, such as: ambient 20, purge 11, mask talking 30, ambient 9.",
    "no_protocol": "{item} is no protocol. Did you mean {word}?",
    "no_length": "{item} has no seconds: write {phase} 30.",
    "no_planned_phase": "{item} is no phase.",
    "no_planned_phase_remedy": "Write ambient, purge, or mask and an exercise.",
    "odd_length": "{item}: a phase is longer than 0 s and at most a day.",
}
"""By id; what stands in braces is filled in."""

ON_A_PAGE: Mapping[str, str] = {
    "no_phase_remedy": "Add the column phase, or give a schedule that says when room air and mask were sampled.",
    "likely_readings_remedy": "If {name} is it, choose that column, or name it particles or concentration.",
    "several_readings_remedy": "Choose the column to read.",
}
"""What is said instead where there is no command line."""


def log_message(name: str, /, **values: object) -> str:
    """Say one of them. KeyError for an unknown id, or for a value that it names and is not given."""
    return MESSAGES[name].format(**values)
