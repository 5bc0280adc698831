"""What pages call things, and where they live: labels instead of ids, and the address of each page."""

from __future__ import annotations

import math
from collections.abc import Sequence
from hashlib import blake2b
from typing import TYPE_CHECKING
from urllib.parse import quote

from builder.records.vocabulary import Instrument, Leak, NoseBridge, Protocol, Slot

if TYPE_CHECKING:
    from builder.findings.dataset import Dataset
    from builder.records.models import Mask

AT_LEAST = "≥\u202f"
LONGEST_NAME = 200
"""Characters of a file's name before its ending; common file systems hold 255 bytes."""


def mask_label(mask: Mask) -> str:
    """Name a mask: its model, and its size where it has one."""
    return f"{mask.model} {mask.size}" if mask.size else mask.model


def part_label(data: Dataset, token: str) -> str:
    """Name a part of a configuration, or say what was taken out."""
    part = data.part(token)
    if part is not None:
        return part.name
    slot = Slot(token.removeprefix("no-"))
    return f"no {slot.label.lower()}"


def change_label(data: Dataset, parts: str) -> str:
    """Name a configuration beside its mask: "as sold", or the changed parts."""
    if not parts:
        return "as sold"
    return " + ".join(part_label(data, token) for token in parts.split("+"))


def configuration_label(data: Dataset, configuration: str) -> str:
    """Name a configuration in full."""
    mask, _, parts = configuration.partition("+")
    name = mask_label(data.entries.masks[mask].mask)
    return f"{name}, {change_label(data, parts)}"


def mask_address(mask: str) -> str:
    """Where a mask's page lives, below the site's root."""
    return f"masks/{quote(mask)}/"


def configuration_address(configuration: str) -> str:
    """Where a configuration stands on its mask's page."""
    return f"{mask_address(configuration.partition('+')[0])}#{quote(configuration, safe='+')}"


def share_address(mask: str) -> str:
    """Where the page lives that offers a mask's figures to pass on, and its pictures beside it."""
    return f"{mask_address(mask)}share/"


def share_name(parts: str) -> str:
    """Name a configuration's pictures among those of its mask, in characters that no address has to escape.

    An id holds neither "--" nor "_", so no two configurations share a name.
    """
    name = parts.replace("+", "--") or "as_sold"
    if len(name) <= LONGEST_NAME:
        return name
    return f"{name[:LONGEST_NAME]}_{blake2b(parts.encode(), digest_size=8).hexdigest()}"


def test_anchor(test: str) -> str:
    """Anchor of a test on its mask's page: the id without the mask."""
    return test.partition("/")[2]


def test_address(test: str) -> str:
    """Where a test stands on its mask's page."""
    return f"{mask_address(test.partition('/')[0])}#{quote(test_anchor(test))}"


def hack_address(part: str) -> str:
    """Where a part's page lives."""
    return f"hacks/{quote(part)}/"


def compare_address(configurations: Sequence[str]) -> str:
    """Where configurations are compared; the others stand against the first."""
    return "compare/?" + "&".join(f"c={quote(configuration, safe='')}" for configuration in configurations)


def cell_address(cell: str) -> str:
    """Where a face cell's page lives."""
    return f"faces/cell-{quote(cell)}/" if cell.isdigit() else f"faces/{quote(cell)}/"


def cell_label(cell: str) -> str:
    """Name a face cell."""
    return f"cell {cell}" if cell.isdigit() else {"outside": "outside the panel"}.get(cell, "not measured")


def bridge_label(bridge: str) -> str:
    """Name a nose bridge."""
    return f"{NoseBridge(bridge).label.lower()} bridge" if bridge in set(NoseBridge) else "bridge not judged"


def protocol_label(protocol: str) -> str:
    """Name a protocol."""
    return Protocol(protocol).label


def instrument_label(instrument: str) -> str:
    """Name a kind of instrument."""
    return Instrument(instrument).label


def leaks_label(leaks: str) -> str:
    """Name the places of a test's leaks."""
    return ", ".join(Leak(leak).label.lower() for leak in leaks.split("+"))


def figure(value: object) -> str:
    """Print a number with three significant digits and no exponent; "–" for none."""
    number = float(value)  # type: ignore[arg-type]
    if math.isnan(number):
        return "–"
    if number == 0:
        return "0"
    digits = max(0, 2 - math.floor(math.log10(abs(number))))
    rounded = round(number, 2 - math.floor(math.log10(abs(number))))
    text = f"{rounded:,.{digits}f}".replace(",", "\u202f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def fit(value: object, at_least: object = False) -> str:
    """Print a fit factor, marked where it is a lower limit."""
    text = figure(value)
    return f"{AT_LEAST}{text}" if at_least and text != "–" else text


def plural(n: object, word: str, many: str = "") -> str:
    """Count things: "1 wearer", "14 wearers"."""
    count = int(n)  # type: ignore[call-overload]
    return f"{count:,} {word if count == 1 else many or word + 's'}".replace(",", "\u202f")


def small_n(wearers: object) -> str:
    """Say in words how little few wearers tell; "" from five on."""
    n = int(wearers)  # type: ignore[call-overload]
    if n == 0:
        return "No test that counts."
    if n == 1:
        return "One face only: another may get another result."
    return f"Only {n} faces: a start, no more." if n < 5 else ""
