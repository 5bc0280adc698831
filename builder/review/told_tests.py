"""The tests of a pull request in Markdown: each new one beside what was known, and which to look at twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.review.changes import Change, NewReading
from builder.review.escaping import code, plain
from builder.review.known_before import KnownBefore, OtherHand
from builder.review.oddities import Oddity
from builder.review.report import Review
from builder.review.report_lines import MOST, key_changes_of, listed, median, rest
from builder.words.catalogue import count
from builder.words.labels import bridge_label, cell_label, protocol_label
from builder.words.numbers import figure, fit

PLANNED = "planned, without a result yet; no figure counts it"


def new_tests(review: Review, some: Sequence[Change]) -> Iterator[str]:
    """Give each new test beside what was known of its configuration before; planned ones by themselves."""
    yield from (
        listed([f"- {code(c.id)}: {PLANNED}" for c in some if c.planned], str) if any(c.planned for c in some) else ()
    )
    some = [change for change in some if not change.planned]
    if not some:
        return
    known = {one.test: one for one in review.known_before}
    yield from ("| Test | Configuration | Fit factor | Protocol | Face | Known before |", "|---|---|---|---|---|---|")
    for change in some[:MOST]:
        yield f"| {code(change.id)} | {' | '.join(_new_test(change.reading, known.get(change.id)))} |"
    yield from ("", *rest(len(some)))


def _new_test(reading: NewReading | None, known: KnownBefore | None) -> tuple[str, str, str, str, str]:
    face = f"{cell_label(known.cell)}, {bridge_label(known.nose_bridge)}" if known and known.cell else "–"
    if reading is None:
        return "–", "–", "–", face, "–"
    aside = f"; set aside: {plain(reading.set_aside)}" if reading.set_aside else ""
    figure_ = f"**{fit(reading.fit_factor, reading.at_least)}**{aside}"
    return code(reading.configuration), figure_, protocol_label(reading.protocol), face, _known(known)


def _known(known: KnownBefore | None) -> str:
    if known is None or known.everybody is None:
        return "no test of it"
    own = f"this wearer {median(known.own)}; " if known.own else "not on this wearer; "
    return f"{own}all {median(known.everybody)}"


def second_look(review: Review) -> Iterator[str]:
    """Say what looks odd: what was published and is changed, then readings, the farthest first, then whose they are."""
    if not (review.oddities or review.changed_results or review.other_hands):
        return
    yield from ("### Worth a second look", "")
    told = [
        *map(_changed_result, review.changed_results),
        *map(_oddity, review.oddities),
        *map(_hand, review.other_hands),
    ]
    yield from listed(told, str)


def _changed_result(change: Change) -> str:
    keys = key_changes_of(change.keys)
    return f"- {code(change.id)} is published and says something else now: {keys}; is it a correction, and why?"


def _hand(hand: OtherHand) -> str:
    before = ", ".join(map(code, hand.before))
    return (
        f"- {code(hand.wearer)} was tested by {before} so far, and now by {code(hand.contributor)} "
        f"({count('test', len(hand.tests))}, {code(hand.tests[0])}); is it the same person?"
    )


def _oddity(odd: Oddity) -> str:
    how = f"about {figure(float(f'{odd.times:.2g}'))} times {'lower' if odd.lower else 'higher'}"
    if odd.beside == "own donnings":
        than = f"this wearer's {count('other_donning', odd.others)} with it ({figure(odd.expected)})"
    else:
        than = f"all other tests lead to expect on this face ({figure(odd.expected)})"
    ask = "was the hose loose?" if odd.lower else "was the room air steady, and the hose open?"
    return f"- {code(odd.test)}: fit factor {figure(odd.fit_factor)}, {how} than {than}; {ask}"
