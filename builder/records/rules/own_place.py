"""A test lies where it says: folder and file name repeat its mask, date and wearer.

`tests/<mask>/<date>-<wearer>-<n>.toml` lets people find a test by looking, and makes two results of one name
impossible. Where name and content disagree one of them was copied from another test, and nobody but the
contributor knows which. `sealbook check --fix` trusts the content and moves the file, if the place is free.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.entries import TestRecord
from builder.records.file_names import name_parts
from builder.records.problems import Finding
from builder.records.rules.base import Context, RecordRule


def check(record: TestRecord, context: Context) -> Iterator[Finding]:
    """Compare mask, date and wearer with folder and file name."""
    test = record.test
    folder, _, stem = record.id.partition("/")
    if test.mask != folder:
        yield Finding(
            ("mask",),
            f'mask is "{test.mask}", but the file lies in the folder of {folder}.',
            f'Write mask = "{folder}", or move the file to tests/{test.mask}/.',
        )
    if not (name := name_parts(stem)):
        return
    if test.date != name.date:
        yield Finding(
            ("date",),
            f"date is {test.date}, but the file is named {name.date}.",
            f"Write date = {name.date}, or rename the file to {test.date}-{name.wearer}-{name.number}.toml.",
        )
    if test.face.wearer != name.wearer:
        yield Finding(
            ("face", "wearer"),
            f'wearer is "{test.face.wearer}", but the file is named for {name.wearer}.',
            f'Write wearer = "{name.wearer}", or rename the file to {test.date}-{test.face.wearer}-{name.number}.toml.',
        )


RULE = RecordRule("own-place", "Folder and file name agree with the content", __doc__, test=check)
