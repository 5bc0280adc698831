"""The option --exercise of verbs that take a fit factor for each exercise."""

from __future__ import annotations

from collections.abc import Sequence

import click

from builder.records.typed_answers import UnclearError, fit_factor_typed, word_typed
from builder.records.vocabulary import Exercise

exercise_option = click.option(
    "--exercise",
    "exercises",
    multiple=True,
    metavar="NAME=FIT_FACTOR",
    help="The fit factor of one exercise, instead of the overall one; a + behind it means at least. Once for each.",
)


def exercises_of(texts: Sequence[str]) -> list[dict[str, object]]:
    """Read texts such as `talking=120`, `talking=500+` (at least) or `grimace`. Raises click.BadParameter."""
    return [_exercise(text) for text in texts]


def _exercise(text: str) -> dict[str, object]:
    name, _, value = text.partition("=")
    try:
        exercise: dict[str, object] = {"name": word_typed(name, [one.value for one in Exercise], "exercise")}
    except UnclearError as error:
        raise click.BadParameter(str(error), param_hint="--exercise") from None
    if value:
        try:
            number, exercise["at_least"] = fit_factor_typed(value)
        except UnclearError:
            message = f"{text} is no exercise with its fit factor. Write talking=120, or talking=120+ for at least."
            raise click.BadParameter(message, param_hint="--exercise") from None
        exercise["fit_factor"] = float(number)
    return exercise
