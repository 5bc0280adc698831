"""Every picture beside the entries is named by one, and every picture that an entry names is there.

A picture is called as the file of its mask or part, with a number or a word behind it for a further one, and its entry
says in `[[picture]]` what can be seen in it and under which licence. Of a mask changed with parts `shows` names these,
of a part the masks that it is fitted to, so that the picture stands on both pages. A picture that no entry names is
published nowhere.

```toml
[[picture]]                       # masks/drum-cup.toml
file = "drum-cup-strip.jpg"       # masks/drum-cup-strip.jpg exists
alt = "The cup from the front, a blue strip taped along its upper edge."
licence = "cc0"
shows = ["strip-5x08"]            # parts/strip-5x08.toml exists
```
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import Entries, MaskRecord, PartRecord
from builder.records.models import Pictures
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule
from builder.records.rules.known_mask import nearest_id


def check_mask(record: MaskRecord, context: Context) -> Iterator[Finding]:
    """Look up the pictures of a mask and the parts in them."""
    yield from _pictures(record, record.mask.picture, context)
    for number, picture in enumerate(record.mask.picture):
        yield from _subjects(number, picture.shows, "part", context.part_ids)


def check_part(record: PartRecord, context: Context) -> Iterator[Finding]:
    """Look up the pictures of a part and the masks in them."""
    yield from _pictures(record, record.part.picture, context)
    for number, picture in enumerate(record.part.picture):
        yield from _subjects(number, picture.shows, "mask", context.mask_ids)


def check_entries(entries: Entries, context: Context) -> Iterator[Finding]:
    """Look for pictures that no entry names. Beside an entry that cannot be read it may be that one that does."""
    named = {f"masks/{picture.file}" for record in entries.masks.values() for picture in record.mask.picture}
    named |= {f"parts/{picture.file}" for record in entries.parts.values() for picture in record.part.picture}
    unread = {f"masks/{one}" for one in context.mask_ids - entries.masks.keys()}
    unread |= {f"parts/{one}" for one in context.part_ids - entries.parts.keys()}
    for path in sorted(context.pictures - named):
        stem = path.rpartition(".")[0]
        if not any(stem == one or stem.startswith(f"{one}-") for one in unread):
            yield Finding(
                (),
                "No entry names this picture, so no page shows it.",
                "Name it in [[picture]] of the file of its mask or part, or delete it.",
                path=path,
            )


def _pictures(record: MaskRecord | PartRecord, pictures: Pictures, context: Context) -> Iterator[Finding]:
    folder = record.path.rpartition("/")[0]
    seen: set[str] = set()
    for number, picture in enumerate(pictures):
        key = ("picture", number, "file")
        stem = picture.file.rpartition(".")[0]
        if stem != record.id and not stem.startswith(f"{record.id}-"):
            yield Finding(
                key,
                f"{picture.file} is not called as this entry is.",
                f"Call the file {record.id} or {record.id}-2 and the like, with its ending.",
            )
        elif f"{folder}/{picture.file}" not in context.pictures:
            yield Finding(
                key, f"{folder}/{picture.file} is missing.", "Put the picture beside this file, or take this table out."
            )
        elif picture.file in seen:
            yield Finding(key, f"{picture.file} is named twice.", "Take one of the two tables out.")
        seen.add(picture.file)


def _subjects(number: int, shows: tuple[str, ...], kind: str, known: frozenset[str]) -> Iterator[Finding]:
    for place, subject in enumerate(shows):
        if subject not in known:
            near = nearest_id(subject, known)
            yield Finding(
                ("picture", number, "shows", place),
                f"There is no {kind} {subject}: {kind}s/{subject}.toml is missing.",
                f'Did you mean "{near}"?' if near else f"Add {kind}s/{subject}.toml, or take it out here.",
            )


RULE = RecordRule(
    "known-picture",
    "Pictures are named, and there",
    __doc__,
    mask=check_mask,
    part=check_part,
    entries=check_entries,
)
