"""The tests wanted, in words."""

from __future__ import annotations

from builder.findings.dataset import Dataset
from builder.findings.wanted import WantedTests
from builder.words.labels import cell_label, configuration_label
from builder.words.numbers import plural
from builder.words.predictions import no_model_sentence


def wanted_text(data: Dataset, wanted: WantedTests) -> str:
    """Lay the list out for a terminal."""
    if not wanted.tests:
        return "No masks yet."
    lines = [no_model_sentence(wanted.no_model)] if wanted.no_model else []
    for test in wanted.tests:
        name = f"{test.configuration} on a face in {cell_label(test.cell)}"
        known = f"tested by {plural(test.wearers, 'wearer')}; {test.cell_wearers} from that cell so far."
        gain = f" It settles {gain_text(test.gain)}." if test.gain is not None else ""
        lines.append(f"{name} ({configuration_label(data, test.configuration)}): {known}{gain}")
    return "\n".join(lines)


def gain_text(gain: float) -> str:
    """Print a gain in percent."""
    return f"{100 * gain:.1f} %" if gain >= 0.001 else "under 0.1 %"
