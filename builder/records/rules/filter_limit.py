"""A fit factor above what the filter allows is worth a second look.

Leakage adds up: with seal leak L and filter penetration P, 1/FF = L + P(1 − L), so even a perfect seal gives no
more than 1/P. A filter that lets 2 % through limits the fit factor to 50. Penetration depends on particle size
and flow, so this is a warning; it is not given where the instrument counted a narrow size band, which passes
the filter hardly at all.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.fit.counts.fit_factor import highest_fit_factor
from builder.records.entries import TestRecord
from builder.records.overall import overall
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.vocabulary import SizeSelection


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the overall value with the filter of the mask, where its penetration is known."""
    mask = context.masks.get(record.test.mask)
    if not (mask and mask.mask.filter) or record.test.conditions.size_selection is SizeSelection.NARROW:
        return
    percent = mask.mask.filter.penetration_percent
    try:
        fit_factor = overall(record.test.result).fit_factor
    except ValueError:
        return  # another rule says so
    if fit_factor > (limit := highest_fit_factor(percent / 100)):
        yield Finding(
            ("result",),
            f"The fit factor {fit_factor:.4g} is above {limit:.4g}, the most that a filter with "
            f"{percent:g} % penetration allows.",
            f"Check the counts, and the penetration in {context.place(mask.path, ('filter', 'penetration_percent'))}.",
            other=mask.path,
        )


RULE = RecordRule("filter-limit", "The filter allows the fit factor", __doc__, severity="warning", test=check)
