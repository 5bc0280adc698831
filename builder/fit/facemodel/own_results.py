"""What a reader tells of masks on their own face, as sites that the model can be conditioned on.

A fit factor is a reading like any other. "Passed", "failed" and "leaks at once" only say on which side of a limit one
donning lay, and some answers are wrong: a test by taste or smell passes some masks that leak and fails many that do
not. With p the share of wrong passes and f of wrong fails,

    P(passed | η) = p + (1 − p − f) Φ((η − limit)/τ),        P(failed | η) = 1 − P(passed | η),

where η is the true ln fit factor of this person in this mask and τ² the variance of one donning.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.linalg import block_diag

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import Method, MethodEffects
from builder.fit.levels import LEAKS_AT_ONCE, PASS_LEVEL

Outcome = Literal["fit-factor", "at-least", "passed", "failed", "leaks"]
WORDS: tuple[Literal["passed", "failed", "leaks"], ...] = ("passed", "failed", "leaks")
"""What may be told in a word instead of a fit factor, which may be one that it is at least."""


@dataclass(frozen=True)
class FitTestKind:
    """A kind of fit test: its share of passes among masks that do not reach the level, and of fails among the others.

    `source` is published.
    """

    wrong_passes: float
    wrong_fails: float
    source: str


_BY_SENSES = FitTestKind(
    0.11,
    0.5,
    "wrong passes: the highest of five methods, Coffey et al., Appl. Occup. Environ. Hyg. 2002;17:723–730; wrong "
    "fails: the most that ANSI/AIHA Z88.10 lets a method have, quoted in 84 FR 50739; values from memory",
)

FIT_TEST_KINDS: Mapping[str, FitTestKind] = {
    "quantitative": FitTestKind(0.0, 0.0, "the level itself: 29 CFR 1910.134(f)(7) and App. A"),
    "taste": _BY_SENSES,
    # No figures of its own are known for particle filters.
    "smell": _BY_SENSES,
}
"""The kinds that "passed" and "failed" may come from."""

LEAK_WRONGLY_FELT = 0.05
"""Share of masks above the limit of `LEAKS_AT_ONCE` that are said to leak all the same: no published source."""


@dataclass(frozen=True)
class OwnResult:
    """One donning of a mask on the reader's own face: what came out.

    `configuration` is one of the model's, or "" for a mask it does not have; then `style` tells all that is known.
    `method` is how a fit factor was measured, None where by the method that chances are stated for.
    """

    configuration: str
    outcome: Outcome
    fit_factor: float = float("nan")
    kind: str = "quantitative"
    method: Method | None = None
    style: str = ""


@dataclass(frozen=True)
class Sites:
    """The likelihoods of n answers, each about one true ln fit factor.

    With `side` 0 it is a reading at `place`; with 1 or −1 the donning lay above or below `place`, and the likelihood is
    `floor` + `slope` Φ(side (η − place)/τ).
    """

    side: FloatArray
    place: FloatArray
    floor: FloatArray
    slope: FloatArray
    shift: FloatArray
    """What the method of each adds to ln fit factor, with the joint `shift_covariance` of these, (n, n)."""
    shift_covariance: FloatArray


def covering(methods: MethodEffects, asked: Iterable[Method]) -> MethodEffects:
    """What methods differ by, with the prior for the levels of those asked for that nobody has measured with."""
    missing = sorted({level for method in asked for level in method.levels} - set(methods.levels))
    prior = np.diag(methods.scales.of_levels(missing) ** 2)
    return replace(
        methods,
        levels=(*methods.levels, *missing),
        mean=np.concatenate([methods.mean, np.zeros(len(missing))]),
        covariance=block_diag(methods.covariance, prior) if missing else methods.covariance,
    )


def sites_of(own: Sequence[OwnResult], methods: MethodEffects, reference: Method) -> Sites:
    """The answers as likelihoods. KeyError for a kind of test that is not known, and for a method's level."""
    rows = [_site(result) for result in own]
    side, place, floor, slope = np.array(rows, dtype=float).reshape(-1, 4).T
    taken = [methods.adjustment(reference, result.method or reference) for result in own]
    loading = np.array([one.loading for one in taken]).reshape(len(own), -1)
    ways = [result.method or reference for result in own]
    # How a method differs on this person is the same for all that they measured with it.
    same = np.array([[a == b for b in ways] for a in ways]).reshape(len(own), len(own))
    person = same * np.array([one.own for one in taken])
    return Sites(
        side, place, floor, slope, np.array([one.estimate for one in taken], dtype=float), loading @ loading.T + person
    )


def _site(result: OwnResult) -> tuple[float, float, float, float]:
    if result.outcome == "fit-factor":
        # Below 1 nothing can protect less, as for the readings that the model is fitted to.
        return 0.0, float(np.log(max(result.fit_factor, 1.0))), 0.0, 1.0
    if result.outcome == "at-least":
        return 1.0, float(np.log(max(result.fit_factor, 1.0))), 0.0, 1.0
    if result.outcome == "leaks":
        return -1.0, float(np.log(LEAKS_AT_ONCE)), LEAK_WRONGLY_FELT, 1 - LEAK_WRONGLY_FELT
    kind = FIT_TEST_KINDS[result.kind]
    floor = kind.wrong_passes if result.outcome == "passed" else kind.wrong_fails
    side = 1.0 if result.outcome == "passed" else -1.0
    return side, float(np.log(PASS_LEVEL)), floor, 1 - kind.wrong_passes - kind.wrong_fails
