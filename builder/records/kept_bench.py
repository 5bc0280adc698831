"""What an entries folder remembers of the bench: the last answers, the takes of the evening, the logs it has seen.

It stands in a hidden folder beside the entries, which git ignores and the checker passes over, and is replaced whole,
together with the entries that it tells of: `writing_files` sees to it that both are there or neither.
"""

from __future__ import annotations

import json
import os
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from builder.records.disk import locked
from builder.records.writing_files import write_files

FOLDER = ".sealbook-bench"
FILE = f"{FOLDER}/bench.json"
IGNORED = f"{FOLDER}/.gitignore"
"""Keeps the folder out of git, wherever the entries are."""

MOST_TAKES = 100
"""Takes that can be taken back."""


class KeptBenchError(ValueError):
    """What is remembered cannot be read."""


@dataclass(frozen=True)
class KeptTake:
    """A take that `sealbook bench` wrote: its path, and path and text of the planned entry that it filled, if any."""

    path: str
    planned_path: str = ""
    planned_text: str = ""


@dataclass(frozen=True)
class KeptBench:
    """All that is remembered.

    `answers` by the name of the field; `worn` is what was said to be worn next, None for nothing said; `logs` says for
    each watched folder what became of each log in it, by its fingerprint.
    """

    answers: Mapping[str, str] = field(default_factory=dict)
    worn: tuple[str, ...] | None = None
    takes: tuple[KeptTake, ...] = ()
    logs: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    @classmethod
    def of(cls, root: Path) -> KeptBench:
        """Read what a folder remembers, nothing where nothing is kept. Raises KeptBenchError."""
        try:
            read = json.loads((root / FILE).read_bytes())
            worn = read["worn"]
            return cls(
                {str(name): str(text) for name, text in read["answers"].items()},
                None if worn is None else tuple(map(str, worn)),
                tuple(KeptTake(**take) for take in read["takes"]),
                {str(folder): dict(seen) for folder, seen in read["logs"].items()},
            )
        except FileNotFoundError:
            return cls()
        except OSError as error:
            raise KeptBenchError(f"{root / FILE} cannot be read: {error.strerror}.") from error
        except (ValueError, TypeError, KeyError, AttributeError):
            raise KeptBenchError(
                f"{root / FILE} cannot be understood. Delete it: the entries stay, what it remembers is asked again."
            ) from None

    def without_person(self, kind: str, name: str, gone: Collection[str]) -> KeptBench:
        """The same without a wearer or contributor: the answer that names them, and takes among these paths."""
        answers = {asked: text for asked, text in self.answers.items() if (asked, text) != (kind, name)}
        return replace(self, answers=answers, takes=tuple(take for take in self.takes if take.path not in gone))

    def as_text(self) -> str:
        """Write it down."""
        return json.dumps(asdict(self), indent=1, ensure_ascii=False, sort_keys=True) + "\n"

    def with_log(self, folder: str, fingerprint: str, what: str) -> KeptBench:
        """The same after a log of a watched folder was seen."""
        return replace(self, logs={**self.logs, folder: {**self.logs.get(folder, {}), fingerprint: what}})

    def with_take(self, take: KeptTake) -> KeptBench:
        """The same after a take."""
        return replace(self, takes=(*self.takes, take)[-MOST_TAKES:])


@contextmanager
def bench(root: Path) -> Iterator[KeptBench]:
    """Give what is remembered, and keep other benches out until it is replaced. Raises KeptBenchError and OSError."""
    folder = root / FOLDER
    folder.mkdir(exist_ok=True)
    if not (root / IGNORED).exists():
        (root / IGNORED).write_text("*\n", "utf-8")
    with locked(folder):
        yield KeptBench.of(root)


def write_with(
    root: Path, kept: KeptBench, files: Mapping[str, str | bytes] = {}, instead_of: Mapping[str, str] | None = None
) -> None:
    """Write entries and what is remembered, all or nothing; arguments and errors as for `write_files`."""
    old = {FILE: FILE} if os.path.lexists(root / FILE) else {}
    write_files(root, {**files, FILE: kept.as_text()}, {**(instead_of or {}), **old})
