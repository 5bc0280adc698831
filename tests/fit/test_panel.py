import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.fit.panel import CELLS, below_panel, cell_of, cells_of, population_shares, standardise

lengths, widths = st.floats(90, 150), st.floats(110, 170)


def test_middles_lie_in_their_cell() -> None:
    for cell in CELLS:
        middle = (cell.length_low + cell.length_high) / 2, (cell.width_low + cell.width_high) / 2
        assert cell_of(*middle) == cell.name


@pytest.mark.parametrize(
    ("length", "width", "cell"),
    [
        # A shared limit belongs to the cell above, in length and in width.
        (108.49, 126, "1"),
        (108.5, 126, "3"),
        (113, 132.49, "3"),
        (113, 132.5, "4"),
        (118.5, 134.49, "6"),
        (118.5, 134.5, "7"),
        (118.5, 146.5, "8"),
        (128.5, 146.5, "10"),
        # An edge with no neighbour belongs to its cell, beside a missing cell too.
        (98.5, 120.5, "1"),
        (108.49, 144.5, "2"),
        (108.5, 144.5, "5"),
        (108.5, 158.5, "5"),
        (128.5, 120.5, "6"),
        (128.5, 134.49, "6"),
        (128.5, 134.5, "9"),
        (138.5, 134.5, "9"),
        (138.5, 146.5, "10"),
        (138.5, 158.5, "10"),
        # Just outside.
        (98.49, 130, "outside"),
        (138.51, 140, "outside"),
        (113, 120.49, "outside"),
        (113, 158.51, "outside"),
        (108.49, 144.51, "outside"),
        (128.51, 134.49, "outside"),
        (float("nan"), 140, "unknown"),
        (118, float("nan"), "unknown"),
    ],
)
def test_limits(length: float, width: float, cell: str) -> None:
    assert cell_of(length, width) == cell


@pytest.mark.parametrize(
    ("length", "width", "below"),
    [
        (98.5, 120.5, False),
        (98.4, 140, True),
        (118, 120.4, True),
        (130, 122, False),
        (150, 170, False),
        (float("nan"), 110, True),
        (float("nan"), float("nan"), False),
    ],
)
def test_a_face_below_the_panel_is_shorter_or_narrower_than_all(length: float, width: float, below: bool) -> None:
    assert below_panel(length, width) == below


@given(st.lists(st.tuples(lengths, widths), min_size=1))
def test_many_at_once_as_one_by_one(faces: list[tuple[float, float]]) -> None:
    together = cells_of([length for length, _ in faces], [width for _, width in faces])
    assert together.tolist() == [cell_of(length, width) for length, width in faces]


@given(lengths, widths)
def test_a_face_lies_in_one_cell_of_those_that_reach_it(length: float, width: float) -> None:
    reaching = [
        cell.name
        for cell in CELLS
        if cell.length_low <= length <= cell.length_high and cell.width_low <= width <= cell.width_high
    ]
    assert cell_of(length, width) == (reaching[-1] if reaching else "outside")


def test_shapes_are_kept() -> None:
    assert cells_of(np.full((2, 3), 120.0), 140.0).shape == (2, 3)


def test_shares_add_up() -> None:
    shares = population_shares()
    assert list(shares) == [str(number) for number in range(1, 11)]
    assert sum(shares.values()) == pytest.approx(1)


def test_standardise() -> None:
    assert standardise(126.5, 135.5) == (1.0, -0.5)
    length, width = standardise(np.array([118.5, 110.5]), np.array([139.5, 147.5]))
    np.testing.assert_array_equal(length, [0, -1])
    np.testing.assert_array_equal(width, [0, 1])
