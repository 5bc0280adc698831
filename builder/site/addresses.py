"""Where each page lives, below the site's root."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import blake2b
from urllib.parse import quote

LONGEST_NAME = 200
"""Characters of a file's name before its ending; common file systems hold 255 bytes."""


def mask_address(mask: str) -> str:
    """Where a mask's page lives, below the site's root."""
    return f"masks/{quote(mask)}/"


def configuration_address(configuration: str) -> str:
    """Where a configuration stands on its mask's page."""
    return f"{mask_address(configuration.partition('+')[0])}#{quote(configuration, safe='+')}"


def source_address(mask: str) -> str:
    """Where the files stand that a mask's figures were computed from, each test's under its anchor."""
    return f"{mask_address(mask)}source/"


def share_address(mask: str) -> str:
    """Where the page lives that offers a mask's figures to pass on, and its pictures beside it."""
    return f"{mask_address(mask)}share/"


def share_name(parts: str) -> str:
    """Name a configuration's pictures among those of its mask, in characters that no address has to escape."""
    return _name(parts) or "as_sold"


def _name(configuration: str) -> str:
    """Name a configuration in a path: an id holds neither "--" nor "_", so no two share a name."""
    name = configuration.replace("+", "--")
    if len(name) <= LONGEST_NAME:
        return name
    return f"{name[:LONGEST_NAME]}_{blake2b(configuration.encode(), digest_size=8).hexdigest()}"


def test_anchor(test: str) -> str:
    """Anchor of a test on its mask's page: the id without the mask."""
    return test.partition("/")[2]


def test_address(test: str) -> str:
    """Where a test stands on its mask's page."""
    return f"{mask_address(test.partition('/')[0])}#{quote(test_anchor(test))}"


def contributor_address(contributor: str) -> str:
    """Where the page lives of whoever measured."""
    return f"testers/{quote(contributor)}/"


def wearer_address(wearer: str) -> str:
    """Where the page lives of whoever wore the masks."""
    return f"wearers/{quote(wearer)}/"


def hack_address(part: str) -> str:
    """Where a part's page lives."""
    return f"hacks/{quote(part)}/"


def compare_address(configurations: Sequence[str]) -> str:
    """Where configurations are compared; the others stand against the first."""
    return "compare/?" + "&".join(f"c={quote(configuration, safe='')}" for configuration in configurations)


def pair_address(a: str, b: str) -> str:
    """Where the page lives of one comparison, B against A, that somebody is likely to speak of."""
    return f"compare/{quote(_name(a))}/{quote(_name(b))}/"


def cell_address(cell: str) -> str:
    """Where a face cell's page lives."""
    return f"faces/cell-{quote(cell)}/" if cell.isdigit() else f"faces/{quote(cell)}/"
