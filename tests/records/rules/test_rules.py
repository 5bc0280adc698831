"""The rules on records: their names, and the parts of them that no fixture reaches."""

from __future__ import annotations

import pkgutil

import numpy as np
import pytest
from scipy.stats import chi2

from builder.records.rules import RECORD_RULES, __path__, even_series, pseudonym, stated_agrees


def test_each_rule_is_named_like_its_module_and_judges_records() -> None:
    modules = {module.name for module in pkgutil.iter_modules(__path__)} - {"base"}
    assert [rule.name for rule in RECORD_RULES] == sorted(name.replace("_", "-") for name in modules)
    for rule in RECORD_RULES:
        assert any((rule.mask, rule.part, rule.test, rule.removed, rule.entries)), rule.name


@pytest.mark.parametrize(
    "value, kind",
    [
        ("jo@example.org", "an address"),
        ("https://example.org/jo", "an address"),
        ("@jo", "a handle"),
        ("u/jo", "a handle"),
        ("Jo Bloggs", "a name"),
        ("Jo B.", "a name"),
        ("Élodie D’Arc", "a name"),
        ("Blue-heron", None),
        ("blue heron", None),
        ("BLUE_HERON", None),
        (3, None),
    ],
)
def test_what_looks_personal_is_never_repeated(value: object, kind: str | None) -> None:
    finding = pseudonym.personal(("face", "wearer"), value)
    assert (finding and finding.problem) == (f"wearer looks like {kind}." if kind else None)
    assert pseudonym.personal(("mask",), value) is None


@pytest.mark.parametrize(
    "written, low, high",
    [(64, 63.5, 64.5), (64.0, 63.5, 64.5), (100, 99.5, 100.5), (64.2, 64.15, 64.25), (0.125, 0.1245, 0.1255)],
)
def test_a_written_value_stands_for_what_rounds_to_it(written: float, low: float, high: float) -> None:
    assert stated_agrees.written_limits(written) == pytest.approx((low, high))


@pytest.mark.parametrize("x, df", [(0.0, 3), (0.01, 4), (0.5, 1), (2.0, 3), (7.0, 4), (20.0, 9), (200.0, 4)])
def test_the_chance_of_an_even_series_is_that_of_chi_squared(x: float, df: int) -> None:
    assert even_series.chi_squared_below(x, df) == pytest.approx(float(chi2.cdf(x, df)), rel=1e-9, abs=1e-6)


def test_donnings_at_the_least_scatter_are_hardly_ever_called_even() -> None:
    rng = np.random.default_rng(7)
    series = np.exp(rng.normal(4.5, even_series.LEAST_LN_SD, (20_000, 5)))
    assert not any(even_series.is_too_even([float(f"{value:.3g}") for value in one]) for one in series)
