"""What a plan can tell, against statsmodels' power of the t-test, and designs against published ones."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.power import ttest_power

from builder.fit.plan.fractions import Factor, aliases, configurations
from builder.fit.plan.planned_run import outlook, plan_run
from builder.fit.plan.tours import closed_tour
from tests.fit.tables import scatter_of_all

SCATTER = scatter_of_all(0.2, 9.0)


@pytest.mark.parametrize("donnings", [1, 2, 5])
def test_smallest_ratio_has_the_power_statsmodels_gives(donnings: int) -> None:
    """statsmodels: one-sided at half the level, for its two-sided power counts the wrong tail too."""
    factors = [Factor("straps", ("clip",)), Factor("nose-wire", ("strip", "wire"))]
    found = outlook(plan_run(factors, donnings=donnings), SCATTER)
    df = 9 + 6 * (donnings - 1)
    for ratio, side in [
        *((part.smallest_ratio, part.donnings) for part in found.parts),
        (found.pair_ratio, donnings),
    ]:
        assert ratio is not None
        effect = np.log(ratio) / np.sqrt(0.2)
        assert ttest_power(effect, side / 2, 0.025, df=df, alternative="larger") == pytest.approx(0.8, abs=1e-9)


def test_doubling_donnings_are_the_fewest_by_statsmodels() -> None:
    found = outlook(plan_run([Factor("straps", ("clip",)), Factor("edge", ("tape",))]), SCATTER)

    def power(donnings: int, configurations: int) -> float:
        df = 9 + 4 * (donnings - 1)
        sides = donnings * configurations / 2
        return float(ttest_power(np.log(2) / np.sqrt(0.2), sides, 0.025, df=df, alternative="larger"))

    for needed, averaged in ((found.parts[0].doubling_donnings, 2), (found.pair_doubling_donnings, 1)):
        assert needed is not None
        assert power(needed, averaged) >= 0.8 > power(needed - 1, averaged)


@pytest.mark.parametrize("bits", [1, 2, 3, 5])
def test_reflected_binary_code(bits: int) -> None:
    """D. E. Knuth, The Art of Computer Programming, 7.2.1.1: the k-th word is k ⊕ ⌊k/2⌋ (value from memory)."""
    words = [sum(bit << place for place, bit in enumerate(word)) for word in closed_tour([2] * bits)]
    assert words == [k ^ (k >> 1) for k in range(2**bits)]


def test_half_fraction_is_of_resolution_three_and_four() -> None:
    """Box, Hunter & Hunter, Statistics for Experimenters, chapter 6: in the half of a 2³ each main effect is aliased
    with the interaction of the other two, in that of a 2⁴ interactions with each other in pairs (value from memory)."""
    three, four = ([Factor(name, (name,)) for name in names] for names in ("abc", "abcd"))
    assert [sorted(map(len, group)) for group in aliases(three, configurations(three, half=True))] == [[1, 2]] * 3
    assert [sorted(map(len, group)) for group in aliases(four, configurations(four, half=True))] == [[2, 2]] * 3
