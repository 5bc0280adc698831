"""What the checker and the form on the contribute page both say: each sentence once, the form's copy made at build.

`{value}` is quoted as in TOML. Remedies stand apart from problems, since a form has other means than a file.
"""

from __future__ import annotations

from collections.abc import Mapping

from builder.fit.counts.doubts import BELOW_ONE

SHARED: Mapping[str, str] = {
    "number": "a number",
    "integer": "a whole number",
    "wrong_type": "Expected {expected}, found text: {value}.",
    "below": "{value} is below {limit}.",
    "below_remedy": "Write {limit} or more.",
    "not_above": "{value} is not above {limit}.",
    "not_above_remedy": "Write a number above {limit}.",
    "above": "{value} is above {limit}.",
    "above_remedy": "Write {limit} or less.",
    "too_short": "{value} is shorter than {limit}.",
    "too_long": "{value} is longer than {limit}.",
    "characters": "{n} characters",
    "most_remedy": "Write at most {limit}.",
    "no_link": "{value} is no web address.",
    "no_link_remedy": "Write an address that begins with https://.",
    "hidden": "{value} holds a control character or a mark that turns the reading direction around.",
    "hidden_remedy": "Type the text anew without it.",
    "no_id": "{value} is no id: small letters and digits, single hyphens between.",
    "no_id_remedy": 'Write an id such as "blue-heron".',
    "in_future": "{day} lies in the future: by the clock here it is {today}.",
    "too_early": "{day} is before {earliest}.",
    "like_name": "{pseudonym} looks like a name.",
    "pseudonym_remedy": "Write a pseudonym that means nothing, such as blue-heron.",
    "other_face": "{wearer} has {here} here, but {there} in {place}.",
    "other_face_remedy": "Correct the one that is wrong; another face needs another pseudonym.",
    "face_size": "{length} × {width} mm",
    "face_cell": "cell {cell}",
    "face_bridge": "a {bridge} nose bridge",
    "no_number": "The result holds no number.",
    "at_least_nothing": "{exercise} is at least nothing: it has no fit factor.",
    "other_exercises": "The exercises are not those of {protocol}; {faults}.",
    "missing": "missing: {exercises}",
    "surplus": "too many: {exercises}",
    "below_one": BELOW_ONE,
}
"""By name; what stands in braces is filled in."""


def shared(message: str, /, **values: object) -> str:
    """Say one of them. KeyError for an unknown one, or for a value that it names and is not given."""
    return SHARED[message].format(**values)
