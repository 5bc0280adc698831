"""What is stated of a fresh person after own results, against the truth of invented databases.

For each truth databases, and in each a few people whom it does not hold, who tell none to three results: exact ones, or
words (passed, failed, leaks at once, a taste test) of which some are wrong. The table gives how often the 90 % interval
of single donnings holds, and for lists of three the chance claimed and the share that held a pass.

Set OMP_NUM_THREADS=1.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy.special import ndtr

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import METHOD
from builder.fit.facemodel import FaceDescription, FaceModel, fit_face_model, leave_wearers_out
from builder.fit.facemodel.own_results import FIT_TEST_KINDS, LEAK_WRONGLY_FELT, OwnResult
from builder.fit.facemodel.personal import informed
from builder.fit.facemodel.reference import REFERENCE
from builder.fit.levels import LEAKS_AT_ONCE, PASS_LEVEL
from tests.bench.arguments import parser
from tests.bench.face_model_scores import TRUTHS
from tests.fit.facemodel.simulation import World, simulate

FRESH = 6
"""People of each database who are left out of it."""
_TESTS_OF_FRESH = 24
_FEWEST = 6
_SAID = 1 / 3
_FOLDS = 5
KINDS = ("fit factors", "words")


@dataclass(frozen=True)
class Outcome:
    """One prediction of a configuration that was not told of, or with `claimed` one list of three."""

    told: int
    holds: float
    claimed: float
    came_true: float


def fresh_people(world: World, seed: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    """A database, and the tests of a few more people drawn from the same truth, many each."""
    wide = replace(world, wearers=world.wearers + FRESH, tests=world.tests + FRESH * _TESTS_OF_FRESH)
    table = simulate(wide, seed)
    people = sorted(table["wearer"].unique())[-FRESH:]
    held = table["wearer"].isin(people)
    return table[~held].reset_index(drop=True), table[held].reset_index(drop=True)


def answer(row: pd.Series, words: bool, rng: np.random.Generator) -> OwnResult:
    """What somebody tells of one of their tests; answers in words are wrong as often as the published shares say."""
    name, fit_factor = str(row["configuration"]), float(row["fit_factor"])
    if not words:
        return OwnResult(name, "at-least" if row["at_least"] else "fit-factor", fit_factor)
    # Said as often as the likelihood has it, but by one in three: or "failed" would mean "does not leak at once".
    if rng.random() < _SAID * (1 if fit_factor < LEAKS_AT_ONCE else LEAK_WRONGLY_FELT):
        return OwnResult(name, "leaks")
    kind = "taste" if rng.random() < 0.5 else "quantitative"
    test, passed = FIT_TEST_KINDS[kind], fit_factor >= PASS_LEVEL
    wrong = rng.random() < (test.wrong_fails if passed else test.wrong_passes)
    return OwnResult(name, "passed" if passed != wrong else "failed", kind=kind)


def published_model(table: pd.DataFrame) -> FaceModel:
    """The model as a site would use it, with the weight of masks being alike that its own check leads to."""
    model = fit_face_model(table)
    return replace(model, alike_weight=leave_wearers_out(model, table, _FOLDS).alike_weight)


def outcomes(model: FaceModel, held: pd.DataFrame, seed: int, words: bool) -> Iterator[Outcome]:
    """Everything that is predicted of the fresh people of one database, for the reference method."""
    rng = np.random.default_rng(seed)
    listed = set(model.design.catalogue.configurations)
    held = held[(held[METHOD] == [getattr(REFERENCE, name) for name in METHOD]).all(axis=1)]
    for _, own in held[held["configuration"].isin(listed)].groupby("wearer"):
        first = own.drop_duplicates("configuration")
        if len(first) < _FEWEST:
            continue
        row = first.iloc[0]
        face = FaceDescription(
            None if np.isnan(row["face_length_mm"]) else float(row["face_length_mm"]),
            None if np.isnan(row["face_width_mm"]) else float(row["face_width_mm"]),
            str(row["cell"]),
            str(row["nose_bridge"]),
        )
        drawn = first.iloc[rng.permutation(len(first))]
        told = [answer(one, words, rng) for _, one in drawn.iloc[:3].iterrows()]
        for count in range(4):
            yield from _after(model, face, told[:count], drawn.iloc[3:])


def _after(model: FaceModel, face: FaceDescription, told: list[OwnResult], rest: pd.DataFrame) -> Iterator[Outcome]:
    names = rest["configuration"].tolist()
    found = informed(model, face, told) if told else None
    predicted = found.predict(names) if found else model.predict(face, names)
    reading: FloatArray = np.log(rest["fit_factor"].to_numpy(float))
    low, high = (np.log(predicted[name].to_numpy(float)) for name in ("fit_low", "fit_high"))
    middle, sd = (low + high) / 2, (high - low) / (2 * 1.6448536)
    place = (reading - middle) / sd
    beyond = np.clip(0.95 - ndtr(np.maximum(place, -1.6448536)), 0, None) / np.maximum(ndtr(-place), 1e-6)
    holds = np.where(rest["at_least"].to_numpy(bool), beyond, np.abs(place) <= 1.6448536)
    for one in holds:
        yield Outcome(len(told), float(one), np.nan, np.nan)
    list_of_three = found.try_first(3, names) if found else model.try_first(face, 3, names)
    passed = rest.set_index("configuration")["fit_factor"] >= PASS_LEVEL
    chosen = [one.configuration for one in list_of_three]
    yield Outcome(len(told), np.nan, list_of_three[-1].cumulative_chance, float(passed.loc[chosen].any()))


def main(databases: int) -> None:
    """Print the table."""
    print(f"{databases} databases for each truth, {FRESH} fresh people each.\n")
    print("| truth | told | as | 90 % of donnings holds | first three: claimed | came true | lists |")
    print("|---|---|---|---|---|---|---|", flush=True)
    for name, world in TRUTHS.items():
        fitted = []
        for seed in range(1_000, 1_000 + databases):
            table, held = fresh_people(world, seed)
            fitted.append((published_model(table), held, seed))
        for kind in KINDS:
            rows = pd.DataFrame([one for each in fitted for one in outcomes(*each, kind == "words")])
            for told, own in rows.groupby("told"):
                if kind == "words" and not told:
                    continue
                means, lists = own.mean(), int(own["claimed"].notna().sum())
                print(
                    f"| {name} | {told} | {kind if told else '–'} | {means['holds']:.3f} | {means['claimed']:.3f} | "
                    f"{means['came_true']:.3f} | {lists} |",
                    flush=True,
                )


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("databases", nargs="?", type=int, default=20, help="databases for each truth")
    main(**vars(arguments.parse_args()))
