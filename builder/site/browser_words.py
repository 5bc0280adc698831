"""The part of the catalogue that the scripts say, as a module for the browser; common/say.js fills it in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from builder.fit.counts import counting
from builder.records.shared_messages import SHARED
from builder.site.published import PublishedFile, compact_json
from builder.site.twins import folder_of
from builder.words.catalogue import Language, page_language

FOLDER = "assets/scripts/words/"
ADDRESS = f"{FOLDER}language.js"
"""The module that scripts import: it takes the language of the page."""

CHECKER = "checker."
"""What the names of messages begin with here that the checker says too."""

SAID = (
    "advice.",
    "bench_page.",
    "chance.",
    "chart.donning",
    "chart.labelled",
    "chart.part_row",
    "chart.row",
    "choice.",
    "comfort.drawn",
    "comfort.mark",
    "compare.",
    "copy.",
    "count.configuration",
    "count.donning",
    "count.file",
    "count.more_donning",
    "count.own_result",
    "count.stretch",
    "count.take",
    "count.test",
    "count.tried_both",
    "count.wearer",
    "effect.ratio",
    "evening.change",
    "evening.change_clear",
    "evening.for_seen",
    "evening.not_worth_it",
    "evening.worth_it",
    "explore.",
    "face.",
    "face_type.not_loaded",
    "face_type.not_sold",
    "face_type.nobody",
    "face_type.none_here",
    "face_type.only",
    "face_type.sold",
    "figure.",
    "form.",
    "harm.medical_short",
    "head.",
    "label.and",
    "label.as_sold",
    "label.configuration",
    "label.face",
    "label.outside",
    "label.wearer_with_hair",
    "label.without",
    "league.",
    "measured.",
    "method.by",
    "method.mixed",
    "method.none_here",
    "method.none_of",
    "method.not_loaded",
    "own.at_least",
    "own.failed",
    "own.failed_by",
    "own.fit_factor",
    "own.kind.",
    "own.leaks",
    "own.measured",
    "own.most_telling",
    "own.moved_down",
    "own.moved_up",
    "own.no_figure",
    "own.other_mask",
    "own.other_mask_of_class",
    "own.passed",
    "own.passed_by",
    "own.remove_mask",
    "own.unmoved",
    "part.",
    "people.",
    "plan.hours",
    "plan.minutes",
    "prediction.outside",
    "ratio.",
    "ratios.",
    "set_up.",
    "sheet.caution_one",
    "sheet.fit",
    "sheet.fit_for_good",
    "sheet.nothing",
    "sheet.specimens",
    "sheet.take_mask",
    "sheet.take_off",
    "sheet.take_out",
    "sheet.take_specimen",
    "small_n.few",
    "small_n.one",
    "search.add",
    "search.ask",
    "search.found",
    "search.mended",
    "search.near",
    "search.not_here",
    "search.plural",
    "source.",
    "summary.",
    "verdict.",
    "wearing.not_noted",
    "wearing.of",
    "verdict_words.",
    "yardstick.all_by",
    "yardstick.apart",
    "yardstick.chain",
    "yardstick.disagree",
    "yardstick.more",
    "yardstick.not_loaded",
    "yardstick.step",
    "yardstick.unknown",
)
"""The messages that the scripts say: whole ids, or what ids begin with."""


def browser_words(languages: Sequence[str]) -> Iterator[PublishedFile]:
    """Give each language as the scripts read it, and the module that takes the one that a page is in.

    A language has how numbers are written, plural forms, each message that scripts say by its id, whether labels are
    written small within a sentence, and where its pages lie below the site's root.
    """
    for code in languages:
        spoken = page_language(code)
        shipped = {
            "code": code,
            "folder": folder_of(code, languages),
            "number": asdict(spoken.number),
            "plural": {form: rule.pattern for form, rule in spoken.plural.items()},
            "lowers_labels": spoken.lowers_labels,
            "messages": browser_messages(spoken),
        }
        yield PublishedFile(f"{FOLDER}{code}.js", f"export const LANGUAGE = Object.freeze({compact_json(shipped)});\n")
    yield PublishedFile(ADDRESS, _choosing(languages))


def _choosing(languages: Sequence[str]) -> str:
    first, *others = languages
    if not others:
        return f'export {{ LANGUAGE }} from "./{first}.js";\n'
    files = ", ".join(f'{code}: () => import("./{code}.js")' for code in languages)
    return (
        f"const files = {{ {files} }};\n"
        f"export const {{ LANGUAGE }} = await (files[document.documentElement.lang] ?? files.{first})();\n"
    )


def browser_messages(spoken: Language) -> dict[str, str | dict[str, str]]:
    """Pick what the scripts say: a text, or the texts by plural form of what is counted; then what the checker says."""
    beginnings = tuple(said for said in SAID if said.endswith("."))
    return (
        checker_messages()
        | dict(spoken.checker)
        | {
            name: dict(found.forms) if name.startswith("count.") else found.text
            for name, found in spoken.messages.items()
            if name in SAID or name.startswith(beginnings)
        }
    )


COUNTING = {
    "no_ambient": counting.NO_AMBIENT,
    "no_mask": counting.NO_MASK,
    "empty_ambient": counting.EMPTY_AMBIENT,
    "empty_concentration": counting.EMPTY_CONCENTRATION,
}
"""Why counts have no result."""


def checker_messages() -> dict[str, str | dict[str, str]]:
    """Give what the form on the contribute page says as the checker does: of files, and of counts without a result."""
    return {CHECKER + name: text for name, text in (*SHARED.items(), *COUNTING.items())}
