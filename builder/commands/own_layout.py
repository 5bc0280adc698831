"""How `sealbook suggest` prints what was told of masks on the reader's own face, and how it moved the chances."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from builder.commands.text_columns import in_columns

if TYPE_CHECKING:
    from builder.commands.own_texts import ToldResult
    from builder.findings.dataset import Dataset
    from builder.findings.own_advice import OwnAdvice


def with_own_results(printed: dict[str, Any], told: Sequence[ToldResult], own: OwnAdvice) -> dict[str, Any]:
    """Add to the JSON of a list what was understood, and to its rows what their chances were before."""
    bests = [row for row in (printed["best_as_sold"], printed["best_changed"]) if row]
    for row in (*printed["try_first"], *printed["ranked"], *bests):
        row["chance_before"] = own.before.get(row["configuration"])
    for row in printed["ranked"]:
        row["own_low"], row["own_high"] = own.interval.get(row["configuration"], (None, None))
    return printed | {"own": [one.printed() for one in told], "tells_most": list(own.telling)}


def own_lines(data: Dataset, told: Sequence[ToldResult], own: OwnAdvice) -> str:
    """Print what was understood, and beside each of the list to try first what its chance was before."""
    from builder.words.catalogue import say
    from builder.words.chances import chance_text
    from builder.words.labels import configuration_label
    from builder.words.own_words import other_mask_label, own_result_sentence

    lines = [say("own.told")]
    for one in told:
        listed = one.configuration
        mask = configuration_label(data, listed) if listed else other_mask_label(one.style, one.mask_class)
        lines.append(f"- {own_result_sentence(mask, one.result)}")
    if not own.before:
        return "\n".join([*lines, say("own.unused")])
    rows = [(say("head.configuration"), say("own.before"), say("own.now"))]
    for choice in own.advice.try_first:
        assert choice.chance is not None  # there are chances
        rows.append((choice.configuration, chance_text(own.before[choice.configuration]), chance_text(choice.chance)))
    telling = [say("own.most_telling", mask=configuration_label(data, name)) for name in own.telling[:1]]
    return "\n".join([*lines, "", *in_columns(rows), "", *telling])
