"""`sealbook compare`: two configurations on the wearers who tried both, with the verdict in words."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.commands.known_names import check_known
from builder.commands.options import dataset, entries_option, format_option, how_measured, method_option, narrowed
from builder.commands.text_columns import in_columns
from builder.fit.levels import CLEAR_LEVEL, LIKELY_LEVEL

if TYPE_CHECKING:
    from builder.findings.dataset import Dataset
    from builder.fit.compare.contrasts import Contrast
    from builder.fit.compare.two_configurations import Comparison
    from builder.fit.compare.verdicts import Judgement

JUDGEMENT = ("ratio", "low90", "high90", "low99", "high99", "bound", "verdict", "direction", "donnings_needed")
FURTHER = (
    *("same_wearers", "pooled", "n_a", "n_b", "only_a", "only_b", "predict_low95", "predict_high95", "tau"),
    *("donnings_for_seen", "wearers_same_method", "wearers_mixed_method"),
)


@click.command("compare", epilog="Example: sealbook compare brodipim brodipim+loop-clip")
@click.argument("a")
@click.argument("b")
@click.option("--wearer", metavar="W", help="Only what this wearer tested.")
@method_option
@entries_option
@format_option()
def command(*, a: str, b: str, wearer: str | None, method: str | None, entries: Path, form: str) -> None:
    """Compare configuration B with A: how many times as high its fit factor is, and how sure that is.

    A configuration is a mask as sold, or mask+part+part with the parts in any order.
    """
    from builder.findings.named_configuration import configuration_named

    whole = dataset(entries)
    a, b = (configuration_named(whole, named) for named in (a, b))
    if a == b:
        raise click.UsageError("A and B are the same configuration.")
    for configuration in (a, b):
        check_known(configuration, _configurations(whole), "configuration")
    if wearer is not None:
        check_known(wearer, whole.table["wearer"], "wearer")
    data = narrowed(whole, method)
    found = _compared(data, a, b, wearer)
    if data.whole and form == "text":
        click.echo(how_measured(data), err=True)
    click.echo(_as_json(found) if form == "json" else _as_text(data, found))


def _configurations(data: Dataset) -> list[str]:
    return sorted({*data.entries.masks, *data.table["configuration"]})


def _compared(data: Dataset, a: str, b: str, wearer: str | None) -> Comparison:
    from builder.fit.compare.two_configurations import compare

    whose = f" of {wearer}" if wearer else ""
    whose += " by this method" if data.whole else ""
    for configuration in (a, b):
        faces = data.measured_arms.by_configuration.get(configuration, {})
        if not any(wearer in (None, face.wearer) for face in faces):
            raise click.ClickException(f"{configuration} has no test{whose} that counts: nothing to compare.")
    found = compare(data.measured_arms, a, b, wearer=wearer)
    if wearer and not found.wearers:
        raise click.ClickException(f"{wearer} tested {a} and {b} only with different facial hair.")
    return found


def _as_json(found: Comparison) -> str:
    from builder.words.wearer_run_words import again_sentence

    printed = {
        **_judgement(found, found),
        "wearers": [
            {
                **_judgement(found, contrast),
                "wearer": contrast.wearer,
                "n_a": contrast.n_a,
                "n_b": contrast.n_b,
                "facial_hair": contrast.facial_hair,
                "donnings_for_seen": contrast.donnings_for_seen,
                "method": contrast.method,
            }
            for contrast in found.wearers
        ],
        "scatter_gsd": found.scatter_gsd,
        "scatter_df": found.scatter_df,
        **{name: getattr(found, name) for name in FURTHER},
        "method_adjustment": asdict(found.method_adjustment) if found.method_adjustment else None,
        "next_step": again_sentence(found) or None,
    }
    return json.dumps(printed, indent=1, ensure_ascii=False, allow_nan=False)


def _judgement(pair: Comparison, judged: Judgement) -> dict[str, object]:
    return {"a": pair.a, "b": pair.b} | {name: getattr(judged, name) for name in JUDGEMENT}


def _as_text(data: Dataset, found: Comparison) -> str:
    from builder.words import comparisons as words
    from builder.words.numbers import between, level
    from builder.words.wearer_run_words import again_sentence

    a, b = (words.set_up_phrase(data, one, other) for one, other in ((found.a, found.b), (found.b, found.a)))
    lines = [
        words.verdict_sentence(found, a, b),
        "",
        f"Fit factor of {found.b} over that of {found.a}: {words.ratio_label(found)}"
        f" ({level(LIKELY_LEVEL)} interval {between(found.low90, found.high90)};"
        f" {level(CLEAR_LEVEL)}: {between(found.low99, found.high99)})",
        *filter(None, words.further_sentences(found, a, b)),
    ]
    if again := again_sentence(found):
        lines.append(again)
    if found.wearers:
        lines += ["", *_wearer_lines(found.wearers)]
    return "\n".join(lines)


def _wearer_lines(wearers: tuple[Contrast, ...]) -> list[str]:
    """Print a line a wearer under a heading."""
    from builder.words.comparisons import ratio_label, verdict_words
    from builder.words.labels import wearer_label
    from builder.words.numbers import between, level

    rows = [("wearer", "donnings A, B", "ratio", f"{level(LIKELY_LEVEL)} interval", "verdict")] + [
        (wearer_label(c), f"{c.n_a}, {c.n_b}", ratio_label(c), between(c.low90, c.high90), verdict_words(c))
        for c in wearers
    ]
    return in_columns(rows)
