"""How many donnings tell a ratio, and which ratio a number of donnings can tell."""

import math

from scipy.optimize import brentq
from scipy.special import nctdtr, ndtri, stdtrit

from builder.fit.levels import LIKELY_LEVEL, MOST_ADDED_DONNINGS, WANTED_POWER


def power(ratio: float, gsd: float, n_a: int, n_b: int, df: float, *, confidence: float) -> float:
    """Chance that the two-sided interval of a ratio of geometric means leaves out 1 on the right side.

    Noncentral t with `df` degrees of freedom, `n_a` and `n_b` donnings, scatter `gsd` (1 or more).
    """
    if gsd <= 1:
        return 1.0
    shift = abs(math.log(ratio)) / (math.log(gsd) * math.sqrt(1 / n_a + 1 / n_b))
    missed = float(nctdtr(df, shift, stdtrit(df, (1 + confidence) / 2)))
    return 1.0 if math.isnan(missed) else 1 - missed  # SciPy gives NaN where this chance underflows


def more_donnings(
    ratio: float, gsd: float, n_a: int, n_b: int, df: float, *, confidence: float = LIKELY_LEVEL
) -> int | None:
    """Fewest donnings to add to each side, beyond `n_a` and `n_b`, that tell `ratio` with `WANTED_POWER`.

    `df` are the degrees of freedom now; each added donning brings one. 0 where the donnings at hand would
    already have told it, None where more than `MOST_ADDED_DONNINGS` would be needed. The default confidence is that of
    the verdict "likely".
    """
    if ratio == 1:
        raise ValueError("no number of donnings tells a ratio of 1")

    def enough(more: int) -> bool:
        return power(ratio, gsd, n_a + more, n_b + more, df + 2 * more, confidence=confidence) >= WANTED_POWER

    fewest = 0
    while min(n_a, n_b) + fewest < 1 or df + 2 * fewest <= 0:
        fewest += 1
    # The normal approximation is a little too small: start there and walk to the exact number.
    z = (float(ndtri((1 + confidence) / 2)) + float(ndtri(WANTED_POWER))) * math.log(gsd) / math.log(ratio)
    about = 2 * z * z - (n_a + n_b) / 2
    if not about <= MOST_ADDED_DONNINGS:
        return None
    more = max(fewest, math.ceil(about))
    while more > fewest and enough(more - 1):
        more -= 1
    while more <= MOST_ADDED_DONNINGS and not enough(more):
        more += 1
    return more if more <= MOST_ADDED_DONNINGS else None


def smallest_ratio(donnings: int, gsd: float, *, confidence: float, scatter_df: float) -> float:
    """Smallest ratio (> 1) that `donnings` each side tell with `WANTED_POWER`.

    `scatter_df` are the degrees of freedom of the scatter before the first of them.
    """
    df = scatter_df + 2 * (donnings - 1)
    if df <= 0:
        raise ValueError("one donning each side tells nothing without scatter known from elsewhere")

    def lack(log_ratio: float) -> float:
        return power(math.exp(log_ratio), gsd, donnings, donnings, df, confidence=confidence) - WANTED_POWER

    return math.exp(brentq(lack, 1e-9, 50 * math.log(gsd), xtol=1e-12))
