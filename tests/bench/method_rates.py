"""Verdicts where configurations do not differ but methods of measuring do: how often they are wrong. Fixed seeds.

Run by hand, about ten minutes: python -m tests.bench.method_rates
"""

import math
from collections.abc import Sequence
from dataclasses import astuple, dataclass

import numpy as np
import pandas as pd
from scipy.special import stdtrit

from builder.fit.compare.bridging import estimate_methods, method_arms
from builder.fit.compare.measured_arms import measured_arms
from builder.fit.compare.methods import METHOD, Method
from builder.fit.compare.nested_scatter import nested_scatter
from builder.fit.compare.two_configurations import compare
from tests.bench.arguments import parser
from tests.bench.contrast_rates import table

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


def figures(truth: Truth, draws: int, *, ignored: bool) -> list[float]:
    """False (or true) "clear" and "likely" and how often 90 % holds: on one wearer, then over all of them."""
    shares = np.zeros(6)
    for seed in range(draws):
        tests = truth.draw(np.random.default_rng([31, truth.bridged, seed]))
        if ignored:
            tests = tests.assign(protocol="", instrument="", size_selection="")
        scatter = nested_scatter(tests)
        arms = method_arms(tests, scatter)
        found = compare(measured_arms(tests, scatter, estimate_methods(tests, arms)), "a", "b")
        true = math.log(truth.ratio)
        estimate, variance, df = np.array([(c.estimate, c.variance, c.df) for c in found.wearers]).T
        half90, half99 = (stdtrit(df, p) * np.sqrt(variance) for p in (0.95, 0.995))
        assert found.low90 is not None
        assert found.high90 is not None
        shares += [
            float(np.mean(np.abs(estimate) > half99)),
            float(np.mean(np.abs(estimate) > half90)),
            float(np.mean(np.abs(estimate - true) < half90)),
            found.verdict == "clear",
            found.verdict in ("clear", "likely"),
            found.low90 < truth.ratio < found.high90,
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
