"""How well the face model predicts people left out of invented databases, beside simpler predictions.

The tables are Markdown. The simpler predictions are the mean of the configuration and the overall share of passes. Set
OMP_NUM_THREADS=1.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from builder.fit.facemodel import Validation, fit_face_model, leave_wearers_out
from tests.bench.arguments import parser
from tests.fit.facemodel.simulation import World, faces_of, flat_faces, invent, simulate

SMALL = World(wearers=10, masks=8, configurations=30, tests=160)
TRUTHS = {
    "as modelled": SMALL,
    "heavy tails": replace(SMALL, heavy_tails=True),
    "ceilings at 200": replace(SMALL, ceiling=200.0),
    "panel cells only": replace(SMALL, cell_only_share=1.0, bridge_known_share=0.0),
    "mask size must suit the face": replace(SMALL, size_mismatch=True),
    "faces tell nothing": flat_faces(SMALL),
    "parts act by nose bridge": replace(SMALL, parts_by_bridge=0.5),
    "several methods of measuring": replace(SMALL, mixed_methods=True),
    "masks all alike": replace(SMALL, masks_alike=True),
}


def row(name: str, found: Sequence[Validation]) -> str:
    """The averages of one truth's databases."""
    scores = [[getattr(v, kind) for v in found] for kind in ("model", "configuration_mean", "overall_share")]
    cells = [f"{np.mean([s.log_score for s in kind]):.3f} / {np.mean([s.brier for s in kind]):.3f}" for kind in scores]
    coverage = np.mean([v.coverage for v in found])
    three = [v.first_three for v in found]
    lists = " / ".join(
        f"{np.mean(values):.3f}"
        for values in ([t.claimed for t in three], [t.came_true for t in three], [t.by_mean for t in three])
    )
    used = np.mean([not v.behind for v in found])
    alike = np.mean([v.alike_weight for v in found])
    return f"| {name} | {' | '.join(cells)} | {coverage:.3f} | {lists} | {used:.0%} | {alike:.2f} |"


def reliability(found: Sequence[Validation]) -> pd.DataFrame:
    """Tenths of the scale, over all databases together."""
    bins = pd.concat([v.reliability for v in found])
    sums = bins.assign(predicted=bins["predicted"] * bins["n"], came_true=bins["came_true"] * bins["n"])
    total = sums.groupby("bin_low")[["predicted", "came_true", "n"]].sum()
    return total.assign(predicted=total["predicted"] / total["n"], came_true=total["came_true"] / total["n"])


def population_coverage(world: World, databases: int) -> tuple[float, float]:
    """How often the 90 % interval of a configuration's population share holds the truth, and with fixed scales."""
    drawn: list[float] = []
    fixed: list[float] = []
    for seed in range(databases):
        invented = invent(world, seed)
        model = fit_face_model(invented.table)
        for one, held in ((model, drawn), (replace(model, posteriors=(model.best,)), fixed)):
            found = one.population().set_index("configuration")
            truth = invented.passing[found.index]
            held.append(float(((found["low"] <= truth) & (truth <= found["high"])).mean()))
    return float(np.mean(drawn)), float(np.mean(fixed))


def face_coverage(world: World, databases: int, people: int = 6) -> tuple[float, float]:
    """How often the 90 % interval of a chance on a face holds that of people with the face, and that of one of them."""
    held: list[float] = []
    own: list[float] = []
    for seed in range(databases):
        invented, rng = invent(world, seed), np.random.default_rng([7, seed])
        model = fit_face_model(invented.table)
        names = invented.passing.index
        for face in faces_of(replace(world, wearers=people), rng):
            found = model.predict(face).set_index("configuration")
            for truth, shares in zip(invented.chances(face, rng), (held, own), strict=True):
                true = pd.Series(truth, index=names)[found.index]
                shares.append(float(((found["low"] <= true) & (true <= found["high"])).mean()))
    return float(np.mean(held)), float(np.mean(own))


def checked(table: pd.DataFrame) -> Validation:
    """Fit one database and leave its wearers out one by one."""
    return leave_wearers_out(fit_face_model(table), table)


def main(databases: int) -> None:
    """Print the tables."""
    print(f"{databases} databases of {SMALL.wearers} wearers and {SMALL.tests} tests for each truth.\n")
    print(
        "| truth | model: log score / Brier | configuration mean | overall share | 90 % holds | "
        "three: claimed / came true / by mean | used | weight of alike |"
    )
    print("|---|---|---|---|---|---|---|---|", flush=True)
    everything: list[Validation] = []
    for name, world in TRUTHS.items():
        found = [checked(simulate(world, seed)) for seed in range(databases)]
        everything += found
        print(row(name, found), flush=True)
    print("\n| chance from | predicted | came true | tests |\n|---|---|---|---|")
    for low, values in reliability(everything).iterrows():
        print(f"| {low:.1f} | {values['predicted']:.3f} | {values['came_true']:.3f} | {values['n']:.0f} |")
    theirs, own = face_coverage(SMALL, databases)
    print(
        f"\nThe 90 % interval of a chance on a face holds that of people with it in {theirs:.1%}, of one in {own:.1%}."
    )
    drawn, fixed = population_coverage(SMALL, 4 * databases)
    print(f"\nThe 90 % interval of a population share holds the truth in {drawn:.1%}; with fixed scales {fixed:.1%}.")


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("databases", nargs="?", type=int, default=20, help="databases scored for each truth")
    main(**vars(arguments.parse_args()))
