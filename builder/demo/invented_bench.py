"""Who dons what at the invented bench, how often, on which day, and who keeps the log."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from builder.demo.invented_names import PEOPLE
from builder.demo.loggers import LOGGERS
from builder.demo.mask_list import DemoConfiguration
from builder.demo.wearers import DemoWearers

FIRST_DAY, BENCH_DAYS = dt.date(2023, 2, 4), 95
"""The bench is open on Saturdays, from the first of them to November 2024."""

DONNINGS_A_DAY = 10
"""Of one mask by one wearer."""

REPEATS = (0.2, 0.4, 0.3, 0.1)
"""Chances of one to four donnings of a configuration by a wearer."""

FEW = 2
"""What is tried by no more wearers than this stays so on a bench of any size, so that small numbers can be seen."""


BRIDGED = 0.25
"""Share of sessions in which a second contributor measures every other donning their own way."""

DONNINGS_A_SPECIMEN = 4
"""After so many a wearer takes another one of the box."""


def schedule(
    wearers: DemoWearers, configurations: Sequence[DemoConfiguration], tests: int, rng: np.random.Generator
) -> pd.DataFrame:
    """Plan `tests` donnings, columns wearer, configuration, mask, take, session, nth, date, n, log, contributor,
    specimen, worn.

    A session is one wearer with one mask, kept by one contributor or two in turn; `nth` counts its donnings from 0, `n`
    those of a day from 1. `specimen` counts its masks of that kind from 0, `worn` how often each was donned before.
    `log` is the place of the contributor's kind in LOGGERS, the rest are places in the lists given.
    """
    donnings = _donnings(wearers, configurations, tests, rng)
    glued_last = np.array(["foam-strip" in c.parts for c in configurations])[donnings["configuration"]]
    donnings = donnings.assign(glued=glued_last).sort_values(
        ["wearer", "mask", "glued", "take", "configuration"], ignore_index=True
    )
    donnings["session"] = donnings.groupby(["wearer", "mask"], sort=False).ngroup()
    session = donnings["session"].to_numpy()
    size = np.bincount(session)
    nth = donnings.groupby("session").cumcount().to_numpy()
    donnings["nth"] = nth
    # A session that outlasts every bench day there is gets longer days instead.
    a_day = np.maximum(DONNINGS_A_DAY, -(-size // BENCH_DAYS))
    days = -(-size // a_day)
    start = np.floor(rng.uniform(size=len(size)) * (BENCH_DAYS - days + 1)).astype(int)
    saturday = start[session] + nth // a_day[session]
    donnings["date"] = [FIRST_DAY + dt.timedelta(weeks=int(week)) for week in saturday]
    donnings["n"] = nth % a_day[session] + 1

    people = max(1, len(wearers.ids) // (8 * len(LOGGERS)))
    names = np.array(PEOPLE.words(people * len(LOGGERS) + len(wearers.ids), rng))
    names = names[~np.isin(names, wearers.ids)]
    log = rng.choice(len(LOGGERS), size=len(size), p=[logger.share for logger in LOGGERS])
    person = rng.integers(people, size=len(size))
    second = (log + rng.integers(1, len(LOGGERS), size=len(size))) % len(LOGGERS)
    second = np.where(rng.uniform(size=len(size)) < BRIDGED, second, log)
    # Some masks are measured in one way alone, by whomever.
    only = np.array([-1 if c.logger is None else LOGGERS.index(c.logger) for c in configurations])
    only = only[donnings["configuration"]]
    turn = np.where(donnings["take"].to_numpy() % 2 == 1, second[session], log[session])
    donnings["log"] = np.where(only < 0, turn, only)
    donnings["contributor"] = names[donnings["log"].to_numpy() * people + person[session]]
    return donnings.drop(columns="glued").assign(**_specimens(donnings))


def _specimens(donnings: pd.DataFrame) -> dict[str, pd.Series]:
    """Deal masks: what is glued on for good goes onto others than were worn before."""
    kept = donnings.groupby(["session", "glued"]).cumcount()
    box = donnings.assign(box=kept // DONNINGS_A_SPECIMEN)[["session", "glued", "box"]]
    first = box.groupby(box.columns.tolist(), sort=False).ngroup()
    return {
        "specimen": first - first.groupby(donnings["session"]).transform("min"),
        "worn": kept % DONNINGS_A_SPECIMEN,
    }


def _donnings(
    wearers: DemoWearers, configurations: Sequence[DemoConfiguration], tests: int, rng: np.random.Generator
) -> pd.DataFrame:
    """Deal exactly `tests` donnings: whoever tries a change has tried the mask as sold, keen wearers come first."""
    count = len(wearers.ids)
    mask = np.array([c.mask for c in configurations])
    keen = np.argsort(-(wearers.activity[:, None] + rng.gumbel(size=(count, mask.max() + 1))), axis=0)
    reach = _reach(np.array([c.reach for c in configurations]), count, tests)
    configuration = np.repeat(np.arange(len(configurations)), reach)
    rank = np.arange(len(configuration)) - np.repeat(np.cumsum(reach) - reach, reach)
    pairs = pd.DataFrame(
        {"wearer": keen[rank, mask[configuration]], "configuration": configuration, "mask": mask[configuration]}
    )
    takes = rng.choice(np.arange(1, len(REPEATS) + 1), size=len(pairs), p=REPEATS)
    # The keenest wearer of each mask repeats everything.
    takes = np.maximum(takes, np.where(rank == 0, 2, 1))
    takes += max(0, -(-(tests - takes.sum()) // len(pairs)))
    donnings = pairs.loc[np.repeat(pairs.index, takes)].assign(rank=np.repeat(rank, takes))
    donnings["take"] = donnings.groupby(level=0).cumcount()
    # What is left out are last repeats, then the least keen wearers.
    donnings = donnings.sort_values(["take", "rank", "configuration"], kind="stable").head(tests).drop(columns="rank")
    # Everybody gets a seat: whoever was left out tries a popular mask as sold in place of somebody's last repeat.
    absent = np.setdiff1d(np.arange(count), donnings["wearer"])[:tests]
    popular = np.flatnonzero([not c.parts and c.reach > FEW for c in configurations])
    seat = popular[np.arange(len(absent)) % len(popular)]
    late = pd.DataFrame({"wearer": absent, "configuration": seat, "mask": mask[seat], "take": 0})
    return pd.concat([donnings.head(tests - len(absent)), late])


def _reach(reach: NDArray[np.int64], wearers: int, tests: int) -> NDArray[np.int64]:
    """Scale how many wearers try each configuration to what `tests` allow; configurations of a few stay so."""
    repeats = float(np.arange(1, len(REPEATS) + 1) @ REPEATS)

    def scaled(factor: float) -> NDArray[np.int64]:
        grown = np.where(reach <= FEW, reach, np.round(reach * factor))
        return np.clip(grown, 1, wearers).astype(np.int64)

    low, high = 0.0, float(wearers)
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (low, middle) if scaled(middle).sum() * repeats >= tests else (middle, high)
    return scaled(high)
