"""Long tables in blocks: every row once, in order, none folded that few would be."""

from __future__ import annotations

import pytest

from builder.findings.dataset import Dataset
from builder.site.long_tables import EACH, FEW, blocks
from builder.site.published import Renderer


@pytest.mark.parametrize(
    ("rows", "spans"),
    [
        (0, [(1, 0)]),
        (1, [(1, 1)]),
        (EACH + FEW, [(1, EACH + FEW)]),
        (EACH + FEW + 1, [(1, EACH), (EACH + 1, EACH + FEW + 1)]),
        (2 * EACH + 3, [(1, EACH), (EACH + 1, 2 * EACH + 3)]),
        (3 * EACH, [(1, EACH), (EACH + 1, 2 * EACH), (2 * EACH + 1, 3 * EACH)]),
    ],
)
def test_blocks_hold_every_row_once(rows: int, spans: list[tuple[int, int]]) -> None:
    found = blocks(range(rows))
    assert [(block.first, block.last) for block in found] == spans
    assert [row for block in found for row in block.rows] == list(range(rows))


def test_each_folded_block_has_its_head_and_its_name(demo: Dataset) -> None:
    render = Renderer(demo)
    template = render.environment.from_string(
        "{% from '_long.html' import long_table with context %}"
        "{% call(some) long_table(rows, '<tr>', 'tried') %}{{ some | join(' ') }}{% endcall %}"
    )
    html = template.render(rows=list(range(130)))
    assert html.count("<thead>") == html.count("<details") + 1 == 3
    assert '<summary id="tried-51">51 to 100 of 130</summary>' in html
    assert 'aria-labelledby="tried tried-51"' in html
