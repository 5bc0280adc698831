"""`sealbook hacks`: what each changed part does, over the wearers and masks it was tried on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.commands.known_names import meant_or_known
from builder.commands.options import dataset, entries_option, format_option, how_measured, method_option, narrowed
from builder.commands.text_columns import in_columns

if TYPE_CHECKING:
    from builder.fit.compare.hack_contrasts import HackContrast
    from builder.fit.compare.hack_effects import HackEffect


@click.command("hacks", epilog="Example: sealbook hacks broad-strip --format json")
@click.argument("part", required=False, metavar="[PART]")
@method_option
@entries_option
@format_option(None)
def command(*, part: str | None, method: str | None, entries: Path, form: str) -> None:
    """Say what each part, or only PART, does to the fit factor on the same wearer, all else equal."""
    import json

    data = narrowed(dataset(entries), method)
    effects = data.hacks
    if part is not None and part not in effects:
        raise click.UsageError(f"No test that counts has {part} fitted. {meant_or_known(part, effects)}")
    chosen = [effects[part]] if part is not None else list(effects.values())
    if form == "json":
        click.echo(json.dumps([_ordered(effect) for effect in chosen], indent=2, allow_nan=False))
    else:
        click.echo("\n\n".join(_as_text(effect) for effect in chosen) or "No changed mask has been tested yet.")
        click.echo(how_measured(data), err=True, nl=bool(chosen))


FIRST_KEYS = (
    "part",
    "slot",
    "contrasts",
    "mean_ratio",
    "low95",
    "high95",
    "predict_low95",
    "predict_high95",
    "tau",
    "k",
)


def _ordered(effect: HackEffect) -> dict[str, Any]:
    from dataclasses import asdict

    from builder.words.effects import heterogeneity_words

    figures = asdict(effect) | {"heterogeneity": heterogeneity_words(effect)}
    return {key: figures[key] for key in FIRST_KEYS} | figures


def _as_text(effect: HackEffect) -> str:
    from builder.words.catalogue import say
    from builder.words.effects import effect_sentence, expectation_sentence

    lines = [f"{effect.part}: {effect_sentence(effect)}", expectation_sentence(effect)]
    lines += [say("effect.rows")] if effect.contrasts else []
    lines += in_columns([(f"  {c.mask}, {c.wearer}", _ratio(c)) for c in effect.contrasts])
    return "\n".join(filter(None, lines))


def _ratio(contrast: HackContrast) -> str:
    from builder.words.catalogue import count
    from builder.words.effects import method_text, ratio_text

    donnings = f"{count('donning', contrast.n_with)} with, {contrast.n_without} without"
    return f"{ratio_text(contrast)}  ({'; '.join(filter(None, [donnings, method_text(contrast)]))})"
