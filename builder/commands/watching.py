"""`sealbook bench --watch`: every log that is saved in a folder becomes the next take."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import click

from builder.commands.bench_take import Bench, Log, Taken, make_take
from builder.commands.counted_log import read_run
from builder.records.csv_tables import TableProblems
from builder.records.kept_bench import KeptBench, bench, write_with
from builder.records.problems import printable
from builder.records.watched_folder import (
    WatchedFolder,
    could_be_log,
    fingerprint,
    grown_from,
    read_log_bytes,
)

THERE, LEFT, TAKE = "there", "left", "take "
POLL_SECONDS = 0.5


@dataclass
class Watch:
    """The logs of a folder and the evening that they become takes of; `say_evening` tells of each take."""

    asked: Bench
    folder: WatchedFolder
    schedule: str | None
    column: str
    say_evening: Callable[[Taken], None]
    _said: set[str] = field(default_factory=set)

    @property
    def _key(self) -> str:
        return self.folder.path.resolve().as_posix()

    def begin(self) -> None:
        """Leave what is there already alone, unless the folder was watched before: then go on where that stopped."""
        with bench(self.asked.entries) as kept:
            if self._key in kept.logs:
                self._said.update(_named(mark, what.partition("\n")[2]) for mark, what in kept.logs[self._key].items())
                return
            seen = {}
            for path in sorted(filter(could_be_log, self.folder.path.iterdir())):
                try:
                    seen[fingerprint(read_log_bytes(path))] = f"{THERE}\n{path.name}"
                except OSError:
                    continue
            write_with(self.asked.entries, replace(kept, logs={**kept.logs, self._key: seen}))
            self._said.update(_named(mark, what.partition("\n")[2]) for mark, what in seen.items())

    def look(self, now: float) -> int:
        """Take what is ready. Gives the number of takes."""
        try:
            ready = self.folder.ready(now)
        except OSError as error:
            self._say_once(f"folder {error.errno}", f"{self.folder.path} cannot be read now: {error.strerror}.")
            return 0
        return sum(self._take(path) for path in ready)

    def _take(self, path: Path) -> bool:
        name = printable(path.name)
        try:
            content = read_log_bytes(path)
        except OSError as error:
            self.folder.again(path)
            self._say_once(f"{name} {error.errno}", f"{name} cannot be read now: {error.strerror or error}.")
            return False
        mark = fingerprint(content)
        seen = KeptBench.of(self.asked.entries).logs.get(self._key, {})
        if mark in seen:
            self._say_once(_named(mark, path.name), _known(name, seen[mark]))
            return False
        earlier = grown_from(content, [known for known, what in seen.items() if not what.startswith(LEFT)])
        if earlier:
            what, _, before = seen[earlier].partition("\n")
            of = f"it was {what} before" if what.startswith(TAKE) else "it was there before the watch began"
            self._leave(mark, path, f"{name} has grown from {printable(before)}: {of}, and is left as it was.")
            return False
        return self._take_new(path, name, mark)

    def _take_new(self, path: Path, name: str, mark: str) -> bool:
        """Take a log that was not seen before, or say why not."""
        try:
            found = read_run(path, self.asked.said("instrument") or None, self.schedule, column=self.column)
            unchanged = fingerprint(read_log_bytes(path)) == mark
        except OSError:
            unchanged = False
        if not unchanged:  # written again meanwhile, or gone
            self.folder.again(path)
            return False
        if isinstance(found, TableProblems):
            self._leave(mark, path, f"{name} is no log that can be read, and is left:\n{found.as_text(Path(name))}")
            return False
        try:
            taken = make_take(self.asked, found.measured, found, Log(self._key, mark, path.name))
        except click.ClickException as error:
            if isinstance(error.__cause__, OSError):  # a full disk, a folder away for a while: the log waits
                self.folder.again(path)
                self._say_once(f"{mark} {error.message}", f"{name} waits. {error.format_message()}")
                return False
            self._leave(mark, path, f"{name} became no take, and is left: {error.format_message()}")
            return False
        self._said.add(_named(mark, path.name))
        click.echo(f"{name}:", err=True)
        self.say_evening(taken)
        return True

    def _leave(self, mark: str, path: Path, why: str) -> None:
        """Say why a log becomes no take, and remember that this was said."""
        try:
            with bench(self.asked.entries) as kept:
                write_with(self.asked.entries, kept.with_log(self._key, mark, f"{LEFT}\n{path.name}"))
        except OSError:
            self.folder.again(path)
        self._say_once(_named(mark, path.name), why)

    def _say_once(self, about: str, text: str) -> None:
        if about not in self._said:
            self._said.add(about)
            click.echo(text, err=True)


def watch(looking: Watch) -> None:
    """Look into the folder until somebody presses Ctrl-C."""
    looking.begin()
    click.echo(f"Watching {looking.folder.path}: each log saved there becomes the next take. Ctrl-C ends it.", err=True)
    try:
        while True:
            looking.look(time.monotonic())
            time.sleep(POLL_SECONDS)
    except KeyboardInterrupt:
        click.echo("Stopped. The next start goes on from here.", err=True)


def _named(mark: str, name: str) -> str:
    """What is said of a log is said of it under one name."""
    return f"{mark} {name}"


def _known(name: str, seen: str) -> str:
    what, _, before = seen.partition("\n")
    if what == THERE:
        return f"{name} holds the same as {printable(before)}, which was there before; it is left."
    if what == LEFT:
        return f"{name} holds the same as {printable(before)}, which was left; it is left too."
    return f"{name} holds the same as {printable(before)}, which is {what}; it is left."
