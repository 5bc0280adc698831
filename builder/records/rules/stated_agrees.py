"""An overall fit factor that is written down agrees with the exercises and counts below it.

It need not be written down: the builder computes it as the harmonic mean of the exercises without the grimace
(29 CFR 1910.134 App. A). Where it is, it may differ by rounding: every written value is taken to be right to
half a unit of its last digit, and 0.5 % more is allowed for what the instrument rounded on its way. So
`fit_factor = 107` is right beside exercises of 50, 100, 200 and 400, whose harmonic mean is 106.67; 188, their
arithmetic mean, is not.

Counts without a particle in the mask give a lower limit, and no fit factor above it can be claimed from them.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from builder.fit.counts.fit_factor import overall_fit_factor
from builder.records.entries import TestRecord
from builder.records.models import Result
from builder.records.overall import averaged, from_counts
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule

_ROUNDED_BY_INSTRUMENT = 0.005


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare the written value with the exercises, and the value in use with the counts."""
    result = record.test.result
    exercises = [e.fit_factor for e in averaged(result) if e.fit_factor is not None]
    if not exercises and (result.fit_factor is None or not result.counts):
        return
    low, high = _harmonic_limits(exercises) if exercises else written_limits(result.fit_factor or 1.0)
    if exercises and result.fit_factor is not None:
        stated = written_limits(result.fit_factor)
        if stated[1] < low * (1 - _ROUNDED_BY_INSTRUMENT) or stated[0] > high * (1 + _ROUNDED_BY_INSTRUMENT):
            yield Finding(
                ("result", "fit_factor"),
                f"fit_factor is {result.fit_factor:g}, but the exercises give {overall_fit_factor(exercises):.4g}.",
                "Correct the value that is wrong, or leave fit_factor out: it is computed from the exercises.",
            )
            return
    yield from _against_counts(result, low, high)


def _against_counts(result: Result, low: float, high: float) -> Iterator[Finding]:
    if not result.counts:
        return
    try:
        counted = from_counts(result).overall
    except ValueError:
        return  # another rule says so
    key = ("result", "fit_factor") if result.fit_factor is not None else ("result", "exercise")
    given = f"{result.fit_factor:g}" if result.fit_factor is not None else f"{(low + high) / 2:.4g}"
    if low > counted.fit_factor * (1 + _ROUNDED_BY_INSTRUMENT):
        problem = (
            f"The fit factor is {given}, but without a particle in the mask the counts allow at least "
            f"{counted.fit_factor:.4g}."
            if counted.at_least
            else f"The fit factor is {given}, but the counts give {counted.fit_factor:.4g}."
        )
        yield Finding(key, problem, "Correct the value or the counts, or leave one of them out.")
    elif not counted.at_least and high < counted.fit_factor * (1 - _ROUNDED_BY_INSTRUMENT):
        yield Finding(
            key,
            f"The fit factor is {given}, but the counts give {counted.fit_factor:.4g}.",
            "Correct the value or the counts, or leave one of them out.",
        )


def _harmonic_limits(fit_factors: list[float]) -> tuple[float, float]:
    """Give the least and greatest overall value of exercises that were rounded."""
    limits = [written_limits(fit_factor) for fit_factor in fit_factors]
    return overall_fit_factor([low for low, _ in limits]), overall_fit_factor([high for _, high in limits])


def written_limits(written: float) -> tuple[float, float]:
    """Give the least and greatest value that would be written so: half a unit of the last digit either way."""
    exponent = Decimal(repr(written)).normalize().as_tuple().exponent
    # Zeros before the decimal point count as written: 100 is not taken to be rounded to hundreds.
    half = 0.5 * 10.0 ** min(int(exponent), 0)
    return written - half, written + half


RULE = RecordRule("stated-agrees", "The overall value agrees with its parts", __doc__, test=check)
