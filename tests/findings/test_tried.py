"""Who tried what."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.tried import triers


def test_each_wearer_has_what_their_own_median_says(demo: Dataset) -> None:
    found = {one.wearer: one for one in triers(demo.counted)}
    assert set(found) == set(demo.counted["wearer"])
    for wearer, own in demo.counted.groupby("wearer"):
        tried = found[str(wearer)].tried
        assert set(tried) == set(own["configuration"])
        for configuration, tests in own[~own["at_least"]].groupby("configuration"):
            if not own.loc[own["configuration"] == configuration, "at_least"].any():
                assert tried[str(configuration)] == (tests["fit_factor"].median() >= 100)


def test_a_face_lies_where_it_was_measured(demo: Dataset) -> None:
    measured = demo.counted.dropna(subset=["face_length_mm", "face_width_mm"]).drop_duplicates("wearer", keep="last")
    places = {one.wearer: one.place for one in triers(demo.counted)}
    for row in measured.itertuples():
        assert places[str(row.wearer)] == (row.face_length_mm, row.face_width_mm)


def test_at_least_something_lower_tells_nothing(demo: Dataset) -> None:
    counted = demo.counted.head(1).assign(fit_factor=60.0, at_least=True)
    (one,) = triers(counted)
    assert list(one.tried.values()) == [None]
    (one,) = triers(counted.assign(fit_factor=200.0))
    assert list(one.tried.values()) == [True]


def test_every_reading_is_there_and_the_nose_bridge(demo: Dataset) -> None:
    found = triers(demo.counted)
    assert sum(len(own) for one in found for own in one.readings.values()) == len(demo.counted)
    assert sum(at_least for one in found for own in one.readings.values() for _, at_least in own) == int(
        demo.counted["at_least"].sum()
    )
    bridges = demo.counted.groupby("wearer")["nose_bridge"].last().to_dict()
    assert {one.wearer: one.nose_bridge for one in found} == bridges
