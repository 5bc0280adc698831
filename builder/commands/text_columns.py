"""Tables as plain text, for a terminal: columns as wide as they need, two spaces apart."""

from __future__ import annotations

from collections.abc import Sequence


def in_columns(rows: Sequence[Sequence[str]], *, right: bool = False, least: Sequence[int] = ()) -> list[str]:
    """Give a line for each row, all rows with as many texts. With `right` all columns but the first stand on the right.

    `least` are widths that columns have at least, in their order.
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    widths = [max(pair) for pair in zip(widths, [*least, *[0] * (len(widths) - len(least))], strict=True)]
    return [
        "  ".join(
            text.rjust(width) if right and place else text.ljust(width)
            for place, (text, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
