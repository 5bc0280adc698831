"""Shares of a whole, with their intervals."""

import math
from statistics import NormalDist

from builder.fit.intervals import Interval
from builder.fit.levels import SHOWN_LEVEL


def wilson(successes: int, n: int, level: float = SHOWN_LEVEL) -> Interval:
    """Wilson's score interval of a share, within 0 to 1.

    It keeps close to its level for few tests and never collapses at 0 or n successes.
    Raises ValueError unless 0 ≤ successes ≤ n and n ≥ 1.
    Source: E. B. Wilson, J. Am. Stat. Assoc. 1927;22:209–212.
    """
    if not 0 <= successes <= n or n < 1:
        raise ValueError("A share needs 1 or more trials, and no more successes than trials.")
    z = NormalDist().inv_cdf((1 + level) / 2)
    share = successes / n
    centre = (share + z**2 / (2 * n)) / (1 + z**2 / n)
    half_width = z / (1 + z**2 / n) * math.sqrt(share * (1 - share) / n + z**2 / (4 * n**2))
    # At no success, or nothing but successes, the limit is exact: rounding must not move it off 0 or 1.
    low = 0.0 if successes == 0 else centre - half_width
    high = 1.0 if successes == n else centre + half_width
    return Interval(low, high)
