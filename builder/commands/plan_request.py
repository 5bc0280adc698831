"""What was asked for: the mask, the slots to vary and the parts in them, checked against the entries."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence

from builder.commands.known_names import meant_or_known
from builder.fit.levels import LONGEST_RUN
from builder.fit.plan.fractions import Factor
from builder.records.entries import Register
from builder.records.models import REMOVED, Mask, part_token
from builder.records.problems import quoted
from builder.records.value_types import ID_PATTERN
from builder.records.vocabulary import Slot


class RequestError(ValueError):
    """What was asked for cannot be planned; carries every reason."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__(" ".join(problems))
        self.problems = tuple(problems)


def read_request(entries: Register, mask: str, vary: Sequence[str], pseudonyms: Iterable[str]) -> tuple[Factor, ...]:
    """Read `slot=part,part` texts, the most interesting first, as factors of one mask.

    Part `none` takes out what the mask has as sold, which cannot be undone. Raises RequestError with every problem.
    """
    problems: list[str] = []
    record = entries.masks.get(mask)
    if record is None:
        problems.append(f"There is no mask {quoted(mask)}. {meant_or_known(mask, entries.masks)}")
    problems += [
        f"{quoted(name)} is no pseudonym: small letters and digits, single hyphens between."
        for name in pseudonyms
        if not re.fullmatch(ID_PATTERN, name)
    ]
    if not vary:
        problems.append("Nothing to vary: name a slot and its parts, such as --vary nose-wire=PART.")
    factors: list[Factor] = []
    for text in vary:
        name, equals, parts = text.partition("=")
        if not equals:
            problems.append(f"{quoted(text)} is not of the form SLOT=PART,PART.")
        elif name not in set(Slot):
            problems.append(f"{quoted(name)} is no slot. {meant_or_known(name, list(Slot))}")
        elif name in {factor.slot for factor in factors}:
            problems.append(f"{name} is named twice: join its parts with commas.")
        else:
            chosen = parts.split(",")
            slot = Slot(name)
            problems += _part_problems(entries, record.mask if record else None, slot, chosen)
            factors.append(_factor(entries, slot, chosen))
    if problems:
        raise RequestError(problems)
    return tuple(factors)


def check_size(factors: Sequence[Factor], donnings: int, half: bool) -> None:
    """Raise RequestError where the planned donnings alone are too many."""
    planned = math.prod(len(factor.options) for factor in factors) * donnings // (2 if half else 1)
    refuse_too_many(planned)


def refuse_too_many(donnings: int) -> None:
    """Raise RequestError for a run of too many donnings."""
    if donnings > LONGEST_RUN:
        raise RequestError(
            [
                f"That is a run of {donnings} donnings, and {LONGEST_RUN} is the most. "
                "Vary fewer parts at once, repeat less, or test half of the combinations (--half)."
            ]
        )


def _factor(entries: Register, slot: Slot, chosen: Sequence[str]) -> Factor:
    removed = part_token(slot, REMOVED)
    parts = tuple(part_token(slot, part) for part in chosen)
    lasting = (
        part == removed or (part in entries.parts and not entries.parts[part].part.can_be_undone) for part in parts
    )
    return Factor(slot.value, parts, frozenset(part for part, lasts in zip(parts, lasting, strict=True) if lasts))


def _part_problems(entries: Register, mask: Mask | None, slot: Slot, chosen: Sequence[str]) -> Iterator[str]:
    removed = part_token(slot, REMOVED)
    as_sold = dict(mask.as_sold.filled()).get(slot) if mask else None
    for number, part in enumerate(chosen):
        record = entries.parts.get(part)
        if part in chosen[:number]:
            yield f"{quoted(part)} is named twice in {slot}."
        elif part in (REMOVED, removed):
            if mask and as_sold is None:
                yield f"{slot}=none takes nothing out: the mask is sold without anything there."
        elif record is None:
            own = [known for known, other in entries.parts.items() if other.part.slot is slot]
            yield f"There is no part {quoted(part)}. {meant_or_known(part, own, entries.parts)}"
        elif record.part.slot is not slot:
            yield f"{part} belongs in {record.part.slot}, not in {slot}."
        elif part == as_sold:
            yield f"{part} is what the mask has in {slot} as sold, which is in the plan anyway."
