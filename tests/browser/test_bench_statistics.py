"""What the bench page computes is what the builder computes: the order of a run, and what an evening's takes tell."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pandas as pd
import pytest
from playwright.sync_api import Page

from builder.fit.compare.factorial import Effect, Factorial
from builder.fit.compare.methods import MethodEffects
from builder.fit.plan.evening import Evening, evening
from builder.fit.plan.fractions import Factor
from builder.fit.plan.one_more import OneMore, WorthIt
from builder.fit.plan.run_order import run_order
from tests.fit.tables import ONE_METHOD, SLOTS, scatter_of_all, tidy

ORDER = """async (cases) => {
    const { runOrder } = await import(new URL("../assets/scripts/statistics/run-order.js", location.href));
    return cases.map(({ factors, ...asked }) => runOrder(factors, asked)
        .map(({ specimen, configuration, purpose }) => [specimen, configuration, purpose]));
}"""

TOLD = """async (cases) => {
    const from = (name) => import(new URL(`../assets/scripts/statistics/${name}.js`, location.href));
    const { eveningVerdicts } = await from("evening-verdicts");
    const slots = cases.slots;
    return cases.evenings.map(({ readings, scatter, wearer }) => {
        const partsOf = (configuration) => Object.fromEntries(configuration.split("+").slice(1)
            .map((part) => [slots.find((slot) => part.startsWith(`${slot}-`)), part]));
        return eveningVerdicts(readings, { scatter, wearer }, { mask: "cup", partsOf, slots });
    });
}"""

OPTIONS = {"straps": ("band", "clip"), "nose_wire": ("slim", "broad"), "nose_foam": ("thin",), "edge": ("tape",)}
JUDGED = ("verdict", "direction", "bound", "donnings_needed", "donnings_for_seen")
FIGURES = ("ratio", "low90", "high90", "low99", "high99", "p_value")


def test_the_order_is_that_of_the_command(scripts: Page) -> None:
    random = np.random.default_rng(5)
    cases: list[dict[str, Any]] = []
    expected = []
    for _ in range(150):
        factors = []
        for number in range(int(random.integers(1, 5))):
            parts = tuple(f"{'abcd'[number]}{place}" for place in range(int(random.integers(1, 4))))
            lasting = frozenset(part for part in parts if random.random() < 0.3)
            factors.append(Factor(f"slot-{number}", parts, lasting))
        half = bool(random.random() < 0.4) and sum(factor.two_level for factor in factors) >= 3
        donnings, seed = int(random.integers(1, 4)), int(random.choice([0, 1, 2, 283, 2**32 - 1]))
        run = run_order(factors, half, donnings, np.random.default_rng(seed))
        told = [{"slot": f.slot, "parts": list(f.parts), "lasting": sorted(f.lasting)} for f in factors]
        cases.append({"factors": told, "half": half, "donnings": donnings, "seed": seed})
        expected.append([[one.specimen, list(one.configuration), one.purpose] for one in run])
    assert scripts.evaluate(ORDER, cases) == expected


def random_takes(random: np.random.Generator) -> pd.DataFrame:
    """An evening of some configurations of a cup, most of them with as sold, some with limits."""
    used = {slot: ("", *own) if random.random() < 0.6 else ("",) for slot, own in OPTIONS.items()}
    combinations = list(itertools.product(*used.values()))
    tried = [combinations[place] for place in random.permutation(len(combinations))[: int(random.integers(1, 9))]]
    if random.random() < 0.9:
        tried = list(dict.fromkeys([combinations[0], *tried]))
    spread = random.choice([0.05, 0.8])
    effects = {part: random.normal(0, spread) for own in OPTIONS.values() for part in own}
    limited, together = random.random() < 0.2, float(random.choice([0.0, 2.5]))
    rows: list[tuple[str, str, float]] = []
    at_least: list[int] = []
    for chosen in tried:
        parts = [f"{slot}-{part}" for slot, part in zip(OPTIONS, chosen, strict=True) if part]
        for _ in range(int(random.integers(1, 5))):
            level = (
                3.5
                + together * (len(parts) > 1)
                + sum(effects[part] for part in chosen if part)
                + random.normal(0, 0.3)
            )
            if limited and random.random() < 0.3:
                at_least.append(len(rows))
            rows.append(("+".join(["cup", *parts]), "w", round(float(np.exp(max(level, 0.1))), 2)))
    return tidy(rows, at_least=at_least)


def close(found: Any, expected: float | None) -> None:
    if expected is None:
        assert found is None
    else:
        assert found == pytest.approx(expected, rel=1e-6, abs=1e-9)


def same_effect(found: dict[str, float], expected: Effect) -> None:
    for name in ("ratio", "low95", "high95", "p_value"):
        close(found[name], getattr(expected, name))


def same_parts(found: dict[str, Any], expected: Factorial) -> None:
    assert tuple(found["configurations"]) == expected.configurations
    assert tuple(found["leftOut"]) == expected.left_out
    assert found["complete"] == expected.complete
    close(found["gsd"], expected.gsd)
    close(found["df"], expected.df)
    for shown, effect in zip(found["effects"], expected.effects, strict=True):
        assert (shown["slot"], shown["part"], shown["against"]) == (effect.slot, effect.part, effect.against)
        assert tuple(shown["aliases"]) == effect.aliases
        assert (shown["effect"] is None) == (effect.effect is None)
        if effect.effect:
            same_effect(shown["effect"], effect.effect)
    for shown, pair in zip(found["interactions"], expected.interactions, strict=True):
        assert (shown["part"], shown["other"]) == (pair.part, pair.other)
        same_effect(shown["effect"], pair.effect)
    for shown, one in zip(found["conditional"], expected.conditional, strict=True):
        assert (shown["part"], shown["other"]) == (one.part, one.other)
        same_effect(shown["apart"], one.apart)
        same_effect(shown["together"], one.together)


def same_chances(found: dict[str, Any], expected: OneMore) -> None:
    assert found["side"] == expected.side
    assert found["outcomes"] == pytest.approx(expected.outcomes, abs=1e-6)
    assert found["chance"] == pytest.approx(expected.chance, abs=1e-6)


def same_worth(found: dict[str, Any] | None, expected: WorthIt | None) -> None:
    assert (found is None) == (expected is None)
    if found and expected:
        assert (found["fewer"], found["forSeen"]) == (expected.fewer, expected.for_seen)
        same_chances(found["a"], expected.a)
        same_chances(found["b"], expected.b)
        same_chances(found["each"], expected.each)


def test_many_evenings_tell_what_the_builder_says(scripts: Page) -> None:
    random = np.random.default_rng(3)
    effects = MethodEffects.unknown([ONE_METHOD])
    told: list[dict[str, Any]] = []
    expected: list[Evening] = []
    for _ in range(60):
        variance, df = float(random.uniform(0.01, 0.4)), float(random.uniform(3, 40))
        scatter = scatter_of_all(variance, df, float(random.choice([5.0, 20.0, 80.0])))
        takes = random_takes(random)
        expected.append(evening(takes, scatter, effects, SLOTS))
        rows = zip(takes["configuration"], takes["fit_factor"].tolist(), takes["at_least"].tolist(), strict=True)
        told.append(
            {
                "readings": [{"configuration": c, "fitFactor": value, "atLeast": limit} for c, value, limit in rows],
                "scatter": {"variance": variance, "arm_df": scatter.arm_df, "planned": False},
                "wearer": {"variance": variance, "df": df},
            }
        )
    found = scripts.evaluate(TOLD, {"slots": list(SLOTS), "evenings": told})
    for shown, one in zip(found, expected, strict=True):
        assert [c["configuration"] for c in shown["changes"]] == [c.rung.configuration for c in one.changes]
        for change, wanted in zip(shown["changes"], one.changes, strict=True):
            for name in JUDGED:
                assert change["found"][name] == getattr(wanted.rung.comparison, name), name
            for name in FIGURES:
                close(change["found"][name], getattr(wanted.rung.comparison, name))
            same_worth(change["worth"], wanted.worth)
        assert (shown["parts"] is None) == (one.parts is None)
        if one.parts:
            same_parts(shown["parts"], one.parts)
    verdicts = {change.rung.comparison.verdict for one in expected for change in one.changes}
    assert verdicts == {"clear", "likely", "alike", "cannot-tell"}
    assert sum(one.parts is not None for one in expected) > 20
    assert any(one.parts.conditional for one in expected if one.parts)
    assert any(not change.worth for one in expected for change in one.changes)
