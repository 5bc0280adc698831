"""What makes the counts of a run doubtful, in the words and by the limits that logs and entries share."""

from __future__ import annotations

CONSTANT_FROM = 100.0
"""Where fewer particles are counted, the next count may well be the same."""

FEWEST_EXPECTED = 3
"""Where fewer are to be expected none is no surprise: the one-sided 95 % limit of no count is 2.996 (Garwood 1936)."""

MOST_SAMPLED_CM3 = 1400.0
"""The most air that a counter samples in half a minute, an optical one (value from memory)."""

CONSTANT = "All {times} ambient {noun} hold the very same number, which room air never does."
DRIFTED = "The ambient level changed ×{ratio} between two samplings: too much to be averaged."
TOO_FEW_EXPECTED = (
    "With {level} particles per cm³ of room air fewer than {fewest} are to be expected in the mask in half a minute "
    "where the fit factor is above {most}"
)
BELOW_ONE = "The counts give a fit factor of {fit_factor}: more particles in the mask than outside."
"""What the contribute form says too."""

AT_ITS_LIMIT = "Check whether the counter was at its limit: thin the air, or give what was counted each time."


def constant(times: int, noun: str) -> str:
    """Say that all of some ambient stretches or readings are the same."""
    return CONSTANT.format(times=times, noun=noun)


def drifted(ratio: float) -> str:
    """Say that the ambient level changed too much."""
    return DRIFTED.format(ratio=f"{ratio:.2g}")


def most_shown(level: float, sampled_cm3: float) -> float:
    """Give the highest fit factor that some particles in `sampled_cm3` of air show, at a level of particles per cm³."""
    return level * sampled_cm3 / FEWEST_EXPECTED


def too_few_expected(level: float, sampled_cm3: float) -> str:
    """Say what fit factor a level is too low for."""
    return TOO_FEW_EXPECTED.format(**expected_words(level, sampled_cm3))


def expected_words(level: float, sampled_cm3: float) -> dict[str, object]:
    """Give what `TOO_FEW_EXPECTED` names."""
    return {"level": f"{level:g}", "fewest": FEWEST_EXPECTED, "most": f"{most_shown(level, sampled_cm3):.0f}"}
