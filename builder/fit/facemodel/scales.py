"""The standard deviations of the model's terms, and what is thought of them before any data. All in ln fit factor."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace

import numpy as np

from builder.fit.arrays import FloatArray
from builder.fit.compare.methods import METHOD, MethodScales

BOUNDS = (0.01, 4.6)


@dataclass(frozen=True)
class Scales:
    """Standard deviation of each term. The defaults are where the prior of each is centred.

    Re-donning scatter starts at a GSD of 1.6, the lower half of the planning range of 1.5–2.5 (common practice, no
    published source). Halving or doubling the other centres changes scores by less than 0.03 in log score.
    """

    style: float = 0.46
    mask: float = 0.58
    configuration: float = 0.23
    face: float = 0.35
    face_style: float = 0.41
    face_mask: float = 0.28
    wearer: float = 0.58
    wearer_mask: float = 0.41
    wearer_configuration: float = 0.23
    hack_bridge: float = 0.15
    """How much more a part does on a high nose bridge than on a medium one, and less on a low one."""
    redonning: float = 0.47
    hack: float = 0.58
    """Effect of one part. Held fixed, like those of methods: a handful of parts cannot tell their own spread."""
    protocol: float = MethodScales.protocol
    instrument: float = MethodScales.instrument
    size_selection: float = MethodScales.size_selection

    def logs(self) -> FloatArray:
        """ln of every scale but those of `FIXED`, in the order of `ESTIMATED`."""
        return np.log([getattr(self, name) for name in ESTIMATED])

    def of_terms(self) -> FloatArray:
        """The scale of each term by its number in `TERM`; 1 for the intercept, which is flat.

        A scale of methods is that of a difference between two of its levels, each of which has it over √2.
        """
        methods = (self.protocol / 2**0.5, self.instrument / 2**0.5, self.size_selection / 2**0.5)
        return np.array([*(getattr(self, name) for name in ESTIMATED), self.hack, *methods, 1.0])

    def alike(self) -> "Scales":
        """The same people, but nothing that masks or parts differ by."""
        return replace(self, **dict.fromkeys(OF_MASKS, BOUNDS[0]))

    def with_logs(self, logs: FloatArray) -> "Scales":
        """These scales with all but those of `FIXED` replaced."""
        return replace(self, **dict(zip(ESTIMATED, np.exp(logs).tolist(), strict=True)))


OF_MASKS = ("style", "mask", "configuration", "face", "face_style", "face_mask", "hack_bridge", "hack")
FIXED = ("hack", *METHOD)
ESTIMATED = tuple(f.name for f in fields(Scales))[: -len(FIXED)]
TERM = {name: number for number, name in enumerate([*ESTIMATED, *FIXED, "intercept"])}
"""Number of each term, by which every coefficient of the model finds its scale."""


def _default_spread() -> dict[str, float]:
    return {name: 0.25 if name == "redonning" else 0.5 for name in ESTIMATED}


@dataclass(frozen=True)
class ScalePrior:
    """Independent normal priors of ln scale. A spread of 0 holds a scale at its centre; inf leaves it to the data."""

    centre: Scales = field(default_factory=Scales)
    spread: Mapping[str, float] = field(default_factory=_default_spread)

    @property
    def free(self) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which of `ESTIMATED` are free to move."""
        return np.array([self.spread[name] > 0 for name in ESTIMATED])

    def log_density(self, logs: FloatArray) -> tuple[float, FloatArray]:
        """Log density up to a constant, and its gradient."""
        spread = np.array([self.spread[name] or 1.0 for name in ESTIMATED])
        away = (logs - self.centre.logs()) / spread
        return -0.5 * float(away @ away), -away / spread
