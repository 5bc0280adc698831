"""Verdicts where configurations do not differ but methods of measuring do: how often they are wrong. Fixed seeds.

Run by hand, about ten minutes: python -m tests.bench.method_rates
"""

import math
from collections.abc import Sequence
from dataclasses import astuple, dataclass, replace

import numpy as np
import pandas as pd
from scipy.special import stdtrit

from builder.fit.compare.arms import Arm
from builder.fit.compare.bridging import estimate_methods, method_arms
from builder.fit.compare.contrasts import contrasts
from builder.fit.compare.like_with_like import LikeWithLike, MethodArm, like_with_like
from builder.fit.compare.limits import LimitedArm
from builder.fit.compare.methods import METHOD, Method, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter, nested_scatter
from builder.fit.compare.over_wearers import Told, over_wearers
from tests.bench.arguments import parser
from tests.bench.contrast_rates import table
from tests.fit.tables import scatter_of_all

LONG = Method("eight-exercise", "condensation-counter", "all-sizes")
SHORT = Method("one-exercise", "condensation-counter", "all-sizes")
OPTICAL = Method("eight-exercise", "optical-counter", "all-sizes")
BOTH = Method("one-exercise", "optical-counter", "all-sizes")
READS = {LONG: 0.0, SHORT: math.log(1.4), OPTICAL: math.log(2.0), BOTH: math.log(1.4 * 2.0)}
"""What each adds to ln FF on average."""

DONNING, WEARER = 0.45, 0.2
"""ln SDs between donnings, and between wearers in what two methods differ by."""


@dataclass(frozen=True)
class Truth:
    """Wearers who measure A and B, each side by one of `methods` (A's, B's), and `bridged` of them other arms by all.

    Where `mixed`, it is a coin a wearer whether B was measured by A's method. `ratio` is that of B to A.
    """

    name: str
    methods: tuple[Method, Method]
    bridged: int
    wearers: int = 8
    mixed: bool = False
    both: bool = False
    ratio: float = 1.0

    def draw(self, rng: np.random.Generator) -> pd.DataFrame:
        """A tidy table: A and B on each wearer, four more configurations twice each, and the bridging tests."""
        rows = []
        for wearer in range(self.wearers):
            own = {method: rng.normal(0, WEARER / math.sqrt(2)) for method in READS}
            first, other = self.methods
            used = first if self.mixed and rng.random() < 0.5 else other
            arms = [("a", first, 0.0), ("b", used, math.log(self.ratio))]
            if self.both:
                arms.append(("b", first, arms[1][2]))
            level = rng.normal(4, 0.8)
            tests = [(c, method, level + effect, int(rng.integers(1, 4))) for c, method, effect in arms]
            for spare in range(4):
                level = rng.normal(4, 0.8)
                tests.append((f"c{spare}", first, level, 2))
                if wearer < self.bridged and spare < 2:
                    tests.append((f"c{spare}", other, level, 2))
            for configuration, method, at, n in tests:
                y = rng.normal(at + own[method] + READS[method], DONNING, n)
                rows += [(configuration, f"w{wearer}", *astuple(method), float(value)) for value in np.exp(y)]
        found = pd.DataFrame(rows, columns=["configuration", "wearer", *METHOD, "fit_factor"])
        return found.assign(facial_hair="none", at_least=False, counted=True)


def compared(arms: pd.DataFrame, scatter: NestedScatter, effects: MethodEffects) -> list[LikeWithLike]:
    """B over A on each wearer who has both."""
    sides: dict[tuple[str, str], list[MethodArm]] = {}
    for row in arms[arms["configuration"].isin(["a", "b"])].to_dict("records"):
        readings = LimitedArm(row["n"], row["mean"], (), row["moderated"])
        method = Method(*(row[name] for name in METHOD))
        sides.setdefault((row["wearer"], row["configuration"]), []).append(MethodArm(method, readings, row["df"]))
    wearers = sorted({wearer for wearer, _ in sides})
    found = (like_with_like(sides[w, "a"], sides[w, "b"], w, scatter, effects) for w in wearers)
    return [one for one in found if one is not None]


def told(one: LikeWithLike) -> Told:
    """The wearer's own contrast with its verdict left out: only its figures are pooled."""
    variance, df = one.total
    plain = scatter_of_all(variance / 2)
    (contrast,) = contrasts(Arm.of([0.0]), Arm.of([one.difference.estimate]), plain, [""], [""])
    return Told(replace(contrast, df=df), shared=one.shared)


def figures(truth: Truth, draws: int, *, ignored: bool) -> list[float]:
    """False (or true) "clear" and "likely" and how often 90 % holds: on one wearer, then over all of them."""
    shares = np.zeros(6)
    for seed in range(draws):
        tests = truth.draw(np.random.default_rng([31, truth.bridged, seed]))
        if ignored:
            tests = tests.assign(protocol="", instrument="", size_selection="")
        scatter = nested_scatter(tests)
        arms = method_arms(tests, scatter)
        found = compared(arms, scatter, estimate_methods(tests, arms))
        true = math.log(truth.ratio)
        estimate = np.array([one.difference.estimate for one in found])
        variance, df = np.array([one.total for one in found]).T
        half90, half99 = (stdtrit(df, p) * np.sqrt(variance) for p in (0.95, 0.995))
        judgement, _, _ = over_wearers([told(one) for one in found])
        assert judgement.low90 is not None
        assert judgement.high90 is not None
        shares += [
            float(np.mean(np.abs(estimate) > half99)),
            float(np.mean(np.abs(estimate) > half90)),
            float(np.mean(np.abs(estimate - true) < half90)),
            judgement.verdict == "clear",
            judgement.verdict in ("clear", "likely"),
            judgement.low90 < truth.ratio < judgement.high90,
        ]
    return [float(share) for share in shares / draws]


NAMES = {SHORT: "protocol ×1.4", OPTICAL: "instrument ×2", BOTH: "both, ×2.8"}
FALSE = [
    *(
        Truth(f"{name}, B all by the other", (LONG, method), bridged)
        for method, name in NAMES.items()
        for bridged in (0, 2, 8)
    ),
    *(
        Truth(f"{name}, B half by the other", (LONG, method), bridged, mixed=True)
        for method, name in NAMES.items()
        for bridged in (0, 2, 8)
    ),
]
TRUE = [
    Truth("×2, one method", (LONG, LONG), 0, ratio=2.0),
    Truth("×2, B by another (×2) too", (LONG, OPTICAL), 0, ratio=2.0, both=True),
    Truth("×2, B by another (×2) too", (LONG, OPTICAL), 8, ratio=2.0, both=True),
    Truth("×2, B half by another (×2)", (LONG, OPTICAL), 0, ratio=2.0, mixed=True),
    Truth("×2, B half by another (×2)", (LONG, OPTICAL), 8, ratio=2.0, mixed=True),
    Truth("×2, B all by another (×2)", (LONG, OPTICAL), 8, ratio=2.0),
    Truth("×10, B all by another (×2.8)", (LONG, BOTH), 0, ratio=10.0),
    Truth("×10, B all by another (×2.8)", (LONG, BOTH), 8, ratio=10.0),
]


def rows(truths: Sequence[Truth], draws: int, *, ignored: bool) -> list[tuple[object, ...]]:
    """Rows of a table."""
    return [(truth.name, truth.bridged, *figures(truth, draws, ignored=ignored)) for truth in truths]


def main() -> None:
    """Print the tables."""
    arguments = parser(__file__, __doc__)
    arguments.add_argument("--draws", type=int, default=200, help="databases a row")
    draws = arguments.parse_args().draws
    one, over = "one wearer: ", "8 wearers: "
    head = (
        "methods",
        "bridging wearers",
        *(f"{who}{what}" for who in (one, over) for what in ("clear", "likely", "90 % holds")),
    )
    table("Nothing differing but how it was measured, methods ignored", head, rows(FALSE[::3], draws, ignored=True))
    table("Nothing differing but how it was measured", head, rows(FALSE, draws, ignored=False))
    table("Something differing: the share of true verdicts", head, rows(TRUE, draws, ignored=False))


if __name__ == "__main__":
    main()
