"""The chart of a run as one HTML page that needs no other file and asks no other host for anything."""

from __future__ import annotations

from typing import cast

from jinja2 import Environment, PackageLoader
from markupsafe import Markup

from builder.fit.counts.run_log import RunLog
from builder.fit.counts.run_result import RunResult
from builder.fit.counts.sampled_air import AMBIENT, KINDS, MASK, OF_ONE, SAME_AIR, SWAPPED
from builder.fit.levels import SHOWN_LEVEL
from builder.pictures.palette import Ink, style_rule
from builder.pictures.run_chart import INKS, SHADES, DrawnPhase, PhaseKind, run_chart
from builder.pictures.svg import inked
from builder.records.problems import printable
from builder.words.counted_run import cut_sentence, figures, stretch_name
from builder.words.numbers import figure, fit, level


def chart_page(log: RunLog, result: RunResult, name: str) -> str:
    """Draw the levels of a run over time on a log scale, phases shaded and named, with its figures as a table.

    `name` is what the run is called, such as its file.
    """
    phases = [
        DrawnPhase(
            _kind(stretch.kind),
            stretch.begin,
            stretch.end,
            stretch_name(stretch),
            stretch.amount / stretch.seconds if stretch.seconds else None,
        )
        for stretch in log.stretches
    ]
    readings = {
        _kind(kind): [(level.seconds, level.level) for level in log.levels if level.kind == kind]
        for kind in range(len(OF_ONE))
    }
    unit = "particles a second" if log.counted else "particles per cm³"
    environment = Environment(
        loader=PackageLoader("builder.commands"), autoescape=True, trim_blocks=True, lstrip_blocks=True
    )
    return environment.get_template("run-chart.html").render(
        palette=Markup(style_rule([Ink.INK, Ink.PAPER, *INKS.values(), *SHADES.values()])),
        name=printable(name),
        picture=Markup(inked(run_chart(phases, readings, unit, figure), "run")),
        level=level(SHOWN_LEVEL),
        zeros=any(level.level == 0 for level in log.levels),
        overall=fit(result.fit.overall.fit_factor, result.fit.overall.at_least),
        rows=figures(result),
        warnings=result.warnings,
        cut=cut_sentence(log.cut) if log.cut else "",
    )


def _kind(kind: int) -> PhaseKind:
    return cast(PhaseKind, {SAME_AIR: KINDS[AMBIENT], SWAPPED: KINDS[MASK]}.get(kind, KINDS[kind]))
