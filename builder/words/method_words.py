"""How tests were measured, in words: the name of a method, and what is said where figures mix several."""

from __future__ import annotations

from builder.findings.methods_used import MethodsUsed, MethodUsed
from builder.fit.compare.methods import Method
from builder.records.vocabulary import Instrument, Protocol, SizeSelection, Word
from builder.words.catalogue import count, say
from builder.words.vocabulary_words import label


def method_name(method: Method) -> str:
    """Name a method: its protocol, kind of instrument and size selection."""
    return say(
        "method.name",
        protocol=_word(Protocol, method.protocol),
        instrument=_word(Instrument, method.instrument),
        sizes=_word(SizeSelection, method.size_selection),
    )


def method_choice(used: MethodUsed) -> str:
    """Name a method where one is chosen, with what was measured by it."""
    return say("method.choice", method=method_name(used.method), **_rests_on(used))


def any_choice(methods: MethodsUsed) -> str:
    """Name all methods together where one is chosen."""
    return say("method.any", tests=count("test", methods.tests), wearers=count("wearer", methods.wearers))


def narrowed_sentence(used: MethodUsed) -> str:
    """Say that figures are of one method alone."""
    return say("method.only", method=method_name(used.method), **_rests_on(used))


def methods_sentence(methods: MethodsUsed) -> str:
    """Say that figures mix methods, and on how many wearers, or which one they are all of; "" without tests."""
    if methods.mixed:
        return say("method.mixed", methods=len(methods.each), wearers=count("wearer", methods.wearers))
    return "".join(say("method.one", method=method_name(used.method)) for used in methods.each)


def mixed_note(methods: MethodsUsed) -> str:
    """Say beside a chart or a table that it mixes methods; "" where it does not."""
    return say("method.mixed_here", methods=len(methods.each)) if methods.mixed else ""


def whole_note(methods: MethodsUsed) -> str:
    """Say of what is never narrowed that it is of all methods; "" where there is but one."""
    return say("method.of_all") if methods.mixed else ""


def compared_note(methods: MethodsUsed) -> str:
    """Say beside comparisons how they deal with methods; "" where there is but one."""
    return say("method.compared", methods=len(methods.each)) if methods.mixed else ""


def _rests_on(used: MethodUsed) -> dict[str, str]:
    return {"tests": count("test", used.tests), "wearers": count("wearer", used.wearers)}


def _word(words: type[Word], value: str) -> str:
    return label(words(value)) if value else say("label.not_told")
