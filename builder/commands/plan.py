"""`sealbook plan`: a run sheet for one mask, or the tests that the database most wants."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.options import day_option, entries_option, memory
from builder.records.vocabulary import FacialHair, Protocol

if TYPE_CHECKING:
    from collections.abc import Sequence

    from builder.findings.dataset import Dataset
    from builder.fit.plan.planned_run import Plan
    from builder.records.entries import TestRecord
    from builder.records.models import Face
    from builder.words.run_sheet import RunSheet


@click.command(
    "plan", epilog="Example: sealbook plan brodipim --vary nose-wire=slim-strip,broad-strip --vary straps=loop-clip"
)
@click.argument("mask", required=False, metavar="[MASK]")
@click.option(
    "--vary",
    multiple=True,
    metavar="SLOT=PART,PART",
    help="Parts to try in a slot, beside as sold; `none` takes out what is there. Once a slot, the most interesting "
    "first: what comes last changes least often, and suffers most from drift.",
)
@click.option(
    "--donnings", type=click.IntRange(min=1), default=2, show_default=True, help="How often to test each configuration."
)
@click.option("--half", is_flag=True, help="Test half of the combinations, and say what they cannot tell apart.")
@click.option("--wearer", metavar="W", help="Pseudonym of the face.")
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Another seed, another order.")
@click.option(
    "--protocol",
    type=click.Choice([protocol.value for protocol in Protocol]),
    default=Protocol.SHORT_FOUR_EXERCISE.value,
    show_default=True,
    help="Which exercises to do.",
)
@click.option(
    "--write",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="DIR",
    help="Also write an entry for each donning into DIR/tests, waiting for its result; needs --wearer.",
)
@click.option(
    "--facial-hair",
    "hair",
    type=click.Choice([hair.value for hair in FacialHair]),
    help="Hair where the mask seals, of a wearer who is in no test yet; with --write.",
)
@day_option("Day of the run.  [default: today]")
@click.option("--gaps", is_flag=True, help="Instead, list the tests that would teach the most.")
@click.option("--count", type=click.IntRange(min=1), default=10, show_default=True, help="How many, with --gaps.")
@entries_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "html", "json"]),
    default="text",
    show_default=True,
    help="For a terminal, for a printer, or for programs.",
)
def command(
    *,
    mask: str | None,
    vary: tuple[str, ...],
    donnings: int,
    half: bool,
    wearer: str | None,
    seed: int,
    protocol: str,
    folder: Path | None,
    hair: str | None,
    day: date,
    gaps: bool,
    count: int,
    entries: Path,
    form: str,
) -> None:
    """Plan a run on MASK: every combination of the parts, in an order of few changes.

    The sheet says what to change before each donning, what the run will be able to tell, and how long it takes.
    Parts that cannot be undone come last. The same words and seed give the same sheet.
    """
    if gaps:
        if mask is not None or vary or folder or form == "html":
            raise click.UsageError("--gaps goes with --count and --format text or json alone.")
        _print_gaps(_planning_dataset(entries), count, form)
        return
    if mask is None:
        raise click.UsageError("Name the mask to plan for, or ask for --gaps.")
    if folder and not wearer:
        raise click.UsageError("--write needs --wearer: the pseudonym is part of each file's name.")
    from builder.records.known_entries import KnownEntries
    from builder.records.models import Face
    from builder.words.run_sheet import run_sheet

    known = KnownEntries(entries).tests_of([wearer]) if folder and wearer else []
    if folder and not known and not hair:
        words = ", ".join(hair.value for hair in FacialHair)
        raise click.UsageError(f"{wearer} is in no test yet: say --facial-hair, one of {words}.")
    data = _planning_dataset(entries)
    plan = _plan(data, mask, vary, donnings=donnings, half=half, wearer=wearer, seed=seed)
    if folder and wearer:
        _write(
            folder,
            plan,
            known,
            mask=mask,
            face=known[0].test.face if known else Face(wearer=wearer, facial_hair=FacialHair(hair or "")),
            protocol=Protocol(protocol),
            day=day,
        )
    sheet = run_sheet(data, mask, plan, wearer=wearer or "", protocol=Protocol(protocol))
    click.echo(_printed(sheet, form))


def _planning_dataset(entries: Path) -> Dataset:
    from builder.findings.dataset import EntriesInvalidError, planning_dataset
    from builder.records.problems import as_text

    try:
        data, left_out = planning_dataset(entries, memory())
    except EntriesInvalidError as error:
        click.echo(as_text(error.problems), err=True)
        raise click.exceptions.Exit(1) from None
    if left_out:
        click.echo(f"Tests left out because `sealbook check` finds fault with them: {left_out}.", err=True)
    return data


def _plan(
    data: Dataset, mask: str, vary: tuple[str, ...], *, donnings: int, half: bool, wearer: str | None, seed: int
) -> Plan:
    from builder.commands.plan_request import RequestError, check_size, read_request, refuse_too_many
    from builder.fit.plan.planned_run import plan_run

    try:
        factors = read_request(data.entries, mask, vary, [wearer] if wearer else [])
        check_size(factors, donnings, half)
        plan = plan_run(factors, donnings=donnings, half=half, seed=seed)
        refuse_too_many(len(plan.run))
    except RequestError as error:
        raise click.UsageError("\n".join(error.problems)) from None
    except ValueError as error:
        raise click.UsageError(f"{str(error)[:1].upper()}{str(error)[1:]}.") from None
    return plan


def _write(
    folder: Path, plan: Plan, known: Sequence[TestRecord], *, mask: str, face: Face, protocol: Protocol, day: date
) -> None:
    from builder.commands.saving import save, tidy_up
    from builder.records.planned_tests import stubs, waiting

    tidy_up(folder)
    before = waiting(folder, mask, face.wearer, day)
    texts = stubs(plan, known, folder, mask=mask, face=face, protocol=protocol, day=day)
    save(folder, texts)
    paths = [folder / path for path in texts]
    earlier = f"; {before} of that wearer, mask and day waited before" if before else ""
    click.echo(f"{len(paths)} entries wait for their results: {paths[0]} to {paths[-1]}{earlier}", err=True)


def _printed(sheet: RunSheet, form: str) -> str:
    if form == "json":
        return json.dumps(asdict(sheet), indent=2, ensure_ascii=False, allow_nan=False)
    from builder.commands.plan_layout import as_page, as_text

    return as_page(sheet) if form == "html" else as_text(sheet)


def _print_gaps(data: Dataset, count: int, form: str) -> None:
    from builder.findings.wanted import wanted_tests
    from builder.words.predictions import no_model_sentence
    from builder.words.wanted_words import wanted_text

    wanted = wanted_tests(data, count)
    why = no_model_sentence(wanted.no_model) if wanted.no_model else ""
    click.echo(
        json.dumps(asdict(wanted) | {"no_model": why}, indent=2, ensure_ascii=False, allow_nan=False)
        if form == "json"
        else wanted_text(data, wanted)
    )
