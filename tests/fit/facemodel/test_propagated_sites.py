"""Answers against numerical integration, and against the closed form where all are exact."""

import numpy as np
import pytest
from scipy.special import ndtr
from scipy.stats import multivariate_normal

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import Method, MethodEffects
from builder.fit.facemodel.own_results import Outcome, OwnResult, Sites, sites_of
from builder.fit.facemodel.propagated_sites import gain, settle

REFERENCE = Method("eight-exercise", "condensation-counter", "narrow-band")
NOISE = 0.25
MEAN = np.array([4.2, 5.0, 3.8])
COVARIANCE = np.array([[0.9, 0.6, 0.5], [0.6, 1.1, 0.4], [0.5, 0.4, 0.8]])


def told(*answers: tuple[Outcome, float, str]) -> Sites:
    own = [OwnResult("a", outcome, fit_factor, kind) for outcome, fit_factor, kind in answers]
    return sites_of(own, MethodEffects.unknown([REFERENCE]), REFERENCE)


def posterior(mean: FloatArray, covariance: FloatArray, sites: Sites) -> tuple[FloatArray, FloatArray, float]:
    found = settle(mean, covariance, sites, NOISE)
    spread = covariance - covariance @ gain(covariance, found.precision) @ covariance
    return mean + spread @ (found.weighted - found.precision * mean), spread, found.log_evidence


def likelihood(sites: Sites, number: int, true: FloatArray) -> FloatArray:
    away = (true - sites.place[number]) / np.sqrt(NOISE)
    if sites.side[number] == 0:
        return np.asarray(np.exp(-0.5 * away**2) / np.sqrt(2 * np.pi * NOISE))
    return np.asarray(sites.floor[number] + sites.slope[number] * ndtr(sites.side[number] * away))


def test_exact_readings_have_the_closed_form() -> None:
    sites = told(("fit-factor", 64.0, ""), ("fit-factor", 500.0, ""), ("fit-factor", 20.0, ""))
    mean, spread, evidence = posterior(MEAN, COVARIANCE, sites)
    total = COVARIANCE + NOISE * np.eye(3)
    towards = COVARIANCE @ np.linalg.inv(total)
    assert mean == pytest.approx(MEAN + towards @ (sites.place - MEAN))
    assert spread == pytest.approx(COVARIANCE - towards @ COVARIANCE)
    assert evidence == pytest.approx(multivariate_normal(MEAN, total).logpdf(sites.place))


@pytest.mark.parametrize(
    "answer", [("passed", 0, "quantitative"), ("failed", 0, "quantitative"), ("failed", 0, "taste"), ("leaks", 0, "")]
)
def test_one_answer_is_exact_in_its_moments(answer: tuple[Outcome, float, str]) -> None:
    sites = told(answer)
    mean, spread, evidence = posterior(MEAN[:1], COVARIANCE[:1, :1], sites)
    grid = np.linspace(-4, 13, 20_001)
    density = np.exp(-0.5 * (grid - MEAN[0]) ** 2 / COVARIANCE[0, 0]) / np.sqrt(2 * np.pi * COVARIANCE[0, 0])
    weight = density * likelihood(sites, 0, grid) * (grid[1] - grid[0])
    first = float((weight @ grid) / weight.sum())
    second = float(weight @ (grid - first) ** 2 / weight.sum())
    assert evidence == pytest.approx(np.log(weight.sum()), abs=1e-6)
    assert mean[0] == pytest.approx(first, abs=1e-6)
    assert spread[0, 0] == pytest.approx(second, abs=1e-6)


@pytest.mark.parametrize(
    "answers",
    [
        (("passed", 0, "quantitative"), ("failed", 0, "quantitative"), ("passed", 0, "quantitative")),
        (("failed", 0, "taste"), ("passed", 0, "smell"), ("fit-factor", 64.0, "")),
        (("leaks", 0, ""), ("failed", 0, "quantitative"), ("passed", 0, "taste")),
    ],
)
def test_several_answers_against_integration(answers: tuple[tuple[Outcome, float, str], ...]) -> None:
    sites = told(*answers)
    mean, spread, evidence = posterior(MEAN, COVARIANCE, sites)
    axes = [
        np.linspace(m - 5 * np.sqrt(v), m + 5 * np.sqrt(v), 61)
        for m, v in zip(MEAN, COVARIANCE.diagonal(), strict=True)
    ]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    weight = multivariate_normal(MEAN, COVARIANCE).pdf(grid)
    weight *= np.prod([likelihood(sites, number, grid[:, number]) for number in range(3)], axis=0)
    weight *= np.prod([axis[1] - axis[0] for axis in axes])
    exact = weight @ grid / weight.sum()
    variance = weight @ (grid - exact) ** 2 / weight.sum()
    assert evidence == pytest.approx(np.log(weight.sum()), abs=0.01)
    assert mean == pytest.approx(exact, abs=0.02)
    assert spread.diagonal() == pytest.approx(variance, abs=0.03)
    chance = weight @ ndtr((grid - np.log(100)) / np.sqrt(NOISE)) / weight.sum()
    stated = ndtr((mean - np.log(100)) / np.sqrt(spread.diagonal() + NOISE))
    assert stated == pytest.approx(chance, abs=0.015)


def test_many_doubtful_answers_against_each_other_settle() -> None:
    """However wrong the answers look, every variance stays above 0."""
    rng = np.random.default_rng(0)
    for _ in range(200):
        count = int(rng.integers(2, 6))
        root = rng.normal(size=(count, count))
        covariance = root @ root.T + 0.01 * np.eye(count)
        kinds: list[tuple[Outcome, float, str]] = [("passed", 0, "taste"), ("failed", 0, "smell"), ("leaks", 0, "")]
        chosen = [kinds[int(rng.integers(0, 3))] for _ in range(count)]
        chosen[0] = ("fit-factor", 150.0, "")
        mean, spread, evidence = posterior(rng.normal(4.6, 3, count), covariance, told(*chosen))
        assert np.isfinite([*mean, evidence]).all()
        assert (np.linalg.eigvalsh(spread) > -1e-9).all()
