"""Fit factors against the rules and standards they come from."""

import pytest

from builder.fit.counts.counting import Segment, counted_fit_factor
from builder.fit.counts.fit_factor import highest_fit_factor, overall_fit_factor
from builder.fit.levels import PASS_LEVEL
from builder.fit.summary.summaries import summarise
from tests.conftest import ROOT
from tests.fit.tables import tidy


def til_percent(fit_factor: float) -> float:
    """Total inward leakage as the summary gives it."""
    return float(summarise(tidy([("m", "ann", fit_factor)]).assign(parts=""))["til_percent"].iloc[0])


@pytest.mark.parametrize(
    ("exercises", "overall"),
    [
        ([100] * 7, 100),
        ([200] * 6 + [20], 87.5),
        ([120, 250, 80, 300, 60, 95, 150], 112.855325),
        ([50, 100, 200, 400], 106.666667),
        ([200, 150, 400, 80], 150),
        ([1000, 1000, 1000, 10], 38.834951),
    ],
)
def test_overall_fit_factor(exercises: list[float], overall: float) -> None:
    """Vectors computed from the formula of 29 CFR 1910.134, Appendix A (formula from memory)."""
    assert overall_fit_factor(exercises) == pytest.approx(overall, abs=5.1e-7)


def test_exercise_fit_factor() -> None:
    """29 CFR 1910.134, Appendix A (formula from memory): the ambient level before and after is averaged."""
    mask, before, after = (Segment(particles, 1) for particles in (24, 5000, 4600))
    assert counted_fit_factor(mask, before, after).fit_factor == pytest.approx(200)


@pytest.mark.parametrize(
    ("fit_factor", "percent"), [(10, 10), (20, 5), (50, 2), (100, 1), (200, 0.5), (500, 0.2), (2000, 0.05)]
)
def test_total_inward_leakage(fit_factor: float, percent: float) -> None:
    """By definition: the share of outside particles that get in."""
    assert til_percent(fit_factor) == pytest.approx(percent)


def test_pass_levels() -> None:
    """29 CFR 1910.134(f)(7), read in 74 FR 3526; HSE INDG479 rev1 and HSE 282/28, read second hand."""
    assert PASS_LEVEL == 100
    page = (ROOT / "site_src" / "pages" / "methods.md").read_text("utf-8")
    rows = [[cell.strip() for cell in row.strip("|").split("|")] for row in page.splitlines() if row.startswith("|")]
    levels = {(row[0], row[1]) for row in rows if "29 CFR 1910.134(f)(7)" in row or "INDG479" in row[-1]}
    assert levels == {
        ("100", "half masks, filtering facepieces among them, United States"),
        ("500", "full-face masks, United States"),
        ("100, in every exercise", "half masks and FFP3, United Kingdom"),
        ("2000, in every exercise", "full-face masks, United Kingdom"),
    }


@pytest.mark.parametrize(
    ("leakage_percent", "fit_factor"),
    # Single exercises, then wearer means, of FFP1, FFP2 and FFP3.
    [(25, 4), (11, 9.090909), (5, 20), (22, 4.545455), (8, 12.5), (2, 50)],
)
def test_total_inward_leakage_of_the_ffp_classes(leakage_percent: float, fit_factor: float) -> None:
    """EN 149:2001+A1:2009, 7.9.1, read second hand."""
    assert til_percent(fit_factor) == pytest.approx(leakage_percent, rel=1e-6)


@pytest.mark.parametrize(("penetration", "fit_factor"), [(0.20, 5), (0.06, 16.666667), (0.01, 100)])
def test_highest_fit_factor_of_the_ffp_classes(penetration: float, fit_factor: float) -> None:
    """EN 149:2001+A1:2009, Table 1, read second hand: filters of FFP1, FFP2 and FFP3 at their limits."""
    assert highest_fit_factor(penetration) == pytest.approx(fit_factor, rel=1e-6)


def test_a_leaking_seal_only_lowers_the_fit_factor() -> None:
    """1/FF = L + P(1 − L): the seal leak L and the filter penetration P add up."""
    penetration, leak = 0.06, 0.02
    assert 1 / (leak + penetration * (1 - leak)) < highest_fit_factor(penetration)
