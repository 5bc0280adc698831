"""Face length and face width are not exchanged.

A face is wider than long as these are measured: from chin to nasal root, and across the cheekbones. In a large survey
width exceeds length by 20 mm on average, with a standard deviation of about 9 mm (computed from ANSUR II, 2012, taking
the two for independent). A face that is more than 5 mm longer than wide, lies in no cell of the panel, and would lie in
one with the two exchanged, was probably written the wrong way round.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule

LONGER_MM = 5.0


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look for a face that fits the panel only the other way round."""
    face = record.test.face
    if face.length_mm is None or face.width_mm is None or face.length_mm <= face.width_mm + LONGER_MM:
        return
    from builder.fit.panel import OUTSIDE, cell_of  # brings NumPy along, which a check seldom needs

    turned = cell_of(face.width_mm, face.length_mm)
    if cell_of(face.length_mm, face.width_mm) == OUTSIDE and turned != OUTSIDE:
        yield Finding(
            ("face", "length_mm"),
            f"A face {face.length_mm:g} mm long and {face.width_mm:g} mm wide is rare; the other way round it lies in "
            f"cell {turned}.",
            "Length goes from chin to nasal root, width across the cheekbones: exchange the two if they are mixed up.",
        )


RULE = RecordRule("exchanged-lengths", "Length and width not exchanged", __doc__, severity="warning", test=check)
