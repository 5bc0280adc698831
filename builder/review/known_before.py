"""What was known of each new test before: its configuration on this face and on everybody; and by whose hand."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from builder.findings.dataset import Row, rows_of
from builder.fit.summary.summaries import summarise_by
from builder.records.entries import TestRecord
from builder.records.models import configuration_id
from builder.review.changes import Change
from builder.review.moves import ConfigurationMedian
from builder.review.states import States

TELLING = ("mask", "date", "configuration", "face", "result")
"""Tables and keys of a test that figures rest on."""


@dataclass(frozen=True)
class KnownBefore:
    """A new test's face, and the medians of its configuration before: this wearer's own, and everybody's.

    None where nobody had a test of it that counts; cell and nose bridge are "" where they are not known.
    """

    test: str
    wearer: str
    cell: str
    nose_bridge: str
    own: ConfigurationMedian | None
    everybody: ConfigurationMedian | None


@dataclass(frozen=True)
class OtherHand:
    """New tests of a wearer by a contributor, whose tests were all by others so far."""

    wearer: str
    contributor: str
    before: tuple[str, ...]
    tests: tuple[str, ...]


def known_before(states: States, found: tuple[Change, ...]) -> tuple[KnownBefore, ...]:
    """Say what was known of each new test, in the order of the changes."""
    new = [record for change in found if (record := _new_test(states, change))]
    counted = states.old.counted
    configurations = {configuration_id(record.test.mask, record.test.configuration) for record in new}
    alike = counted[counted["configuration"].isin(configurations)]
    wearers = alike[alike["wearer"].isin({record.test.face.wearer for record in new})]
    own = {(row["wearer"], row["configuration"]): row for row in _medians(wearers, ["wearer"])}
    everybody = {row["configuration"]: row for row in _medians(alike, [])}
    faces = states.new.table.drop_duplicates("wearer").set_index("wearer")[["cell", "nose_bridge"]]
    known = []
    for record in new:
        configuration = configuration_id(record.test.mask, record.test.configuration)
        wearer = record.test.face.wearer
        cell, bridge = map(str, faces.loc[wearer]) if wearer in faces.index else ("", "")
        mine, all_ = _median(own.get((wearer, configuration))), _median(everybody.get(configuration))
        known.append(KnownBefore(record.id, wearer, cell, bridge, mine, all_))
    return tuple(known)


def other_hands(states: States, found: tuple[Change, ...]) -> tuple[OtherHand, ...]:
    """Find new tests whose wearer was tested by others alone so far: a face may have got another's name."""
    tested = {str(wearer): tuple(sorted(set(own))) for wearer, own in states.old.table.groupby("wearer")["contributor"]}
    hands: dict[tuple[str, str], list[str]] = {}
    for change in found:
        record = _new_test(states, change)
        if record and record.test.contributor not in tested.get(record.test.face.wearer, (record.test.contributor,)):
            hands.setdefault((record.test.face.wearer, record.test.contributor), []).append(record.id)
    return tuple(OtherHand(*who, tested[who[0]], tuple(tests)) for who, tests in sorted(hands.items()))


def changed_results(found: tuple[Change, ...]) -> tuple[Change, ...]:
    """Give the tests that were published and now say something else of what figures rest on."""
    return tuple(
        change
        for change in found
        if change.kind == "test"
        and change.what == "changed"
        and any(key.key.partition(".")[0].partition("[")[0] in TELLING for key in change.keys)
    )


def _new_test(states: States, change: Change) -> TestRecord | None:
    record = states.after.get(change.path)
    return record if change.what == "new" and isinstance(record, TestRecord) else None


def _medians(table: pd.DataFrame, by: list[str]) -> list[Row]:
    return rows_of(summarise_by(table, [*by, "mask", "configuration", "parts"])) if len(table) else []


def _median(row: Row | None) -> ConfigurationMedian | None:
    if row is None:
        return None
    return ConfigurationMedian(row["median_fit_factor"], row["median_at_least"], row["tests"], row["wearers"])
