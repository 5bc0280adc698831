"""The tests that mask pages show are all of the table, by mask and in the order they were made."""

from __future__ import annotations

from dataclasses import replace

from builder.findings.dataset import Dataset
from builder.site.shown_tests import ShownTest, shown_by_mask


def test_every_test_stands_with_its_mask_as_the_table_has_it(demo: Dataset) -> None:
    shown = shown_by_mask(demo)
    assert list(shown) == sorted(demo.table["mask"].unique())
    for mask, tests in shown.items():
        rows = demo.table[demo.table["mask"] == mask].set_index("test")
        assert sorted(test.test for test in tests) == sorted(rows.index)
        for test in tests:
            row = rows.loc[test.test]
            # As texts, for what was not measured is no number.
            expected = {name: str(value) for name, value in row.items() if name in ShownTest._fields and name != "test"}
            assert {name: str(value) for name, value in test._asdict().items() if name in expected} == expected


def test_the_tenth_test_of_a_day_comes_after_the_ninth(demo: Dataset) -> None:
    day = demo.table.iloc[:1]
    numbers = [f"{day['mask'].iloc[0]}/2026-01-01-{day['wearer'].iloc[0]}-{n}" for n in (10, 1, 9, 2)]
    table = day.loc[day.index.repeat(4)].assign(date="2026-01-01", test=numbers)
    (tests,) = shown_by_mask(replace(demo, table=table)).values()
    assert [test.test.rpartition("-")[2] for test in tests] == ["1", "2", "9", "10"]
