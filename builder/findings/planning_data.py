"""The entries as planning needs them: masks, parts, and the tests that say how much donnings scatter."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from builder.findings.dataset import Dataset, EntriesInvalidError
from builder.findings.kept_table import remembered_table
from builder.findings.table import tidy_table
from builder.fit.summary.summaries import summarise
from builder.records.memory import Memory
from builder.records.problems import printable
from builder.records.remembered import Examination


def planning_dataset(root: Path, memory: Memory | None = None) -> tuple[Dataset, int]:
    """Read the entries; give them with the number of tests left out because something is wrong with them.

    A planned test that waits for its result must not keep anybody from planning the next run. Raises
    EntriesInvalidError where something else than a test is wrong.
    """
    examined = Examination.of(root, memory or Memory())
    errors = [problem for problem in examined.problems if problem.severity == "error"]
    tests = printable(f"{(root / 'tests').as_posix()}/")
    if elsewhere := [problem for problem in errors if not problem.path.startswith(tests)]:
        raise EntriesInvalidError(elsewhere)
    wrong = {problem.path for problem in errors}
    if wrong:
        entries = examined.checked.entries
        sound = tuple(r for r in entries.tests if printable((root / r.path).as_posix()) not in wrong)
        table = tidy_table(replace(entries, tests=sound))
    else:
        table = remembered_table(examined)
    warnings = tuple(problem for problem in examined.problems if problem.severity == "warning")
    return Dataset(root, examined.register, warnings, table, summarise(table)), len(wrong)
