"""Entries of a planned run: what is known is filled in, what will be measured is not."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

import pytest

from builder.fit.plan.fractions import Factor
from builder.fit.plan.planned_run import Plan, plan_run
from builder.records.known_entries import KnownEntries
from builder.records.models import Face
from builder.records.planned_tests import stubs, waiting
from builder.records.vocabulary import FacialHair, Protocol
from tests.records import samples

DAY = date(2026, 9, 12)
PLAN = plan_run([Factor("nose-foam", ("no-nose-foam",)), Factor("straps", ("clip",))], donnings=1, seed=1)


@pytest.fixture
def entries(tmp_path: Path) -> KnownEntries:
    return KnownEntries(samples.write(tmp_path))


def planned(entries: KnownEntries, folder: Path, *, wearer: str = "blue-heron", plan: Plan = PLAN) -> dict[str, str]:
    face = Face(wearer=wearer, facial_hair=FacialHair.NONE)
    return stubs(plan, entries.tests_of([wearer]), folder, mask="drum-cup", face=face, protocol=Protocol.FREE, day=DAY)


def test_they_follow_the_run_and_are_numbered_on(entries: KnownEntries, tmp_path: Path) -> None:
    texts = planned(entries, tmp_path)
    last = len(PLAN.run)
    assert list(texts) == [f"tests/drum-cup/2026-09-12-blue-heron-{n}.toml" for n in range(2, last + 2)]
    for number, (text, donning) in enumerate(zip(texts.values(), PLAN.run, strict=True), 1):
        schema, remark, *_ = text.splitlines()
        assert schema.startswith("#:schema ")
        assert remark.startswith(f"# Donning {number} of {last}, specimen {donning.specimen}.")
        test = tomllib.loads(text)
        foam, clip = donning.configuration
        worn = ({"straps": "clip"} if clip else {}) | ({"nose-foam": "none"} if foam else {})
        assert test.get("configuration", {}) == worn
        assert test["face"]["length_mm"] == 117
        assert test["result"] == {"protocol": "free"}


def test_a_new_wearer_is_taken_for_the_contributor(entries: KnownEntries, tmp_path: Path) -> None:
    first = tomllib.loads(next(iter(planned(entries, tmp_path, wearer="red-kite").values())))
    assert (first["contributor"], first["face"]) == (
        "red-kite",
        {"wearer": "red-kite", "facial_hair": "none"},
    )


def test_a_second_run_of_that_day_is_numbered_on(entries: KnownEntries, tmp_path: Path) -> None:
    first = planned(entries, tmp_path)
    for path, text in first.items():
        (tmp_path / path).write_text(text)
    assert waiting(tmp_path, "drum-cup", "blue-heron", DAY) == len(PLAN.run)
    last = len(PLAN.run)
    assert list(planned(entries, tmp_path)) == [
        f"tests/drum-cup/2026-09-12-blue-heron-{n}.toml" for n in range(last + 2, 2 * last + 2)
    ]
