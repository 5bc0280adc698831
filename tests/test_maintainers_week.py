"""A maintainer's week: thirty pull requests, most with a mistake planted in them, and what `check` and `review` say.

What is caught, how, and what is not, is pinned: DEVELOPERS.md tells the same numbers.
"""

from __future__ import annotations

import json
import math
import shutil
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.findings import forecast
from builder.fit.facemodel import FaceModel, Validation, leave_wearers_out
from builder.records.checking import check
from builder.records.entries import TestRecord
from builder.records.known_entries import KnownEntries
from builder.records.models import Slots, Test
from builder.records.overall import overall
from builder.records.toml_text import to_toml
from builder.records.vocabulary import FacialHair, Protocol
from tests.conftest import ROOT
from tests.review.repository import start

DAY = date(2025, 3, 1)
HOSTILE = "<script>alert(1)</script> [here](javascript:x) @everyone ##[error]no ::error::no"


def sealbook(*arguments: str) -> str:
    result = CliRunner().invoke(main, list(arguments))
    assert result.exit_code in (0, 1), result.output
    assert not result.exception or isinstance(result.exception, SystemExit)
    return result.stdout


class Bench:
    """The database of the week, and tests of it that pull requests start from."""

    def __init__(self, root: Path) -> None:
        self.root = root
        tests = check(root).entries.tests
        arms: dict[tuple[str, str, Slots], list[TestRecord]] = defaultdict(list)
        for record in tests:
            if not record.test.result.set_aside and not overall(record.test.result).at_least:
                arms[record.test.face.wearer, record.test.mask, record.test.configuration].append(record)
        of_typed = [
            arm for arm in arms.values() if all(not (r.test.result.exercise or r.test.result.counts) for r in arm)
        ]
        self.arm = max(of_typed, key=len)
        self.with_exercises = next(r for r in tests if len(r.test.result.exercise) == 4)
        self.changed = next(r for r in tests if r.test.configuration.filled() and r.test.face.length_mm)
        other = self.arm[0].test
        self.stranger = next(
            r
            for r in tests
            if r.test.face.wearer != other.face.wearer
            and r.test.face.length_mm
            and (r.test.face.length_mm, r.test.face.width_mm) != (other.face.length_mm, other.face.width_mm)
        )
        self.masks = sorted(check(root).entries.masks)

    @property
    def usual(self) -> float:
        """What the arm's donnings read, as a geometric mean."""
        readings = [overall(record.test.result).fit_factor for record in self.arm]
        return round(math.exp(sum(map(math.log, readings)) / len(readings)), 1)

    def another(self, fit_factor: float | None = None, day: date = DAY, **more: Any) -> Test:
        """One more donning of the arm, by default one that reads as the others do."""
        test = self.arm[0].test
        result = test.result.model_copy(update={"fit_factor": fit_factor or self.usual, "set_aside": None})
        return test.model_copy(update={"date": day, "result": result, **more})

    def add(self, *tests: Test) -> None:
        """Write tests with the next free numbers."""
        for test in tests:
            path = self.root / KnownEntries(self.root).places([test])[0]
            path.parent.mkdir(exist_ok=True)
            path.write_text(to_toml(test), "utf-8")


def face(test: Test, **changed: Any) -> Test:
    return test.model_copy(update={"face": test.face.model_copy(update=changed)})


def result(test: Test, **changed: Any) -> Test:
    return test.model_copy(update={"result": test.result.model_copy(update=changed)})


def new_wearer(bench: Bench) -> None:
    test = face(bench.another(), wearer="quiet-tern", length_mm=119.0, width_mm=139.0)
    bench.add(test, result(test, fit_factor=bench.usual * 1.2))


def new_mask(bench: Bench) -> None:
    mask = check(bench.root).entries.masks[bench.masks[0]].mask
    (bench.root / "masks/quilt-fold.toml").write_text(to_toml(mask.model_copy(update={"model": "Quilt"})))
    bench.add(bench.another(mask="quilt-fold", configuration=Slots()))


def new_part(bench: Bench) -> None:
    part = next(p.part for p in check(bench.root).entries.parts.values() if p.part.slot == "edge")
    (bench.root / "parts/wool-edge.toml").write_text(to_toml(part.model_copy(update={"name": "Wool edge"})))
    bench.add(bench.another(configuration=bench.arm[0].test.configuration.model_copy(update={"edge": "wool-edge"})))


def taken_out(bench: Bench) -> None:
    (bench.root / bench.arm[0].path).unlink()
    said = f'[[removed]]\ntest = "{bench.arm[0].id}"\ndate = 2025-03-01\nreason = "The hose was loose."\n'
    (bench.root / "removed.toml").write_text(f"#:schema ../builder/schemas/removed.schema.json\n\n{said}")


def copied_exercises(bench: Bench) -> None:
    copied = bench.with_exercises.test.model_copy(update={"date": DAY})
    bench.add(copied.model_copy(update={"face": bench.stranger.test.face}))


def fabricated(bench: Bench) -> None:
    bench.add(*(bench.another(round(bench.usual * (1 + 0.001 * n), 2)) for n in range(6)))


def at_the_ceiling(bench: Bench) -> None:
    bench.add(*(result(bench.another(500.0), at_least=True) for _ in range(3)), bench.another(500.0))


def rewritten_result(bench: Bench) -> None:
    path = bench.root / bench.arm[0].path
    reading = bench.arm[0].test.result.fit_factor or 0
    text = path.read_text("utf-8")
    assert f"fit_factor = {reading:g}\n" in text
    path.write_text(text.replace(f"fit_factor = {reading:g}\n", f"fit_factor = {reading * 1.5:g}\n"), "utf-8")


def wrong_folder(bench: Bench) -> None:
    test = bench.another()
    other = next(mask for mask in bench.masks if mask != test.mask)
    path = bench.root / f"tests/{other}/{DAY}-{test.face.wearer}-1.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(to_toml(test))


def other_mask(bench: Bench) -> None:
    test = bench.another(configuration=Slots())
    bench.add(test.model_copy(update={"mask": next(mask for mask in bench.masks if mask != test.mask)}))


def misspelt_part(bench: Bench) -> None:
    test = bench.changed.test
    slot, part = test.configuration.filled()[0]
    wrong = test.configuration.model_copy(update={slot.column: f"{part}s"})
    bench.add(test.model_copy(update={"date": DAY, "configuration": wrong}))


def as_sold_named(bench: Bench) -> None:
    sold = check(bench.root).entries.masks[bench.arm[0].test.mask].mask.as_sold.filled()[0]
    bench.add(bench.another(configuration=Slots.model_validate({str(sold[0]): sold[1]})))


@dataclass(frozen=True)
class PullRequest:
    """What is in it, who notices ("error" or "warning" of check, "review", "" for nobody), and by which rule."""

    make: Callable[[Bench], object]
    noticed: str
    rule: str = ""


WEEK: dict[str, PullRequest] = {
    # Sound ones.
    "one more donning": PullRequest(lambda b: b.add(b.another()), ""),
    "four donnings, one set aside": PullRequest(
        lambda b: b.add(
            *(b.another(round(b.usual * ratio, 1)) for ratio in (0.7, 1.1, 1.6)),
            result(b.another(b.usual / 30), set_aside="The hose came off."),
        ),
        "",
    ),
    "a new wearer": PullRequest(new_wearer, ""),
    "a new mask": PullRequest(new_mask, ""),
    "a new part": PullRequest(new_part, ""),
    "a test taken out for a reason": PullRequest(taken_out, ""),
    # Readings.
    "decimal point too far left": PullRequest(lambda b: b.add(b.another(round(max(b.usual / 100, 1), 2))), "review"),
    "decimal point too far right": PullRequest(lambda b: b.add(b.another(b.usual * 100)), "warning", "filter-limit"),
    "fit factor as a leak": PullRequest(lambda b: b.add(b.another(0.0 + 1 / b.usual)), "error", "value-range"),
    "copied file": PullRequest(
        lambda b: b.add(b.with_exercises.test), "error", "same-test"
    ),
    "exercises copied to another face": PullRequest(copied_exercises, "warning", "copied-exercises"),
    "fabricated repeats": PullRequest(fabricated, "warning", "even-series"),
    "ceiling not marked": PullRequest(at_the_ceiling, "warning", "unmarked-ceiling"),
    "exercises of another protocol": PullRequest(
        lambda b: b.add(result(b.with_exercises.test, protocol=Protocol.ONE_EXERCISE).model_copy(update={"date": DAY})),
        "error",
        "protocol-exercises",
    ),
    # Faces.
    "face in centimetres": PullRequest(
        lambda b: b.add(face(b.another(), wearer="quiet-tern", length_mm=11.9, width_mm=13.9)), "error", "value-range"
    ),
    "length and width exchanged": PullRequest(
        lambda b: b.add(face(b.another(), wearer="quiet-tern", length_mm=139.0, width_mm=119.0)),
        "warning",
        "exchanged-lengths",
    ),
    "wearer's name on another face": PullRequest(
        lambda b: b.add(face(b.another(), wearer=b.stranger.test.face.wearer)), "error", "same-face"
    ),
    "another wearer, name and face": PullRequest(
        lambda b: b.add(b.another(b.usual, face=b.stranger.test.face)), "review"
    ),
    "beard at the seal": PullRequest(
        lambda b: b.add(face(b.another(), facial_hair=FacialHair.STUBBLE)), "warning", "hair-at-seal"
    ),
    # Configurations, places and days.
    "wrong folder": PullRequest(wrong_folder, "error", "own-place"),
    "another mask": PullRequest(other_mask, "review"),
    "misspelt part": PullRequest(misspelt_part, "error", "known-part"),
    "part as sold named as changed": PullRequest(as_sold_named, "error", "only-changes"),
    "a day to come": PullRequest(lambda b: b.add(b.another(day=date(2062, 3, 1))), "error", "possible-date"),
    "day and month exchanged": PullRequest(lambda b: b.add(b.another(day=date(2025, 1, 3))), ""),
    # People and intentions.
    "invented flag left out": PullRequest(
        lambda b: b.add(b.another(source=b.arm[0].test.source.model_copy(update={"invented": False}))),
        "warning",
        "mixed-invented",
    ),
    "an address as contributor": PullRequest(
        lambda b: b.add(b.another(contributor="pat.example@example.org")), "error", "pseudonym"
    ),
    "a published result changed": PullRequest(rewritten_result, "review"),
    "a published test deleted": PullRequest(lambda b: (b.root / b.arm[0].path).unlink(), "review"),
    "hostile text": PullRequest(
        lambda b: b.add(b.another(observations=b.arm[0].test.observations.model_copy(update={"notes": HOSTILE}))), ""
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository with 200 tests."""
    home = tmp_path_factory.mktemp("week")
    sealbook("demo", str(home / "entries"), "--tests", "200", "--wearers", "12", "--masks", "5", "--seed", "7")
    start(home)
    return home


CHECKED: list[Validation] = []


@pytest.fixture(autouse=True)
def _model_checked_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Check the face model on the first pull request that is reviewed, for all: one test more does not turn it."""

    def once(model: FaceModel, table: pd.DataFrame, folds: int, **_: object) -> Validation:
        if not CHECKED:
            CHECKED.append(leave_wearers_out(model, table, folds))
        return CHECKED[0]

    monkeypatch.setattr(forecast, "leave_wearers_out", once)


@pytest.fixture
def bench(database: Path, tmp_path: Path) -> Iterator[Bench]:
    """The database in a work tree of its own."""
    shutil.copytree(database, tmp_path / "work")
    yield Bench(tmp_path / "work" / "entries")


def noticed(root: Path) -> tuple[str, set[str], str]:
    """Give who notices, by which rules, and the review where `check` is silent."""
    entries = ["--entries", str(root)]
    problems = [p for p in json.loads(sealbook("check", "--format", "json", *entries)) if p["severity"] != "note"]
    log = sealbook("check", "--format", "github", *entries)
    assert not [line for line in log.splitlines() if "##[" in line and not line.startswith("::")]
    if problems:
        severities = {problem["severity"] for problem in problems}
        return "error" if "error" in severities else "warning", {problem["rule"] for problem in problems}, ""
    told = sealbook("review", "main", *entries)
    assert "<script>" not in told
    assert told.startswith("## What this changes\n")
    asks = "### Worth a second look" in told or "### Removed without a line" in told
    return "review" if asks else "", set(), told


@pytest.mark.parametrize("name", WEEK)
def test_a_pull_request(bench: Bench, name: str) -> None:
    WEEK[name].make(bench)
    who, rules, told = noticed(bench.root)
    assert (who, WEEK[name].rule in rules or not rules) == (WEEK[name].noticed, True), f"{rules}\n{told}"


def test_how_many_are_caught() -> None:
    planted = list(WEEK.values())[6:]
    caught = Counter(request.noticed for request in planted)
    assert (len(WEEK), len(planted)) == (30, 24)
    said = " ".join((ROOT / "DEVELOPERS.md").read_text("utf-8").split())
    assert (
        f"{caught['error']} are refused by `check`, {caught['warning']} warned of, {caught['review']} asked about by "
        f"`review`; {caught['']} are not noticed"
    ) in said
