"""Which tests to do next on somebody with tests: of what they have not tested, combinations of their own parts too."""

from __future__ import annotations

from itertools import islice, product

import pandas as pd

from builder.findings.advice import GOALS
from builder.findings.dataset import Dataset, Row, rows_of
from builder.findings.table import SLOT_COLUMNS
from builder.fit.facemodel import fit_face_model

MOST_COMBINATIONS = 256
"""Of one tester's parts on one mask; more than that nobody dons."""


def next_tests(data: Dataset, wearer: str, count: int = 3, *, as_sold: bool = False) -> dict[str, list[Row]]:
    """Give for each of `GOALS` the configurations most worth testing next on a wearer, as rows of `next_test`.

    Only those the wearer has not tested: what others have, of the masks `as_sold` or of all, and combinations of the
    wearer's own parts, which nobody need have tested.
    """
    assert data.model is not None
    own = data.counted[data.counted["wearer"] == wearer]
    combinations = untried_combinations(own)
    new = combinations[~combinations["configuration"].isin(data.model.design.catalogue.configurations)]
    model = fit_face_model(data.table, new) if len(new) else data.model
    tested, combined = set(own["configuration"]), set(combinations["configuration"])
    found = {}
    for goal in GOALS:
        ranked = model.next_test(wearer, goal)
        names = ranked["configuration"]
        kept = ~names.isin(tested) & (~names.str.contains("+", regex=False) | names.isin(combined) | (not as_sold))
        found[str(goal)] = rows_of(ranked[kept].head(count))
    return found


def untried_combinations(own: pd.DataFrame) -> pd.DataFrame:
    """Combine the parts that a wearer has tried on a mask in every way that they have not, from the wearer's tests.

    One part a slot; columns configuration, mask, style, parts.
    """
    rows = []
    for (mask, style), tests in own.groupby(["mask", "style"], sort=True):
        choices = [sorted({*tests[slot], ""}) for slot in SLOT_COLUMNS]
        for chosen in islice(product(*choices), MOST_COMBINATIONS):
            parts = "+".join(part for part in chosen if part)
            rows.append((f"{mask}+{parts}" if parts else str(mask), mask, style, parts))
    found = pd.DataFrame(rows, columns=["configuration", "mask", "style", "parts"])
    return found[~found["configuration"].isin(own["configuration"])].reset_index(drop=True)
