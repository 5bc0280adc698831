"""Whatever is edited in a folder, what is known of it from before says the same as a look at all of it."""

from __future__ import annotations

import tempfile
from datetime import date, timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from pandas.testing import assert_frame_equal

from builder.findings.table import tidy_table
from builder.records.checking import check, check_snapshot
from builder.records.known_reads import KnownReads
from builder.records.snapshots import Snapshot
from tests.records import samples

TODAY = date(2026, 11, 20)
LEAKING = '\n[filter]\npenetration_percent = 50\nsize_selection = "all-sizes"\nsource = "Data sheet"\n'
COUNTING = samples.TEST.replace('aerosol = "room-air"', 'aerosol = "room-air"\nsize_selection = "all-sizes"')
SECOND = samples.TEST_PATH.replace("-1.toml", "-2.toml")
VERSIONS: dict[str, tuple[str | None, ...]] = {
    "masks/drum-cup.toml": (
        samples.MASK,
        f"{samples.MASK}{LEAKING}",
        f"# A line more.\n{samples.MASK}{LEAKING}",
        samples.MASK.replace('"ffp2"', '"ffp9"'),
        None,
    ),
    "parts/thin-foam.toml": (samples.PART, samples.PART.replace("nose-foam", "straps"), None),
    samples.TEST_PATH: (
        samples.TEST,
        f"# A line more.\n{samples.TEST}",
        samples.TEST.replace("fit_factor = 50", "fit_factor = 51"),
        samples.TEST.replace("fit_factor = 50", "fit_factor ="),
        samples.TEST.replace("fit_factor = 50", "fit_facto = 50"),
        samples.TEST.replace("2026-09-12", "2026-11-23"),
        None,
    ),
    SECOND: (None, samples.TEST, COUNTING, samples.TEST.replace("length_mm = 117", "length_mm = 118")),
    "removed.toml": (None, samples.REMOVED),
}
EDITS = st.sampled_from([(path, version) for path, versions in VERSIONS.items() for version in versions])


@settings(deadline=None, max_examples=40)
@given(st.lists(st.tuples(EDITS, st.integers(0, 5)), min_size=1, max_size=12))
def test_what_is_known_says_the_same_as_a_look_at_everything(edits: list[tuple[tuple[str, str | None], int]]) -> None:
    with tempfile.TemporaryDirectory() as name:
        root = samples.write(Path(name) / "entries")
        known = KnownReads()
        for (path, text), days in edits:
            (root / path).unlink(missing_ok=True)
            if text is not None:
                (root / path).write_text(text)
            today = TODAY + timedelta(days)
            checked = check_snapshot(Snapshot.of(root), known, today=today)
            assert checked == check(root, today=today)
            assert known.reads.keys() == {file.path for file in Snapshot.of(root).listing.files}
            if not checked.problems:
                assert_frame_equal(tidy_table(checked.entries, known.rows), tidy_table(checked.entries))


def test_an_unchanged_test_is_not_judged_again(tmp_path: Path) -> None:
    root = samples.write(tmp_path, {SECOND: samples.TEST.replace("fit_factor = 50", "fit_factor = 51")})
    known = KnownReads()
    tidy_table(check_snapshot(Snapshot.of(root), known, today=TODAY).entries, known.rows)
    found, rows = dict(known.found), dict(known.rows)
    (root / SECOND).write_text(samples.TEST.replace("fit_factor = 50", "fit_factor = 52"))
    tidy_table(check_snapshot(Snapshot.of(root), known, today=TODAY).entries, known.rows)
    assert {path for path in found if found[path] is not known.found[path]} == {SECOND}
    assert {path for path in rows if rows[path] is not known.rows[path]} == {SECOND}


def test_a_line_more_in_a_mask_is_told_by_its_tests(tmp_path: Path) -> None:
    root, known = samples.write(tmp_path, {samples.TEST_PATH: COUNTING}), KnownReads()
    for text in (f"{samples.MASK}{LEAKING}", f"# A line more.\n{samples.MASK}{LEAKING}"):
        (root / samples.MASK_PATH).write_text(text)
        problems = check_snapshot(Snapshot.of(root), known, today=TODAY).problems
        assert [problem.rule for problem in problems] == ["filter-limit"]
        assert problems == check(root, today=TODAY).problems
