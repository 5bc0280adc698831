"""The tests wanted, in words."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.wanted import WantedTests
from builder.words.catalogue import count, language, say
from builder.words.labels import cell_label, configuration_label
from builder.words.predictions import no_model_sentence


def wanted_text(data: Dataset, wanted: WantedTests) -> str:
    """Lay the list out for a terminal."""
    if not wanted.tests:
        return say("wanted.no_masks")
    lines = [no_model_sentence(wanted.no_model)] if wanted.no_model else []
    for test in wanted.tests:
        said = say(
            "wanted.test",
            configuration=test.configuration,
            cell=cell_label(test.cell),
            label=configuration_label(data, test.configuration),
            wearers=count("wearer", test.wearers),
            near=test.cell_wearers,
        )
        gain = "" if test.gain is None else say("wanted.gain", gain=gain_text(test.gain))
        lines.append(f"{said} {gain}".rstrip())
    return "\n".join(lines)


def gain_text(gain: float) -> str:
    """Print a gain in percent."""
    if gain < 0.001:
        return say("wanted.little")
    return say("wanted.percent", percent=f"{100 * gain:.1f}".replace(".", language().number.point))
