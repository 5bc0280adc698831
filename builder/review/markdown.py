"""The report in Markdown, for the page of a pull request. It links nowhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from builder.records.problems import Problem
from builder.review.changes import Change
from builder.review.escaping import code, plain
from builder.review.moves import ListMove, Verdict
from builder.review.report import Compared, Review
from builder.review.report_lines import MOST, key_changes_of, listed, median, rest
from builder.review.told_tests import new_tests, second_look
from builder.words.catalogue import count
from builder.words.labels import bridge_label, cell_label
from builder.words.numbers import times

ORDER = ("mask", "part", "test", "removed")
Item = TypeVar("Item")


def as_markdown(review: Review) -> str:
    """Write the report: problems first, then what to look at twice; sections with nothing to say are left out."""
    sections = (_problems, second_look, _entries, _pictures, _reasons, _moves, _faces)
    lines = ["## What this changes", "", _compared(review.compared), ""]
    told = [line for section in sections for line in section(review)]
    return "\n".join(lines + (told or ["Nothing changes in the entries."])).rstrip() + "\n"


def _compared(compared: Compared) -> str:
    base = f"{code(compared.base.name)} ({code(compared.base.short)})"
    if compared.parted:
        base = f"{code(compared.parted.short)}, where it parted from {base}"
    if compared.head:
        return f"{code(compared.head.name)} ({code(compared.head.short)}) beside {base}."
    dirty = f", with {count('file', compared.uncommitted)} not committed yet" if compared.uncommitted else ""
    return f"The work tree{dirty}, beside {base}."


def _problems(review: Review) -> Iterator[str]:
    problems = [problem for problem in (*review.problems, *review.other_errors) if problem.severity != "note"]
    if not problems:
        return
    errors = sum(problem.severity == "error" for problem in problems)
    warnings = len(problems) - errors
    counts = [count("error", errors)] if errors else []
    if warnings:
        counts.append(count("warning", warnings))
    yield from (f"### Problems: {' and '.join(counts)}", "")
    if errors:
        yield from (
            "The site cannot be published with them. Figures below leave out new and changed tests with errors, "
            "and take masks and parts with errors as they were.",
            "",
        )
    yield from listed(sorted(problems, key=lambda p: (p.severity != "error", p)), _problem)


def _problem(problem: Problem) -> str:
    key = f" {code(problem.key)}" if problem.key else ""
    place = f"{code(problem.path)} line {problem.line}"
    return (
        f"- **{problem.severity}** {place}, {code(problem.rule)}{key}: {plain(problem.problem)} {plain(problem.remedy)}"
    )


def _entries(review: Review) -> Iterator[str]:
    if not review.changes:
        return
    yield from ("### Entries", "")
    for what in ("new", "changed", "removed"):
        for kind in ORDER:
            if (what, kind) == ("new", "removed"):
                continue  # its lines are listed below
            some = [change for change in review.changes if (change.what, change.kind) == (what, kind)]
            if some:
                yield from (f"**{what.capitalize()}: {count(f'entry.{kind}', len(some))}**", "")
                yield from new_tests(review, some) if (what, kind) == ("new", "test") else listed(some, _change)
    if review.newly_listed:
        yield from ("**Taken out, for a reason**", "")
        yield from listed(review.newly_listed, lambda r: f"- {code(r.test or r.mask or '')}: {plain(r.reason)}")


def _pictures(review: Review) -> Iterator[str]:
    if not review.pictures:
        return
    yield from ("### Pictures", "")
    yield from (
        "Look at each before it is published: whether it shows what its words say, and nobody who does not want it.",
        "",
    )
    yield from listed(
        review.pictures, lambda picture: f"- {code(picture.path)} {picture.what}{_kilobytes(picture.bytes)}"
    )


def _kilobytes(size: int) -> str:
    return f", {size / 1000:.0f} kB" if size else ""


def _change(change: Change) -> str:
    keys = key_changes_of(change.keys)
    return f"- {code(change.id)}{': ' if keys else ''}{keys}"


def _reasons(review: Review) -> Iterator[str]:
    if not review.without_reason:
        return
    yield from ("### Removed without a line in removed.toml", "")
    yield from (
        "Published addresses stay. Please add why, so that old links end at the reason; or keep the file and "
        "write `result.set_aside`, so that it stays in sight and does not count.",
        "",
        "```toml",
    )
    blocks = []
    for change in review.without_reason[:MOST]:
        # In a block of code nothing is markup, and an id of a removed file that could end the block is none.
        name = change.id if code(change.id).startswith("`") else "…"
        blocks.append(f'[[removed]]\n{change.kind} = "{name}"\ndate = …\nreason = "…"')
    yield from ("\n\n".join(blocks), "```", *rest(len(review.without_reason)), "")


def _moves(review: Review) -> Iterator[str]:
    moves = review.moves
    if not (moves.medians or moves.verdicts or moves.lists):
        return
    yield from ("### Published figures that move", "")
    if moves.medians:
        yield from _table(
            "Median fit factor of",
            moves.medians,
            lambda move: (code(move.configuration), median(move.before), median(move.after)),
        )
    if moves.verdicts:
        yield from _table(
            "Beside the mask as sold",
            moves.verdicts,
            lambda move: (code(move.configuration), _verdict(move.before), _verdict(move.after)),
        )
    if moves.lists:
        yield from _table("What to try first on", moves.lists, _first)
        yield from (
            "Both lists are by the face model, fitted to the entries before and to those after. "
            "That it predicts well enough to be used was checked on those after alone.",
            "",
        )
    if moves.no_model:
        yield from (f"No lists of what to try first are compared. {plain(moves.no_model)}", "")


def _verdict(verdict: Verdict | None) -> str:
    if verdict is None:
        return "–"
    on = count("wearer", verdict.wearers) if verdict.wearers else "different faces"
    return f"**{verdict.words}**, {times(verdict.ratio)} ({on})"


def _first(move: ListMove) -> tuple[str, str, str]:
    face = f"a face in {cell_label(move.cell)}" if move.cell else "any face of the panel"
    before, after = (", ".join(code(configuration) for configuration in side) for side in (move.before, move.after))
    return face, before, after


def _faces(review: Review) -> Iterator[str]:
    faces = review.faces
    if not faces.new and not faces.newly_covered:
        return
    yield from ("### Faces", "")
    yield from listed(
        faces.new,
        lambda face: (
            f"- New: {code(face.wearer)}, {cell_label(face.cell)}, {bridge_label(face.nose_bridge)}, "
            f"{count('test', face.tests)}"
        ),
    )
    if faces.newly_covered:
        yield from (f"First wearer in {', '.join(cell_label(cell) for cell in faces.newly_covered)}.", "")


def _table(first: str, rows: Sequence[Item], cells: Callable[[Item], tuple[str, str, str]]) -> Iterator[str]:
    yield from (f"| {first} | before | after |", "|---|---|---|")
    yield from (f"| {' | '.join(cells(row))} |" for row in rows[:MOST])
    yield from ("", *rest(len(rows)))
