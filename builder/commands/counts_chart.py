"""The chart of a run as one HTML page that needs no other file and asks no other host for anything."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jinja2 import Environment

from builder.fit.counts.run_log import AMBIENT, KINDS, MASK, PURGE, RunLog, Stretch
from builder.fit.counts.run_result import RunResult
from builder.fit.levels import SHOWN_LEVEL
from builder.records.count_logs import EXERCISES
from builder.records.problems import printable
from builder.words.counted_run import exercise_name, figures
from builder.words.numbers import figure, fit, level

WIDTH, HEIGHT = 960, 420
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, 12, 118, 48
_MOST_NAMED = 40
"""Stretches that are named in the drawing; names of more would lie on top of each other."""

_STEPS = tuple(round(step * 10**power) for power in range(6) for step in (1, 2, 5, 10, 15, 30, 60))


@dataclass(frozen=True)
class _Scales:
    """From seconds and levels to places in the drawing. The lowest decade stands for 0 too."""

    seconds: float
    low: int
    high: int

    def x(self, seconds: float) -> float:
        return round(_LEFT + (WIDTH - _LEFT - _RIGHT) * seconds / self.seconds, 1)

    def y(self, level: float) -> float:
        share = 0.0 if level <= 0 else (math.log10(level) - self.low) / (self.high - self.low)
        return round(HEIGHT - _BOTTOM - (HEIGHT - _TOP - _BOTTOM) * min(max(share, 0.0), 1.0), 1)


def chart_page(log: RunLog, result: RunResult, name: str) -> str:
    """Draw the levels of a run over time on a log scale, phases shaded and named, with its figures as a table.

    `name` is what the run is called, such as its file.
    """
    levels = [level.level for level in log.levels if level.level > 0]
    low = math.floor(math.log10(min(levels, default=1)))
    high = max(math.ceil(math.log10(max(levels, default=10))), low + 1)
    scales = _Scales(max((stretch.end for stretch in log.stretches), default=1.0) or 1.0, low, high)
    few = len(log.stretches) <= _MOST_NAMED
    return _PAGE.render(
        name=printable(name),
        level=level(SHOWN_LEVEL),
        unit="particles a second" if log.counted else "particles per cm³",
        width=WIDTH,
        height=HEIGHT,
        top=_TOP,
        base=HEIGHT - _BOTTOM,
        left=_LEFT,
        right=WIDTH - _RIGHT,
        shades=[
            {
                "kind": KINDS[stretch.kind],
                "x": scales.x(stretch.begin),
                "width": round(scales.x(stretch.end) - scales.x(stretch.begin), 1),
                "name": stretch_name(stretch) if few and stretch.kind != PURGE else "",
                "level": scales.y(stretch.amount / stretch.seconds) if stretch.seconds else None,
            }
            for stretch in log.stretches
        ],
        dots=[(KINDS[kind], _dots(log, kind, scales)) for kind in (PURGE, AMBIENT, MASK)],
        ticks=[(scales.x(second), f"{second:g}") for second in _seconds(scales.seconds)],
        decades=[(scales.y(10.0**power), figure(10.0**power)) for power in range(low, high + 1)],
        zeros=any(level.level == 0 for level in log.levels),
        overall=fit(result.fit.overall.fit_factor, result.fit.overall.at_least),
        rows=figures(result),
        warnings=result.warnings,
    )


def stretch_name(stretch: Stretch) -> str:
    """Name a stretch: its exercise, else its phase."""
    return exercise_name(EXERCISES[stretch.exercise]) if stretch.kind == MASK else KINDS[stretch.kind]


def _dots(log: RunLog, kind: int, scales: _Scales) -> str:
    """Draw the levels of a kind as one path: a line of no length with round ends is a dot."""
    return "".join(
        f"M{scales.x(level.seconds)} {scales.y(level.level)}h0" for level in log.levels if level.kind == kind
    )


def _seconds(length: float) -> list[float]:
    step = next((step for step in sorted(_STEPS) if length / step <= 12), length)
    return [step * number for number in range(int(length / step) + 1)]


_PAGE = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string("""\
<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Run {{ name }}</title>
<style>
:root { color-scheme: light dark; --ink: light-dark(#1c2b30, #e3e9e8); --line: light-dark(#d8d6cb, #34444a);
  --paper: light-dark(#fbfaf6, #11181b); --ambient: light-dark(#5b6b78, #a9b7c2); --mask: light-dark(#0b7285, #5fd0dc);
  --shade-ambient: light-dark(#f1efe7, #1d282d); --shade-mask: light-dark(#dcebe9, #1f3a3d); }
body { margin: 1.5rem auto; max-width: 62rem; padding: 0 1rem; color: var(--ink); background: var(--paper);
  font: 1rem/1.5 system-ui, sans-serif; }
svg { width: 100%; height: auto; }
text { fill: var(--ink); font-size: 13px; }
.ambient-shade { fill: var(--shade-ambient); } .mask-shade { fill: var(--shade-mask); stroke: var(--paper); }
.purge-shade { fill: none; }
.grid { stroke: var(--line); } .mean { stroke: var(--ink); stroke-width: 1; }
.dots { fill: none; stroke-width: 4; stroke-linecap: round; }
.ambient { stroke: var(--ambient); } .mask { stroke: var(--mask); } .purge { stroke: var(--line); }
table { border-collapse: collapse; } caption { text-align: left; }
th, td { padding: .2rem .8rem .2rem 0; text-align: right; border-bottom: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; }
</style>
<h1>Run {{ name }}</h1>
<p>Overall fit factor <strong>{{ overall }}</strong>.</p>
<svg viewBox="0 0 {{ width }} {{ height }}" role="img" aria-labelledby="title about">
<title id="title">{{ unit | capitalize }} over time</title>
<desc id="about">{% for shade in shades if shade.name %}{{ shade.name }}, {% endfor %}on a logarithmic scale; \
the table below has the figures.</desc>
{% for shade in shades %}
<rect class="{{ shade.kind }}-shade" x="{{ shade.x }}" y="{{ top }}" width="{{ shade.width }}" \
height="{{ base - top }}"/>
{% if shade.name %}
<text transform="translate({{ (shade.x + shade.width / 2) | round(1) }} {{ top - 6 }}) rotate(-45)">\
{{ shade.name }}</text>
{% endif %}
{% endfor %}
{% for y, label in decades %}
<line class="grid" x1="{{ left }}" x2="{{ right }}" y1="{{ y }}" y2="{{ y }}"/>
<text x="{{ left - 6 }}" y="{{ y + 4 }}" text-anchor="end">{{ label }}</text>
{% endfor %}
{% for x, label in ticks %}
<text x="{{ x }}" y="{{ base + 18 }}" text-anchor="middle">{{ label }}</text>
{% endfor %}
<text x="{{ right }}" y="{{ base + 38 }}" text-anchor="end">seconds</text>
<text x="0" y="{{ top - 12 }}">{{ unit }}</text>
{% for kind, path in dots if path %}
<path class="dots {{ kind }}" d="{{ path }}"/>
{% endfor %}
{% for shade in shades if shade.level is not none %}
<line class="mean" x1="{{ shade.x }}" x2="{{ shade.x + shade.width }}" y1="{{ shade.level }}" y2="{{ shade.level }}"/>
{% endfor %}
</svg>
<p>Dots are readings, dark lines the mean of each phase{% if zeros %}; a dot on the lowest line is 0{% endif %}. \
Pale dots were dropped as purge.</p>
<table>
<caption>Fit factors with their {{ level }} counting interval: breathing, talking and re-donning scatter are not in it.\
</caption>
<tr><th scope="col">exercise<th scope="col">fit factor<th scope="col">{{ level }} interval<th scope="col">seconds\
<th scope="col">particles</tr>
{% for row in rows %}
<tr><th scope="row">{{ row[0] }}{% for cell in row[1:] %}<td>{{ cell }}{% endfor %}</tr>
{% endfor %}
</table>
{% if warnings %}
<h2>Warnings</h2>
<ul>
{% for warning in warnings %}
<li>{{ warning }}
{% endfor %}
</ul>
{% endif %}
</html>
""")
