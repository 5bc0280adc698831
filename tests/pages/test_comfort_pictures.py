"""The explorer's picture of fit beside comfort: whom it shows, and what is said of those that nobody told of."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

from builder.findings.dataset import Dataset
from builder.site.comfort_pictures import MOST_MARKS, comfort_counts, comfort_of_rows, comfort_words
from builder.site.explorer_page import configuration_rows


def rows(demo: Dataset) -> list[dict[str, Any]]:
    return [{"id": row.id, "label": row.id, **row.figures, **row.worn} for row in configuration_rows(demo)]


def test_counts_are_of_the_donnings_that_tell(demo: Dataset) -> None:
    for configuration, own in demo.counted.groupby("configuration"):
        counts = comfort_counts(demo, str(configuration))
        assert counts["comfort_told"] == int(own["comfort"].notna().sum())
        assert counts["comfortable"] == int((own["comfort"] >= 4).sum())
        assert counts["breathing_told"] == int(own["breathing_effort"].notna().sum())
        assert counts["hard_to_breathe"] == int((own["breathing_effort"] >= 4).sum())
    assert set(comfort_counts(demo, "nothing").values()) == {0}


def test_every_configuration_that_somebody_told_of_is_a_mark(demo: Dataset) -> None:
    all_rows = rows(demo)
    picture, untold = comfort_of_rows(demo, all_rows, root="../")
    told = [row for row in all_rows if row["comfort_told"]]
    assert 30 < len(told) <= MOST_MARKS
    links = list(ElementTree.fromstring(picture).iter("a"))
    assert [link.attrib["aria-label"] for link in links] == [comfort_words(row) for row in told]
    tried = sum(row["tests"] > 0 for row in all_rows)
    assert (untold == "") == (len(told) == tried)


def test_those_that_nobody_told_of_are_counted(demo: Dataset) -> None:
    all_rows = [row | {"comfort_told": row["comfort_told"] * (place > 2)} for place, row in enumerate(rows(demo))]
    tried = sum(row["tests"] > 0 for row in all_rows)
    _, untold = comfort_of_rows(demo, all_rows, root="../")
    assert untold.startswith(
        f"{sum(row['comfort_told'] > 0 for row in all_rows)} of {tried} configurations are drawn: "
    )


def test_a_mark_says_its_figures(demo: Dataset) -> None:
    row = {
        "label": "Mask, as sold",
        "median_fit_factor": 32.0,
        "median_at_least": False,
        "wearers": 4,
        "comfort_told": 6,
        "comfortable": 5,
        "breathing_told": 6,
        "hard_to_breathe": 2,
    }
    said = "Mask, as sold: median 32 on 4 wearers; comfortable in 5 of 6 donnings, easy to breathe in 4 of 6"
    assert comfort_words(row) == said
    assert comfort_words(row | {"breathing_told": 0}).endswith("easy to breathe in not noted")


def test_where_nobody_told_there_is_no_picture(demo: Dataset) -> None:
    silent = [row | {"comfort_told": 0} for row in rows(demo)]
    assert comfort_of_rows(demo, silent, root="../") == ("", "")
