"""A fit factor above what the filter allows is worth a second look.

Leakage adds up: with seal leak L and filter penetration P, 1/FF = L + P(1 − L), so even a perfect seal gives no
more than 1/P. A filter that lets 2 % through limits the fit factor to 50. Penetration depends on particle size
and flow: it is compared only with tests that counted the same sizes as the test of the filter, and as the flow was
another one this is a warning. Where counts are given, it is their 95 % interval that has to lie above.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.fit.counts.fit_factor import highest_fit_factor
from builder.records.entries import TestRecord
from builder.records.overall import from_counts, overall
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the overall value with the filter of the mask, where its penetration is known."""
    mask = context.masks.get(record.test.mask)
    if not (mask and mask.mask.filter and (sizes := mask.mask.filter.size_selection)):
        return
    if record.test.conditions.size_selection is not sizes:
        return
    percent = mask.mask.filter.penetration_percent
    result = record.test.result
    try:
        fit_factor = overall(result).fit_factor
        by_chance = bool(result.counts) and from_counts(result).overall.low95 <= highest_fit_factor(percent / 100)
    except ValueError:
        return  # another rule says so
    if not by_chance and fit_factor > (limit := highest_fit_factor(percent / 100)):
        yield Finding(
            ("result",),
            f"The fit factor {fit_factor:.4g} is above {limit:.4g}, about the most that a filter with "
            f"{percent:g} % penetration allows.",
            f"Check the counts, and the penetration in {context.place(mask.path, ('filter', 'penetration_percent'))}.",
            other=mask.path,
        )


RULE = RecordRule("filter-limit", "The filter allows the fit factor", __doc__, severity="warning", test=check)
