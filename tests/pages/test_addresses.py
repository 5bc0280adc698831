"""Where pages live."""

from __future__ import annotations

from builder.site import addresses


def test_addresses_keep_the_plus_of_a_configuration() -> None:
    assert addresses.configuration_address("cup+clip+tape") == "masks/cup/#cup+clip+tape"
    assert addresses.test_address("cup/2024-01-02-ann-1") == "masks/cup/#2024-01-02-ann-1"
    assert addresses.cell_address("4") == "faces/cell-4/"
    assert addresses.cell_address("outside") == "faces/outside/"
