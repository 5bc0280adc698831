"""What is stated of a fresh person after own results, against the truth of invented databases.

For each truth databases, and for each a few people whom it does not hold, who tell none to three results: exact ones,
or words (passed, failed, leaks at once, a taste test) of which some are wrong. As the truth is known, so is the chance
of everything that was stated, over all people with such a face who would tell the same. The table has

- how often a single donning falls within its 90 % interval,
- how often the 90 % interval of a chance holds the true share of people with this face who told this (`low` to
  `high`), and the chance of a single one of them (`own_low` to `own_high`),
- of lists of three, out of ten not told of and out of all not told of, the chance claimed and the true one.

Each with its standard error, from how databases differ. Set OMP_NUM_THREADS=1.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from functools import cache

import numpy as np
import pandas as pd
from scipy.special import ndtr, stdtr
from scipy.stats import t as student

from builder.fit.arrays import BoolArray, FloatArray
from builder.fit.facemodel import FaceDescription, FaceModel, fit_face_model
from builder.fit.facemodel.own_results import FIT_TEST_KINDS, LEAK_WRONGLY_FELT, OwnResult
from builder.fit.facemodel.personal import informed
from builder.fit.facemodel.validate import learn_alike_weight
from builder.fit.levels import LEAKS_AT_ONCE, PASS_LEVEL
from builder.fit.panel import cells_of
from tests.bench.arguments import parser
from tests.bench.face_model_scores import TRUTHS
from tests.fit.facemodel.simulation import METHODS, Invented, World, faces_of, invent

FRESH = 6
"""People whom each database does not hold."""
MOST_TOLD = 3
FEW = 10
"""Configurations that the shorter lists are out of: out of all, there are nearly always some that pass."""
KINDS = ("fit factors", "words")
_SAID = 1 / 3
_FOLDS = 5
_ALIKE = 10_000
"""People drawn to find the share among those with the same face and answers."""
_POOL = 40_000
"""Faces drawn to find those that a panel cell stands for."""
LIMIT = float(np.log(PASS_LEVEL))


@dataclass(frozen=True)
class Person:
    """Somebody whom the database does not hold. `face` is what they say of it, `true` their ln fit factors."""

    face: FaceDescription
    true: FloatArray
    alike: FloatArray
    """The same of many people with a face of this description, (people, configurations)."""


@dataclass(frozen=True)
class Answer:
    """What was told, about a configuration by its number, with how likely each of those alike was to tell it."""

    result: OwnResult
    number: int
    likelihood: FloatArray


@dataclass(frozen=True)
class Outcome:
    """What holds after `told` results, on average over people who tell these and over what was not told of."""

    told: int
    holds: float
    people: float
    one: float
    claimed: float
    came_true: float
    """Of lists out of ten, and out of all:"""
    claimed_of_all: float
    came_true_of_all: float


def below(world: World, away: FloatArray) -> FloatArray:
    """Chance that one donning lies less than `away` above the true value, ln."""
    scaled = away / world.scales.redonning
    return np.asarray(stdtr(3, scaled) if world.heavy_tails else ndtr(scaled))


def fresh_people(invented: Invented, rng: np.random.Generator) -> Iterator[Person]:
    """Draw people from the same truth as the database."""
    world = invented.world
    for face in faces_of(replace(world, wearers=FRESH), rng):
        hidden = rng.random() < world.cell_only_share
        bridge = face.nose_bridge if rng.random() < world.bridge_known_share else "unknown"
        cell = str(cells_of(np.array([face.length_mm]), np.array([face.width_mm]))[0])
        said = replace(face, nose_bridge=bridge)
        mean = invented.expected([face])
        if hidden:
            said = FaceDescription(cell=cell, nose_bridge=bridge)
            faces, cells = _pool()
            same = np.flatnonzero((cells == cell) & np.isin([one.nose_bridge for one in faces], _allowed(bridge)))
            different, place = np.unique([_key(faces[number]) for number in same], axis=0, return_inverse=True)
            of_each = invented.expected([FaceDescription(a, b, nose_bridge=_BRIDGES[int(c)]) for a, b, c in different])
            mean = of_each[place.reshape(-1)[rng.integers(0, len(same), _ALIKE)]]
        true = invented.expected([face])[0] + invented.own_terms(1, rng)[0]
        yield Person(said, true, mean + invented.own_terms(_ALIKE, rng))


_BRIDGES = ("low", "medium", "high")


def _allowed(bridge: str) -> list[str]:
    return [bridge] if bridge in _BRIDGES else list(_BRIDGES)


def _key(face: FaceDescription) -> tuple[float, float, int]:
    return face.length_mm or 0.0, face.width_mm or 0.0, _BRIDGES.index(face.nose_bridge)


@cache
def _pool() -> tuple[list[FaceDescription], FloatArray]:
    faces = faces_of(World(wearers=_POOL), np.random.default_rng(0))
    length, width = (np.array([getattr(face, name) for face in faces]) for name in ("length_mm", "width_mm"))
    return faces, cells_of(length, width).astype(str)


def tell(invented: Invented, person: Person, number: int, words: bool, rng: np.random.Generator) -> Answer:
    """What somebody tells of one donning; answers in words are wrong as often as the published shares say."""
    world, true, alike = invented.world, person.true[number], person.alike[:, number]
    name = str(invented.passing.index[number])
    noise = float(rng.standard_t(3) if world.heavy_tails else rng.standard_normal())
    if not words:
        which = int(rng.integers(0, len(METHODS))) if world.mixed_methods else 0
        method, adds = METHODS[which] if world.mixed_methods else None, invented.methods[which]
        reading = true + adds + world.scales.redonning * noise
        if reading >= np.log(world.ceiling):
            result = OwnResult(name, "at-least", world.ceiling)
            return Answer(result, number, 1 - below(world, np.log(world.ceiling) - alike))
        if reading <= 0:
            return Answer(OwnResult(name, "fit-factor", 1.0, method=method), number, below(world, -adds - alike))
        scaled = (reading - adds - alike) / world.scales.redonning
        density = student.pdf(scaled, 3) if world.heavy_tails else np.exp(-0.5 * scaled**2)
        return Answer(OwnResult(name, "fit-factor", float(np.exp(reading)), method=method), number, np.asarray(density))
    fit_factor = np.exp(true + world.scales.redonning * noise)
    region = int(fit_factor >= LEAKS_AT_ONCE) + int(fit_factor >= PASS_LEVEL)
    kind = "taste" if rng.random() < 0.5 else "quantitative"
    told = {word: chances[region] for word, chances in said(kind).items()}
    word = str(rng.choice(list(told), p=list(told.values())))
    edges = below(world, np.log([LEAKS_AT_ONCE, PASS_LEVEL]) - alike[:, None])
    regions = np.column_stack([edges[:, 0], edges[:, 1] - edges[:, 0], 1 - edges[:, 1]])
    result = OwnResult(name, "leaks") if word == "leaks" else OwnResult(name, word, kind=kind)  # type: ignore[arg-type]
    return Answer(result, number, regions @ said(kind)[word])


def said(kind: str) -> dict[str, FloatArray]:
    """The chance of each word after a donning that leaks at once, one that fails otherwise, and one that passes.

    That it leaks is said as often as the likelihood has it, but by one in three: or "failed" would mean "does not leak
    at once".
    """
    test = FIT_TEST_KINDS[kind]
    leaks = _SAID * np.array([1, LEAK_WRONGLY_FELT, LEAK_WRONGLY_FELT])
    passes = np.array([test.wrong_passes, test.wrong_passes, 1 - test.wrong_fails])
    return {"leaks": leaks, "passed": (1 - leaks) * passes, "failed": (1 - leaks) * (1 - passes)}


def published_model(table: pd.DataFrame) -> FaceModel:
    """The model as a site would use it, with the weight of masks being alike that its own check leads to."""
    model = fit_face_model(table)
    return replace(model, alike_weight=learn_alike_weight(model, table, _FOLDS))


def outcomes(invented: Invented, model: FaceModel, seed: int, words: bool) -> Iterator[Outcome]:
    """Everything that is stated of the fresh people of one database, for the reference method."""
    drawn, rng = np.random.default_rng([seed, 0]), np.random.default_rng([seed, 1 + int(words)])
    every = invented.passing.index
    listed = np.flatnonzero(every.isin(model.design.catalogue.configurations))
    for person in fresh_people(invented, drawn):
        order = rng.permutation(listed)
        answers = [tell(invented, person, int(n), words, rng) for n in order[:MOST_TOLD]]
        names, alike = every[order[MOST_TOLD:]].tolist(), person.alike[:, order[MOST_TOLD:]]
        chances = 1 - below(invented.world, LIMIT - alike)
        for count in range(MOST_TOLD + 1):
            told = answers[:count]
            likelihood = np.prod([answer.likelihood for answer in told], axis=0) if told else np.ones(len(alike))
            found = informed(model, person.face, [answer.result for answer in told]) if told else None
            predicted = found.predict(names) if found else model.predict(person.face, names)
            low, high = (np.log(predicted[name].to_numpy(float)) for name in ("fit_low", "fit_high"))
            # A donning that protects less than not at all reads 1.
            low, high = np.where(low <= 0, -np.inf, low), np.maximum(high, 0)
            holds = below(invented.world, high - alike) - below(invented.world, low - alike)
            lists = []
            for among in (names[:FEW], names):
                first = found.try_first(3, among) if found else model.try_first(person.face, 3, among)
                chosen = [names.index(one.configuration) for one in first]
                lists += [first[-1].cumulative_chance, _mean(1 - np.prod(1 - chances[:, chosen], axis=1), likelihood)]
            share = likelihood @ chances / likelihood.sum()
            yield Outcome(
                told=count,
                holds=_mean(holds.mean(axis=1), likelihood),
                people=float(_inside(predicted, "low", "high", share).mean()),
                one=_mean(_inside(predicted, "own_low", "own_high", chances).mean(axis=1), likelihood)
                if found
                else np.nan,
                claimed=lists[0],
                came_true=lists[1],
                claimed_of_all=lists[2],
                came_true_of_all=lists[3],
            )


def _mean(values: FloatArray, likelihood: FloatArray) -> float:
    """The mean over people who would tell what was told."""
    return float(likelihood @ values / likelihood.sum())


def _inside(predicted: pd.DataFrame, low: str, high: str, truth: FloatArray) -> BoolArray:
    return np.asarray((predicted[low].to_numpy() <= truth) & (truth <= predicted[high].to_numpy()))


def rows_of(name: str, world: World, databases: int) -> Iterator[str]:
    """The lines of the table for one truth."""
    found = []
    for seed in range(1_000, 1_000 + databases):
        invented = invent(world, seed)
        model = published_model(invented.table)
        for kind in KINDS:
            found += [
                asdict(one) | {"kind": kind, "database": seed}
                for one in outcomes(invented, model, seed, kind == "words")
            ]
    table = pd.DataFrame(found)
    for of in ("", "_of_all"):
        table[f"ahead{of}"] = 100 * (table[f"claimed{of}"] - table[f"came_true{of}"])
    for _, own in table.groupby(["kind", "told"], sort=False):
        kind, told = str(own["kind"].iloc[0]), int(own["told"].iloc[0])
        if kind == "words" and not told:
            continue
        each = own.groupby("database").mean(numeric_only=True)
        mean, error = each.mean(), each.sem()
        figures = [
            f"{mean[column]:.3f} ± {error[column]:.3f}" if told or column != "one" else "–"
            for column in ("holds", "people", "one")
        ]
        lists = [
            f"{mean[f'claimed{of}']:.2f} / {mean[f'came_true{of}']:.2f}: "
            f"{mean[f'ahead{of}']:+.1f} ± {error[f'ahead{of}']:.1f}"
            for of in ("", "_of_all")
        ]
        yield f"| {' | '.join([name, f'{told} {kind}' if told else '0', *figures, *lists])} |"


def main(databases: int, truth: list[str] | None) -> None:
    """Print the table, a truth at a time."""
    print(f"{databases} databases for each truth, {FRESH} fresh people each.\n")
    print(
        "| truth | told | 90 % of donnings: holds | of the chance of people | of one's own chance "
        "| three of ten: claimed / true: points ahead | three of all |"
    )
    print("|---|---|---|---|---|---|---|", flush=True)
    for name in truth or TRUTHS:
        for line in rows_of(name, TRUTHS[name], databases):
            print(line, flush=True)


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("databases", nargs="?", type=int, default=24, help="databases for each truth")
    arguments.add_argument("--truth", action="append", choices=list(TRUTHS), help="only this one; repeatable")
    main(**vars(arguments.parse_args()))
