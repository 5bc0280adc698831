"""What a reader tells on the command line of masks on their own face: texts such as `brodipim=64`."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from builder.commands.known_names import meant_or_known
from builder.fit.levels import LEAST_TOLD, MOST_TOLD
from builder.records.nearest_words import nearest, plain
from builder.records.problems import quoted
from builder.records.vocabulary import Instrument, MaskClass, Protocol, SizeSelection, Style

if TYPE_CHECKING:
    from builder.findings.dataset import Dataset
    from builder.fit.compare.methods import Method
    from builder.fit.facemodel.own_results import OwnResult

OTHER_MASK = "other"
"""Stands for a mask that the entries do not have; its style follows, and its class where it is known."""


class OwnResultsError(ValueError):
    """Texts that cannot be understood; carries every reason."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__(" ".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True)
class ToldResult:
    """A text and what was understood of it."""

    text: str
    configuration: str
    """"" for a mask that the entries do not have."""
    style: str
    mask_class: str
    result: OwnResult

    def printed(self) -> dict[str, Any]:
        """Lay it out for JSON; what does not apply is null."""
        from builder.fit.facemodel.own_results import FIT_TEST_KINDS

        judged = self.result.outcome in ("passed", "failed")
        kind = FIT_TEST_KINDS[self.result.kind] if judged else None
        return {
            "told": self.text,
            "configuration": self.configuration or None,
            "style": self.style,
            "mask_class": self.mask_class or None,
            "outcome": self.result.outcome,
            "fit_factor": None if math.isnan(self.result.fit_factor) else self.result.fit_factor,
            "kind": self.result.kind if judged else None,
            "wrong_passes": kind and kind.wrong_passes,
            "wrong_fails": kind and kind.wrong_fails,
            "method": vars(self.result.method) if self.result.method else None,
        }


def read_own_results(data: Dataset, texts: Sequence[str]) -> tuple[ToldResult, ...]:
    """Read `configuration=outcome` texts. Raises OwnResultsError with every problem of all of them.

    A configuration is a mask with its parts in any order, or `other:STYLE:CLASS`. The outcome is a fit factor, with
    `+` behind it where it is at least that, or passed, failed or leaks. Behind a colon follows the kind of fit test
    that was passed or failed, or how the fit factor was measured.
    """
    problems: list[str] = []
    understood: list[ToldResult] = []
    told: dict[str, str] = {}
    for text in texts:
        name, equals, outcome_text = text.rpartition("=")
        if not equals or not name:
            problems.append(f"{quoted(text)} is not of the form CONFIGURATION=64, =passed, =failed or =leaks.")
            continue
        mask = _unlisted(name) if name.partition(":")[0] == OTHER_MASK else _listed(data, name)
        outcome = _outcome(text, outcome_text)
        problems += [problem for problem in (mask, outcome) if isinstance(problem, str)]
        if isinstance(mask, str):
            continue
        if mask.configuration in told:
            both = f"{quoted(told[mask.configuration])} and {quoted(text)}"
            problems.append(f"{both} are about the same configuration: tell one; of several donnings the middle one.")
        elif mask.configuration:
            told[mask.configuration] = text
        if not isinstance(outcome, str):
            understood.append(_understood(data, text, mask, outcome))
    if problems:
        raise OwnResultsError(problems)
    return tuple(understood)


class _NamedMask(NamedTuple):
    """What a text is about; `configuration` is "" for a mask that the entries do not have."""

    configuration: str
    style: str
    mask_class: str


def _understood(data: Dataset, text: str, mask: _NamedMask, outcome: _Outcome) -> ToldResult:
    from builder.fit.facemodel.own_results import OwnResult

    # A configuration that nobody has tested is known by its style alone.
    tested = mask.configuration if mask.configuration in _tested(data) else ""
    result = OwnResult(tested, *outcome, style="" if tested else mask.style)
    return ToldResult(text, *mask, result)


def _tested(data: Dataset) -> Collection[str]:
    return set(data.counted["configuration"])


def _listed(data: Dataset, name: str) -> _NamedMask | str:
    """What is named, its parts in any order; or that there is no such configuration."""
    from builder.findings.named_configuration import configuration_named

    known = sorted({*data.entries.masks, *data.table["configuration"]})
    configuration = configuration_named(data, name)
    if configuration in known:
        record = data.entries.masks[configuration.partition("+")[0]].mask
        return _NamedMask(configuration, str(record.style), str(record.mask_class))
    near = nearest(name, known, most=3)
    hint = f"Did you mean {' or '.join(near)}? " if near else ""
    return (
        f"There is no configuration {quoted(name)} in these entries. {hint}"
        f"A mask that is not in them is told by its style: {OTHER_MASK}:cup or {OTHER_MASK}:cup:ffp2."
    )


def _unlisted(name: str) -> _NamedMask | str:
    """A mask that the entries do not have; or what is wrong with its style or class."""
    _, *words = [plain(word) for word in name.split(":")]
    if not words or len(words) > 2:
        return f"{quoted(name)} is not of the form {OTHER_MASK}:STYLE or {OTHER_MASK}:STYLE:CLASS."
    style, mask_class = words[0], words[1] if len(words) == 2 else ""
    wrong = []
    if style not in set(Style):
        wrong.append(f"{quoted(style)} is no style. {meant_or_known(style, list(Style))}")
    if mask_class and mask_class not in set(MaskClass):
        wrong.append(f"{quoted(mask_class)} is no class. {meant_or_known(mask_class, list(MaskClass))}")
    return " ".join(wrong) if wrong else _NamedMask("", style, mask_class)


_Outcome = tuple[Literal["fit-factor", "at-least", "passed", "failed", "leaks"], float, str, "Method | None"]


def _outcome(text: str, told: str) -> _Outcome | str:
    """What came out and how that was found; or what is wrong with it."""
    from builder.fit.facemodel.own_results import WORDS

    value, *words = [word.strip() for word in told.split(":")]
    word = next((word for word in WORDS if plain(value) == word), None)
    if word is None:
        return _fit_factor(value, words)
    if word == "leaks":
        return f"{quoted(text)}: nothing follows leaks." if words else (word, math.nan, "quantitative", None)
    return _judged(word, words)


def _judged(word: Literal["passed", "failed"], words: Sequence[str]) -> _Outcome | str:
    from builder.fit.facemodel.own_results import FIT_TEST_KINDS

    kind = plain(":".join(words)) or "quantitative"
    if kind in FIT_TEST_KINDS:
        return word, math.nan, kind, None
    return f"{quoted(kind)} is no kind of fit test. {meant_or_known(kind, list(FIT_TEST_KINDS))}"


def _fit_factor(value: str, words: Sequence[str]) -> _Outcome | str:
    from builder.fit.facemodel.own_results import WORDS

    number = value.removesuffix("+")
    if re.fullmatch(r"\d{1,3},\d{3}", number):
        whole, point = number.replace(",", ""), number.replace(",", ".")
        return f"{quoted(number)} may be {whole} or {point}: write it so."
    try:
        fit_factor = float(number.replace(",", "."))
    except ValueError:
        return (
            f"{quoted(value)} is no outcome: write a fit factor such as 64, 200+ for at least 200, {', '.join(WORDS)}."
        )
    if not LEAST_TOLD <= fit_factor <= MOST_TOLD:
        return f"{quoted(number)} is no fit factor: it lies between {LEAST_TOLD:g} and {MOST_TOLD:,.0f}."
    method = _method(words)
    if isinstance(method, str):
        return method
    return "at-least" if value.endswith("+") else "fit-factor", fit_factor, "quantitative", method


def _method(words: Sequence[str]) -> Method | str | None:
    """How a fit factor was measured, what is not named as in the method of reference; or what is wrong."""
    from dataclasses import replace

    from builder.fit.facemodel.reference import REFERENCE

    method = REFERENCE
    lists = {"protocol": Protocol, "instrument": Instrument, "size_selection": SizeSelection}
    for word in map(plain, words):
        columns = [name for name, words_of in lists.items() if word in set(words_of)]
        if not columns:
            every = [str(one) for words_of in lists.values() for one in words_of]
            return f"{quoted(word)} is no way of measuring. {meant_or_known(word, every)}"
        method = replace(method, **{columns[0]: word})
    return None if method == REFERENCE else method
