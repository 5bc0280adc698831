"""The invented bench as a whole: masks, configurations, wearers, the truth, and the entries drawn from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from builder.demo import invented_bench as bench
from builder.demo import remarks
from builder.demo.loggers import LOGGERS
from builder.demo.mask_list import DemoConfiguration, Stocked, choose_configurations, stock
from builder.demo.method_effects import passing
from builder.demo.noting import NotedDonnings, note
from builder.demo.part_list import PARTS
from builder.demo.readings import write_result
from builder.demo.truth import SPECIMEN, WEAR, Truth, draw_truth, through_filter
from builder.demo.wearers import DemoWearers, draw_wearers
from builder.records.models import Mask, Part, Source, Test
from builder.records.vocabulary import FacialHair

NamedEntry = tuple[str, Mask | Part | Test]
"""A path below the entries folder, and what the file holds."""

SPOILED = 0.025
"""Share of takes that go wrong and are set aside."""

UNSHAVED = 0.2
"""Share of sessions that those who sometimes come unshaved begin so."""


@dataclass(frozen=True)
class Scenario:
    """Everything that stands before a single test is drawn. The number of tests changes nothing here."""

    masks: list[Stocked]
    configurations: list[DemoConfiguration]
    wearers: DemoWearers
    truth: Truth
    donning: np.random.SeedSequence
    """What the tests are drawn with."""


def scenario(wearers: int, masks: int, seed: int, configurations: int | None = None) -> Scenario:
    """Draw the bench. The same arguments give the same bench.

    Raises ValueError for fewer than one wearer or mask, or a number of configurations that the masks do not allow.
    """
    if min(wearers, masks) < 1:
        raise ValueError("there must be at least one wearer and one mask")
    shelf, people, truth, donning = np.random.SeedSequence(seed).spawn(4)
    stocked = stock(masks, np.random.default_rng(shelf))
    chosen = choose_configurations(stocked, configurations)
    drawn = draw_wearers(wearers, np.random.default_rng(people))
    return Scenario(stocked, chosen, drawn, draw_truth(drawn, stocked, chosen, np.random.default_rng(truth)), donning)


def generate(
    tests: int, wearers: int, masks: int, seed: int, configurations: int | None = None
) -> Iterator[NamedEntry]:
    """Yield the entries of an invented bench: masks, parts, then `tests` tests in the order of their paths.

    The same arguments give the same entries. Raises ValueError as `scenario` does, and for a negative `tests`.
    """
    if tests < 0:
        raise ValueError("there cannot be fewer than no tests")
    drawn = scenario(wearers, masks, seed, configurations)
    return _entries(drawn, tests)


def _entries(drawn: Scenario, tests: int) -> Iterator[NamedEntry]:
    yield from ((f"masks/{mask.id}.toml", mask.record) for mask in sorted(drawn.masks, key=lambda mask: mask.id))
    yield from ((f"parts/{part}.toml", PARTS[part]) for part in sorted(PARTS))
    yield from sorted(_told_apart(_tests(drawn, tests)), key=lambda entry: entry[0]) if tests else ()


def _tests(drawn: Scenario, tests: int) -> Iterator[tuple[str, Test]]:
    planning, measuring, noticing, writing = (np.random.default_rng(seed) for seed in drawn.donning.spawn(4))
    plan = bench.schedule(drawn.wearers, drawn.configurations, tests, planning)
    wearer, configuration, mask = (plan[column].to_numpy() for column in ("wearer", "configuration", "mask"))
    session, log, n = (plan[column].to_numpy() for column in ("session", "log", "n"))
    date, contributor = plan["date"].tolist(), plan["contributor"].tolist()
    sessions = session.max() + 1

    # Whoever comes unshaved is sent to the basin after two takes.
    unshaved = (measuring.uniform(size=sessions) < UNSHAVED)[session] & drawn.wearers.sometimes_unshaved[wearer]
    nth = plan["nth"].to_numpy()
    unshaved &= nth < 2
    spoiled = measuring.uniform(size=tests) < SPOILED
    reason = measuring.integers(len(remarks.SET_ASIDE), size=tests)
    seal = drawn.truth.seal[wearer, configuration] + measuring.normal(0, drawn.truth.scatter[wearer])
    seal -= np.where(unshaved, 1.0, 0.0) + np.where(spoiled, measuring.exponential(0.8, tests), 0.0)
    specimen, worn = plan["specimen"].to_numpy(), plan["worn"].to_numpy()
    each = writing.normal(0, SPECIMEN, (sessions, specimen.max() + 1))
    seal += each[session, specimen] - WEAR * worn
    fits = through_filter(seal, drawn.truth.penetration[configuration])
    penetration = drawn.truth.penetration[configuration] * passing(LOGGERS)[log]
    measured = through_filter(seal + drawn.truth.method[wearer, log], penetration)

    parts = [drawn.configurations[c].parts for c in configuration]
    observed = remarks.observe(
        remarks.Takes(
            ln_fit_factor=fits,
            parts=parts,
            bridge=drawn.wearers.bridge[wearer],
            length_mm=drawn.wearers.length_mm[wearer],
            width_mm=drawn.wearers.width_mm[wearer],
            glasses=drawn.wearers.glasses[wearer],
            mask_comfort=noticing.normal(0, 0.7, len(drawn.masks))[mask],
            mask_upper_edge=noticing.normal(0, 1, len(drawn.masks))[mask],
        ),
        noticing,
    )
    noted = note(
        NotedDonnings(
            session=session,
            log=log,
            nth=nth,
            specimen=specimen,
            worn=worn,
            parts=parts,
            wears_glasses=drawn.wearers.glasses[wearer],
            width_mm=drawn.wearers.width_mm[wearer],
            ln_fit_factor=fits,
        ),
        writing,
    )
    in_detail = measuring.uniform(size=sessions)
    for i in range(tests):
        logger = LOGGERS[log[i]]
        set_aside = remarks.STUBBLE if unshaved[i] else remarks.SET_ASIDE[reason[i]] if spoiled[i] else None
        mask_id, person = drawn.masks[mask[i]].id, drawn.wearers.ids[wearer[i]]
        yield (
            f"tests/{mask_id}/{date[i]}-{person}-{n[i]}.toml",
            Test(
                mask=mask_id,
                date=date[i],
                contributor=contributor[i],
                configuration=drawn.configurations[configuration[i]].changed,
                face=drawn.wearers.face(wearer[i], FacialHair.STUBBLE if unshaved[i] else FacialHair.NONE),
                result=write_result(
                    float(np.exp(measured[i])),
                    logger,
                    with_exercises=bool(in_detail[session[i]] < logger.exercises),
                    set_aside=set_aside,
                    rng=measuring,
                ),
                specimen=noted[i][0],
                conditions=noted[i][1],
                observations=observed[i],
                source=Source(invented=True),
            ),
        )


def _told_apart(tests: Iterable[tuple[str, Test]]) -> Iterator[tuple[str, Test]]:
    """Add a sentence to a test that says the same as one before it, so that nobody takes it for a copy."""
    seen: set[Test] = set()
    for path, test in tests:
        if test in seen:
            observations = test.observations.model_copy(update={"notes": remarks.ALIKE})
            yield path, test.model_copy(update={"observations": observations})
        else:
            seen.add(test)
            yield path, test
