"""What the page says that measures all configurations by one mask."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.fit.compare.yardstick import Evidence, Measured
from builder.words.catalogue import count, say
from builder.words.labels import configuration_label
from builder.words.numbers import between, none, times


def ratio_text(measured: Measured) -> str:
    """Print the ratio; "–" where only a limit of it is known."""
    return times(measured.ratio)


def interval_text(measured: Measured) -> str:
    """Print its interval."""
    return between(measured.low90, measured.high90)


def direct_text(measured: Measured) -> str:
    """Say what the wearers of both tell, and how many they are; "–" for nobody."""
    if len(measured.chain) != 1:
        return none()
    wearers = count("wearer", measured.chain[0][1])
    return say("chart.part_row", ratio=_ratio(measured.direct), wearers=wearers) if measured.direct else wearers


def others_text(data: Dataset, measured: Measured) -> str:
    """Say what all others tell: a ratio, the chain that leads there with the wearers behind each link, or "–"."""
    if len(measured.chain) > 1:
        return say("yardstick.chain", steps=" → ".join(_steps(data, measured)))
    if measured.indirect is None:
        return none()
    ratio = _ratio(measured.indirect)
    return say("yardstick.disagree", ratio=ratio) if measured.disagree else ratio


def _steps(data: Dataset, measured: Measured) -> list[str]:
    return [
        say("yardstick.step", configuration=configuration_label(data, name), wearers=count("wearer", wearers))
        for name, wearers in measured.chain
    ]


def _ratio(told: Evidence | None) -> str:
    return times(told.ratio if told else None)
