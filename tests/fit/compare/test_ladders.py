"""Changed configurations beside the mask as sold."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.fit.compare.ladders import ladder
from builder.fit.compare.nested_scatter import nested_scatter
from builder.fit.compare.two_configurations import compare
from tests.fit.tables import measured


def test_each_rung_is_the_comparison_with_as_sold(demo: Dataset) -> None:
    mask, rungs = max(demo.ladders.items(), key=lambda item: len(item[1]))
    for rung in rungs:
        alone = compare(demo.measured_arms, mask, rung.configuration)
        assert rung.comparison.ratio == alone.ratio
        assert rung.comparison.comparisons == len(rungs)


def test_the_list_is_ranked_by_ratio(demo: Dataset) -> None:
    for rungs in demo.ladders.values():
        ratios = [rung.comparison.ratio for rung in rungs if rung.comparison.ratio is not None]
        assert ratios == sorted(ratios, reverse=True)


def test_a_clear_verdict_of_a_list_was_clear_alone(demo: Dataset) -> None:
    for mask, rungs in demo.ladders.items():
        for rung in rungs:
            if rung.comparison.verdict == "clear":
                assert compare(demo.measured_arms, mask, rung.configuration).verdict == "clear"


def test_without_a_test_as_sold_there_is_no_list(demo: Dataset) -> None:
    changed = demo.table[demo.table["parts"] != ""]
    arms = measured(changed, nested_scatter(changed))
    mask = str(changed["mask"].iloc[0])
    assert ladder(mask, {c: c.partition("+")[2] for c in arms.by_configuration if c.startswith(f"{mask}+")}, arms) == ()
