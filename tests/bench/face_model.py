"""Time and memory of the face model on invented databases.

Set OMP_NUM_THREADS=1. Each size runs in a fresh process and gives a row of a Markdown table. Aims on two cores: 20,565
tests in 30 s and 1 GiB; 100,000 in 2 minutes and 4 GiB.
"""

import argparse
import resource
import subprocess
import sys
import time
from collections.abc import Callable

from builder.fit.facemodel import FaceDescription, fit_face_model
from tests.bench.arguments import parser
from tests.fit.facemodel.simulation import World, simulate

SIZES = {
    350: World(wearers=16, masks=12, configurations=40, tests=350, ceiling=500.0, cell_only_share=0.1),
    3028: World(wearers=100, masks=60, configurations=300, tests=3028, cell_only_share=0.1),
    20565: World(wearers=500, masks=250, configurations=2000, tests=20565, cell_only_share=0.1),
    100000: World(wearers=2000, masks=500, configurations=5000, tests=100000, cell_only_share=0.1),
    # A fifth of the readings "at least".
    100001: World(wearers=2000, masks=500, configurations=5000, tests=100001, ceiling=300.0, cell_only_share=0.1),
}


def timed(work: Callable[[], object]) -> float:
    """Seconds that it takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def measure(world: World) -> str:
    """One row of the table."""
    table = simulate(world, seed=1)
    start = time.perf_counter()
    model = fit_face_model(table)
    fitted = time.perf_counter() - start
    face = FaceDescription(118, 138)
    first = timed(lambda: model.predict(face))
    steps = [
        fitted,
        first,
        timed(lambda: (model.predict(face), model.try_first(face))),
        timed(model.population),
        timed(lambda: model.next_test("wearer-0003", goal="best")),
        timed(model.unusual_tests),
        timed(model.wanted_tests),
    ]
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    size = f"{len(table):,} | {world.wearers:,} | {world.configurations:,} | {table['at_least'].mean():.0%}"
    return f"| {size} | {' | '.join(f'{step:.2f}' for step in steps)} | {megabytes:.0f} |"


def main(tests: int | None = None) -> None:
    """Print the row of one size, or the table of all."""
    if tests is not None:
        print(measure(SIZES[tests]))
        return
    print("| tests | wearers | configurations | at least | fit s | first face | next face | population | ", end="")
    print("next test | unusual | wanted | MB |\n|" + "---|" * 12, flush=True)
    for size in SIZES:
        subprocess.run([sys.executable, "-m", "tests.bench.face_model", str(size)], check=True)


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument(
        "tests", nargs="?", type=int, choices=list(SIZES), default=argparse.SUPPRESS, help="one size (default: all)"
    )
    main(**vars(arguments.parse_args()))
