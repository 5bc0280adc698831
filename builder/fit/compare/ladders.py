"""Every changed configuration of a mask beside the mask as sold, as one list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.fit.compare.measured_arms import MeasuredArms
from builder.fit.compare.two_configurations import Comparison, compare
from builder.fit.compare.verdicts import verdicts_in_list


@dataclass(frozen=True)
class Rung:
    """A changed configuration, with its parts, against its mask as sold: as one of a list, and by itself."""

    configuration: str
    parts: str
    comparison: Comparison
    alone: Comparison


def ladder(mask: str, changed: Mapping[str, str], measured: MeasuredArms) -> tuple[Rung, ...]:
    """Compare each changed configuration of a mask with it as sold, highest ratio first, those without one last.

    `changed` gives the parts of each by its id. The verdicts are those of one list: Holm's adjustment comes before
    "clear". Empty where nobody tested the mask as sold.
    """
    if mask not in measured.by_configuration:
        return ()
    tried = [configuration for configuration in changed if configuration in measured.by_configuration]
    compared = [compare(measured, mask, configuration) for configuration in tried]
    together = zip(tried, verdicts_in_list(compared), compared, strict=True)
    rungs = [Rung(configuration, changed[configuration], in_list, alone) for configuration, in_list, alone in together]
    return tuple(sorted(rungs, key=lambda rung: (rung.comparison.ratio is None, -(rung.comparison.ratio or 0.0))))
