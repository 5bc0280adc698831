"""One donning each on one wearer: what an expert would say, on the command line and on the mask's page."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.findings.dataset import Dataset, build_dataset
from builder.findings.untried import untried_combinations
from builder.findings.wearer_run import wearer_runs
from builder.site.mask_pages import mask_pages
from builder.site.published import Renderer
from builder.words.mask_words import mask_lead
from builder.words.wearer_run_words import wearer_run_words
from tests.pages.test_compare_page import MASK, PART, _test

BAND, WIRE, FOAM = 'straps = "band"', 'nose-wire = "wire"', 'edge = "foam"'
RUN = [
    (14, ""),
    (11, BAND),
    (39, WIRE),
    (48, f"{BAND}\n{WIRE}"),
    (66, f"{WIRE}\n{FOAM}"),
    (61, f"{BAND}\n{WIRE}\n{FOAM}"),
]
SEEN = (
    "All 4 with Stiff wire lie above all 2 without it (39 to 66 against 11 to 14): luck alone parts them so, one way "
    "or the other, in 2 of 15 orders, and sets one part or another apart in about 35 % of orders. None of "
    "the 6 configurations reached 100; another mask did on this face: Reference, as sold, with 240."
)
VERDICT = (
    "A hint for Stiff wire, no verdict yet: one donning differs from the next by as much. Not to be told from luck: "
    "Head band, Foam."
)
NEXT = (
    "Next: don as sold and Stiff wire + Foam again, 2 more donnings of each, in turns: the highest of several single "
    "donnings is often the luckiest."
)


def write(root: Path, run: Sequence[tuple[float, str]], *, reference: bool = True, more: str = "") -> Path:
    """Write a mask with one tester's donnings, one each, and a reference mask."""
    files = {f"masks/{mask}.toml": MASK.format(model=mask.title()) for mask in ("plain", "reference")}
    named = {"loops": ("Ear loops", "straps"), "band": ("Head band", "straps")}
    named |= {"wire": ("Stiff wire", "nose-wire"), "foam": ("Foam", "edge")}
    files |= {f"parts/{token}.toml": PART.format(name=name, slot=slot) for token, (name, slot) in named.items()}
    for number, (fit_factor, changed) in enumerate(run, 1):
        files[f"tests/plain/2024-03-01-ann-{number}.toml"] = _test(1, "ann", fit_factor, changed=changed, more=more)
    if reference:
        files["tests/reference/2024-03-02-ann-1.toml"] = _test(2, "ann", 240, mask="reference")
    for path, text in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text)
    return root


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(tmp_path_factory.mktemp("run"), RUN)


@pytest.fixture(scope="module")
def data(entries: Path) -> Dataset:
    return build_dataset(entries)


def sealbook(entries: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(main, [*arguments, "--entries", str(entries)])
    assert result.exit_code == 0, result.output
    return result


def as_json(entries: Path, *arguments: str) -> Any:
    return json.loads(sealbook(entries, *arguments, "--format", "json").stdout)


def test_what_an_expert_would_say(data: Dataset) -> None:
    (run,) = wearer_runs(data, "plain")
    words = wearer_run_words(data, run)
    assert (words.wearer, words.seen, words.verdict, words.next_step) == ("ann", SEEN, VERDICT, NEXT)
    assert words.text == f"{SEEN} {VERDICT} {NEXT}"


def test_parts_gives_the_sentence_the_verdict_and_the_next_step(entries: Path) -> None:
    assert f"\n\n{SEEN} {VERDICT} {NEXT}\n" in sealbook(entries, "parts", "plain").stdout
    (printed,) = as_json(entries, "parts", "plain")
    assert (printed["seen"], printed["verdict"], printed["next_step"]) == (SEEN, VERDICT, NEXT)


def test_a_run_without_parts_together_is_told_too(tmp_path: Path) -> None:
    entries = write(tmp_path, [(14, ""), (39, WIRE), (20, BAND)], reference=False)
    assert sealbook(entries, "parts", "plain").stdout == (
        "Nobody has tried two parts together on plain yet.\n\n"
        "ann: None of the 3 configurations reached 100. Cannot tell what any part does by itself: one donning differs "
        "from the next by as much. Next: don as sold and Stiff wire again, 5 more donnings of each, in turns: the "
        "highest of several single donnings is often the luckiest.\n"
    )


def test_compare_says_what_the_difference_seen_takes_and_what_to_don_next(entries: Path) -> None:
    said = sealbook(entries, "compare", "plain", "plain+wire").stdout
    assert "About 12 more donnings of each, measured alike, would show a doubling." in said
    assert "About 6 more donnings would show a difference as large as the one seen, if it is real." in said
    assert "\nNext: don both again, 5 more donnings of each, in turns.\n" in said
    printed = as_json(entries, "compare", "plain", "plain+wire")
    assert (printed["donnings_needed"], printed["donnings_for_seen"]) == (12, 6)
    assert printed["next_step"] == "Next: don both again, 5 more donnings of each, in turns."


def test_suggest_gives_the_same_for_a_wearer(entries: Path) -> None:
    assert f"\nPlain: {SEEN} {VERDICT} {NEXT}\n" in sealbook(entries, "suggest", "--wearer", "ann").stdout
    printed = as_json(entries, "suggest", "--wearer", "ann")
    assert printed["runs"] == [{"mask": "plain", "seen": SEEN, "verdict": VERDICT, "next_step": NEXT}]


def test_the_masks_page_names_no_luckiest_reading_first(data: Dataset) -> None:
    assert mask_lead(data, "plain") == (SEEN, VERDICT, NEXT, "One face only: another may get another result.")
    page = next(page for page in mask_pages(data, Renderer(data)) if page.address == "masks/plain/")
    html = " ".join(page.html.split())
    assert re.search(rf'<p class="sb-lead"[^>]*>{re.escape(f"{SEEN} {VERDICT} {NEXT} One face only")}', html)
    assert f"<li><strong>ann</strong>: {SEEN} {VERDICT} {NEXT}</li>" in html


def test_what_reached_the_level_is_named(tmp_path: Path) -> None:
    data = build_dataset(write(tmp_path, [(14, ""), (120, WIRE), (100, f"{WIRE}\n{FOAM}")]))
    (run,) = wearer_runs(data, "plain")
    assert run.reference is None
    assert wearer_run_words(data, run).seen == "2 of the 3 configurations reached 100, Stiff wire highest with 120."


def test_a_part_that_lowers_every_reading_is_named_too(tmp_path: Path) -> None:
    data = build_dataset(write(tmp_path, [(70, ""), (80, BAND), (60, FOAM), (9, WIRE), (12, f"{BAND}\n{WIRE}")]))
    (run,) = wearer_runs(data, "plain")
    assert wearer_run_words(data, run).seen.startswith(
        "All 2 with Stiff wire lie below all 3 without it (9 to 12 against 60 to 80): luck alone parts them so, one "
        "way or the other, in 2 of 10 orders, and sets one part or another apart in about 40 % of orders."
    )


def test_a_lower_limit_does_not_lie_below_anything(tmp_path: Path) -> None:
    data = build_dataset(write(tmp_path, RUN, more="at_least = true"))
    assert wearer_runs(data, "plain")[0].parted is None


def test_repeats_make_a_verdict(tmp_path: Path) -> None:
    twice = [(fit_factor * factor, changed) for factor in (1, 1.1, 0.93) for fit_factor, changed in RUN]
    data = build_dataset(write(tmp_path, twice))
    (run,) = wearer_runs(data, "plain")
    words = wearer_run_words(data, run)
    assert words.verdict.startswith(("Clearly higher with Stiff wire: ×", "Likely higher with Stiff wire: ×"))
    assert not words.next_step.endswith("the luckiest.")


def test_next_tests_hold_what_the_wearer_has_not_tested(data: Dataset, demo: Dataset) -> None:
    untried = untried_combinations(data.counted[data.counted["mask"] == "plain"])
    assert untried["configuration"].tolist() == ["plain+foam", "plain+band+foam"]
    wearer = "sildusho"
    own = demo.counted[demo.counted["wearer"] == wearer]
    known = set(demo.counted["configuration"])
    combinations = set(untried_combinations(own)["configuration"])
    assert combinations - known
    assert not combinations & set(own["configuration"])
