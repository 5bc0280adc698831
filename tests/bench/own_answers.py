"""What an answer to own results takes in the browser, and how large the model is that is sent for it.

A table with, for databases of two sizes, the configurations, the model's kilobytes gzipped and the milliseconds of the
processor that an answer takes (median of 15 people who tell three results each).
"""

from __future__ import annotations

import threading
from functools import partial
from typing import Any

import numpy as np
from playwright.sync_api import Page, sync_playwright

from builder.findings.dataset import build_dataset
from builder.fit.facemodel import fit_face_model
from builder.site.face_model_file import model_content
from tests.bench.arguments import parser
from tests.browser.conftest import ARGUMENTS, Quiet, Server, chromium
from tests.browser.test_own_results import LARGE, MIDDLE, WITH_MODEL, for_browser, gzipped, random_answer, random_face
from tests.conftest import ROOT
from tests.fit.facemodel.simulation import simulate

PREPARED = (
    f"async ([content]) => {{{WITH_MODEL}"
    + """
    window.answer = ({ face, told }) => {
        const found = inform(model, face, told);
        tryFirst(found, all);
        telling(found, all);
    };
}"""
)


def milliseconds(page: Page, content: dict[str, Any], asked: list[dict[str, Any]]) -> float:
    """What an answer takes of the processor (median), which does not depend on who else is using it."""
    page.evaluate(PREPARED, [content])
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})

    def used() -> float:
        metrics = session.send("Performance.getMetrics")["metrics"]
        return float(next(one["value"] for one in metrics if one["name"] == "TaskDuration"))

    taken = []
    for one in asked * 2:
        before = used()
        page.evaluate("(one) => window.answer(one)", one)
        taken.append(1000 * (used() - before))
    # The first ones are still being compiled.
    return float(np.median(taken[len(asked) :]))


def main(site: str) -> None:
    """Measure the answers; print a table."""
    effects = build_dataset(ROOT / "entries").method_effects
    print("| configurations | model, kB gzipped | an answer, ms |\n|---|---|---|")
    with Server(("127.0.0.1", 0), partial(Quiet, directory=site)) as server, sync_playwright() as tool:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = tool.chromium.launch(executable_path=chromium(), args=ARGUMENTS)
        for world in (MIDDLE, LARGE):
            model = fit_face_model(simulate(world, 4))
            content = model_content(model, effects)
            rng = np.random.default_rng(5)
            faces = [random_face(rng) for _ in range(15)]
            asked = [for_browser(face, [random_answer(rng, model, face) for _ in range(3)]) for face in faces]
            page = browser.new_page()
            page.goto(f"http://127.0.0.1:{server.server_port}/faces/")
            taken = milliseconds(page, content, asked)
            configurations = len(model.design.catalogue.configurations)
            print(f"| {configurations} | {gzipped(content) / 1000:.0f} | {taken:.0f} |")
            page.close()
        browser.close()
        server.shutdown()


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("site", help="folder of a built site")
    main(**vars(arguments.parse_args()))
