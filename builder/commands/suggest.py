"""`sealbook suggest`: what to try first on a face, and the chance of everything else."""

from __future__ import annotations

import json
import math
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.commands.known_names import check_known
from builder.commands.options import dataset, entries_option, format_option
from builder.commands.own_layout import own_lines, with_own_results
from builder.commands.own_texts import OwnResultsError, ToldResult, read_own_results
from builder.commands.text_columns import in_columns
from builder.fit.levels import PASS_LEVEL, PREDICTED_LEVEL

if TYPE_CHECKING:
    from builder.findings.advice import Advice, Ranked
    from builder.findings.dataset import Dataset, Row
    from builder.fit.facemodel import FaceDescription
    from builder.words.wearer_run_words import WearerRunWords

SHOWN = 15
"""Rows of the ranked list in text; JSON has all of them."""

OWN_HELP = (
    "How a mask did on this face, as often as there is something to tell: MASK+PART=64, =200+ (at least), =passed, "
    "=failed or =leaks; =passed:taste or :smell for such a fit test, =64:one-exercise for how it was measured; "
    "other:cup=64 for a mask that is not in the entries."
)

NextTests = dict[str, "list[Row]"]


@click.command("suggest", epilog="Example: sealbook suggest --length 117 --width 138 --bridge high")
@click.option("--length", type=float, metavar="MM", help="Face length: chin to the deepest point of the nasal root.")
@click.option("--width", type=float, metavar="MM", help="Face width: widest across the cheekbones.")
@click.option("--cell", type=click.IntRange(1, 10), metavar="N", help="Panel cell 1 to 10, instead of millimetres.")
@click.option("--bridge", type=click.Choice(["low", "medium", "high"]), help="Nose bridge, seen from the side.")
@click.option("--count", type=click.IntRange(1, 20), default=3, show_default=True, help="How many to try first.")
@click.option(
    "--as-sold/--changed",
    default=True,
    show_default=True,
    help="Only masks as sold, or changed ones too: a changed mask is no longer certified.",
)
@click.option("--wearer", metavar="W", help="Someone with tests: what to try next, given these.")
@click.option("--own", "texts", multiple=True, metavar="MASK=RESULT", help=OWN_HELP)
@entries_option
@format_option()
def command(
    *,
    length: float | None,
    width: float | None,
    cell: int | None,
    bridge: str | None,
    count: int,
    as_sold: bool,
    wearer: str | None,
    texts: tuple[str, ...],
    entries: Path,
    form: str,
) -> None:
    """Say what to try first on a face, and how likely each configuration is to reach a fit factor of 100.

    Without any measure it is a face drawn at random from the panel's population. The pages of the site go by the
    panel cell alone; millimetres tell a little more. A face below the panel's limits gets no list.
    """
    from builder.findings.advice import advise, advise_wearer
    from builder.findings.untried import next_tests

    if wearer is not None and (length, width, cell, bridge) != (None, None, None, None):
        raise click.UsageError("--wearer goes without a face: the entries hold it.")
    face = _face(length, width, cell, bridge)
    data = dataset(entries)
    following: NextTests = {}
    if wearer is None:
        advice = advise(data, face, count, as_sold=as_sold)
    else:
        _check_wearer(data, wearer)
        advice = advise_wearer(data, wearer, count, as_sold=as_sold)
        following = next_tests(data, wearer, count, as_sold=as_sold) if data.model and not advice.small else {}
    told, own = _told(data, texts), None
    if told:
        from builder.findings.own_advice import advise_on_own_results

        results = [one.result for one in told]
        own = advise_on_own_results(data, face, results, count, as_sold=as_sold, wearer=wearer or "")
        advice, following = own.advice, dict(own.next_tests) if wearer is not None else {}
    if form == "json":
        printed = _as_json(data, advice, following if wearer is not None else None)
        click.echo(_json(printed if own is None else with_own_results(printed, told, own)))
    elif own is None:
        click.echo(_as_text(data, advice, following))
    else:
        click.echo(f"{own_lines(data, told, own)}\n\n{_as_text(data, advice, following)}")


def _face(length: float | None, width: float | None, cell: int | None, bridge: str | None) -> FaceDescription:
    """Make a face of the options; a usage error says what does not go together."""
    from builder.findings.advice import plausible_mm
    from builder.fit.facemodel import FaceDescription

    if (length is None) != (width is None):
        raise click.UsageError("--length and --width come together; with one of them alone, give --cell or neither.")
    if cell is not None and length is not None:
        raise click.UsageError("Give millimetres or --cell, not both: the millimetres tell the cell.")
    measures = (("--length", length, plausible_mm("length_mm")), ("--width", width, plausible_mm("width_mm")))
    for option, value, (low, high) in measures:
        if value is not None and not low <= value <= high:
            raise click.UsageError(f"{option} {value:g} mm is no face: it lies between {low:g} and {high:g} mm.")
    return FaceDescription(length, width, str(cell) if cell is not None else "unknown", bridge or "unknown")


def _check_wearer(data: Dataset, wearer: str) -> None:
    known = set(data.counted["wearer"])
    if wearer not in known and wearer in set(data.table["wearer"]):
        raise click.UsageError(f"{wearer} has no test that counts: give the face instead.")
    check_known(wearer, known, "wearer")


def _told(data: Dataset, texts: tuple[str, ...]) -> tuple[ToldResult, ...]:
    try:
        return read_own_results(data, texts)
    except OwnResultsError as error:
        raise click.UsageError("\n".join(error.problems)) from None


def _json(printed: dict[str, Any]) -> str:
    return json.dumps(_plain(printed), indent=1, ensure_ascii=False, allow_nan=False)


def _as_json(data: Dataset, advice: Advice, following: NextTests | None) -> dict[str, Any]:
    from builder.words.predictions import why_sentence

    printed: dict[str, Any] = {
        "try_first": [asdict(choice) for choice in advice.try_first],
        "ranked": [asdict(row) for row in advice.ranked],
        "basis": advice.basis,
        "why": why_sentence(data, advice),
        "as_sold": advice.as_sold,
        "best_as_sold": advice.best_as_sold and asdict(advice.best_as_sold),
        "best_changed": advice.best_changed and asdict(advice.best_changed),
    }
    if following is not None:
        printed["next_test"] = following
        printed["runs"] = [
            {"mask": mask, "seen": words.seen, "verdict": words.verdict, "next_step": words.next_step}
            for mask, words in _runs(data, advice.wearer)
        ]
    return printed


def _runs(data: Dataset, wearer: str) -> list[tuple[str, WearerRunWords]]:
    """Say by mask what the donnings of a wearer tell together."""
    from builder.findings.wearer_run import wearer_runs
    from builder.words.wearer_run_words import wearer_run_words

    masks = sorted(set(data.counted.loc[data.counted["wearer"] == wearer, "mask"]))
    return [(mask, wearer_run_words(data, run)) for mask in masks for run in wearer_runs(data, mask, wearer)]


def _plain(value: Any) -> Any:
    """Write figures with six digits after the point, and none for what is not a number."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    if isinstance(value, float):
        return None if math.isnan(value) else round(value, 6)
    return value


def _as_text(data: Dataset, advice: Advice, following: NextTests) -> str:
    from builder.words.catalogue import say
    from builder.words.chances import in_words
    from builder.words.labels import configuration_label, is_medical, mask_label
    from builder.words.predictions import why_sentence

    if advice.small:
        return "\n".join([why_sentence(data, advice), "", CAUTIONS])
    lines = ["Try first, of the masks as sold:" if advice.as_sold else "Try first:"]
    for place, choice in enumerate(advice.try_first, 1):
        so_far, chance = choice.cumulative_chance, ""
        if so_far is not None:
            adds = "" if place == 1 else f"; {say('advice.adds' if place == 2 else 'advice.adds_to_all')}"
            chance = f" — {say('prediction.so_far', odds=in_words(so_far))}{adds}"
        lines.append(f"{place}. {configuration_label(data, choice.configuration)}{chance}")
    if not advice.try_first:
        lines.append("Nothing yet: no test counts.")
    else:
        lines += [*([say("advice.order")] if advice.basis == "model" else []), "", *_best(data, advice)]
    for goal, rows in following.items():
        if not rows:
            continue
        what = "To find a pass soonest" if goal == "pass" else "To find the best soonest"
        lines.append(f"{what}, test next: {', '.join(row['configuration'] for row in rows)}")
    for mask, words in _runs(data, advice.wearer) if advice.wearer else []:
        lines += ["", f"{mask_label(data.entries.masks[mask].mask)}: {words.text}"]
    lines += ["", why_sentence(data, advice), "", *_table(advice.ranked[:SHOWN])]
    if len(advice.ranked) > SHOWN:
        lines.append(f"… and {len(advice.ranked) - SHOWN} more (--format json prints all)")
    medical = [row.configuration for row in advice.ranked[:SHOWN] if is_medical(data, row.configuration)]
    if medical:
        lines += ["", f"{', '.join(medical)}: {say('harm.medical_short')}"]
    return "\n".join([*lines, "", CAUTIONS])


def _best(data: Dataset, advice: Advice) -> list[str]:
    """Set the best mask as sold and the best changed one beside each other."""
    from builder.words.catalogue import count, say
    from builder.words.chances import of_ten, ranked_chance
    from builder.words.labels import configuration_label

    def figures(row: Ranked | None) -> str:
        if row is None:
            return say("advice.none_such")
        if row.chance is None:
            reached = f"{PASS_LEVEL:g} reached on {_reached(row)}"
        else:
            little = row.little_known
            reached = ranked_chance(row.chance, little_known=True) if little else of_ten(row.chance)
        return f"{configuration_label(data, row.configuration)}: {reached}, {count('wearer', row.wearers)}"

    return in_columns(
        [
            (say("advice.best_as_sold"), figures(advice.best_as_sold)),
            (say("advice.best_changed"), figures(advice.best_changed)),
        ]
    )


CAUTIONS = (
    "No promise: a chance is for one donning on faces like this one, and only a fit test on you tells. A changed mask "
    "is no longer the certified product. Check the seal at every donning; see the cautions on the site."
)


def _table(ranked: tuple[Ranked, ...]) -> list[str]:
    """Print rows under a heading."""
    from builder.words.chances import interval_text, ranked_chance
    from builder.words.numbers import figure, level

    rows = [
        (
            "configuration",
            "chance",
            f"{level(PREDICTED_LEVEL)} interval",
            "fit factor",
            "wearers",
            "near",
            f"reached {PASS_LEVEL:g}",
        )
    ]
    for row in ranked:
        chance = interval = "–"
        if row.chance is not None and row.low is not None and row.high is not None:
            chance, interval = ranked_chance(row.chance, row.little_known), interval_text(row.low, row.high)
        expected = "–" if row.fit_factor is None else figure(row.fit_factor)
        near = "–" if row.near_wearers is None else str(row.near_wearers)
        rows.append((row.configuration, chance, interval, expected, str(row.wearers), near, _reached(row)))
    return in_columns(rows)


def _reached(row: Ranked) -> str:
    return "–" if row.reached is None else f"{row.reached} of {row.share_wearers}"
