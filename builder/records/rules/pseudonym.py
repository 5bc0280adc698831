"""Wearers and contributors go by pseudonyms: no names, handles or addresses.

Measures of a face beside a name are personal data that cannot be called back once they are published. A
pseudonym is two words that mean nothing, such as `blue-heron`, the same in every file of that person.
Addresses, handles and names written as names are errors; two words of which the first is a common given name
get a warning, for chance alone can do that.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.problems import Finding, Key
from builder.records.rules.base import Context, RecordRule
from builder.records.shared_messages import shared

_ADDRESS = re.compile(r"\S+@\S+\.\w+|\w+://\S+|www\.\S+")
_HANDLE = re.compile(r"\s*@\w\S*|u/\S+")
_NAME = re.compile(r"\s*[^\W\d_a-z][\w'’]+(?:\s+[^\W\d_a-z][\w'’.]*)+\s*")

# A short list, for a hint only; words that are also plants, birds or stones are left out, for they make pseudonyms.
GIVEN_NAME = re.compile(
    r"(?:adam|ahmed|alex|alexander|ali|amelia|amir|amy|ana|andrea|andrew|anna|anne|anthony|ben|"
    "benjamin|carlos|carol|charles|charlotte|chris|christian|christine|christopher|claire|"
    "daniel|david|deborah|diana|edward|elena|elizabeth|emily|emma|eric|fatima|felix|fiona|"
    "francesca|frank|george|hannah|hans|helen|henry|hugo|ian|ines|isabel|jack|james|jan|"
    "jane|jennifer|jessica|john|jonas|joseph|juan|julia|karen|karl|kate|kevin|laura|leo|"
    "linda|lisa|lucas|lucia|luis|lukas|maria|marie|mark|martin|mary|matthew|max|michael|"
    "mia|mohammed|monika|nancy|natalie|nicholas|nina|noah|olga|oliver|omar|patricia|paul|"
    "peter|philip|rachel|richard|robert|ruth|sam|samuel|sandra|sarah|simon|sofia|sophie|"
    "stefan|stephen|susan|thomas|tim|tom|victor|walter|wei|william|yuki|yusuf"
    r")-[a-z]+"
)


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Look for given names in pseudonyms of two words."""
    named: tuple[tuple[Key, str], ...] = (
        (("contributor",), record.test.contributor),
        (("face", "wearer"), record.test.face.wearer),
    )
    for key, pseudonym in named:
        if GIVEN_NAME.fullmatch(pseudonym):
            yield Finding(key, shared("like_name", pseudonym=pseudonym), shared("pseudonym_remedy"), severity="warning")


def personal(key: Key, value: object) -> Finding | None:
    """Report a wearer or contributor that is no id because it is an address, a handle or a name."""
    if key not in (("contributor",), ("face", "wearer")) or not isinstance(value, str):
        return None
    for pattern, kind in ((_ADDRESS, "an address"), (_HANDLE, "a handle"), (_NAME, "a name")):
        if pattern.fullmatch(value):
            # What is personal is not repeated: the message may end in a public log.
            return Finding(key, f"{key[-1]} looks like {kind}.", shared("pseudonym_remedy"))
    return None


RULE = RecordRule("pseudonym", "Pseudonyms, not names", __doc__, test=check)
