"""The text of `removed.toml`, block by block: what is not touched keeps its bytes, remarks and all."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from builder.records.kept_addresses import Removal, Removed, Renaming, Withdrawal
from builder.records.key_changes import plain_values
from builder.records.text_edits import UneditableError, with_values
from builder.records.toml_text import to_toml

ListedLine = Removal | Renaming | Withdrawal
_KINDS: dict[type[ListedLine], str] = {Removal: "removed", Renaming: "renamed", Withdrawal: "withdrawn"}
# A table, with the remarks that stand directly above it and a blank line before these.
_HEADER = re.compile(r"^(?:[ \t]*\r?\n)?(?:[ \t]*#(?!:schema)[^\n]*\n)*[ \t]*\[\[", re.MULTILINE)


@dataclass(frozen=True)
class _Block:
    line: ListedLine
    text: str


@dataclass(frozen=True)
class AddressList:
    """The list while it is changed; `before` is its text as it was, None where there was none."""

    before: str | None
    start: str
    blocks: tuple[_Block, ...]

    @classmethod
    def of(cls, text: str | None) -> AddressList:
        """Take a text apart that the checker has found in order."""
        empty = to_toml(Removed())
        if text is None:
            return cls(None, empty, ())
        places = [found.start() for found in _HEADER.finditer(text)]
        ends = [*places[1:], len(text)]
        pieces = [text[start:end] for start, end in zip(places, ends, strict=False)]
        start = text[: places[0]] if places else text
        try:
            if tomllib.loads(start):
                raise ValueError
            return cls(text, start, tuple(_Block(_only_line(piece), piece) for piece in pieces))
        except ValueError:  # written as one list in another form
            record = Removed.model_validate(tomllib.loads(text))
            return replace(cls.of(to_toml(record)), before=text)

    @property
    def lines(self) -> tuple[ListedLine, ...]:
        """What it lists."""
        return tuple(block.line for block in self.blocks)

    @property
    def text(self) -> str | None:
        """The text as it is now; None where nothing is listed any more."""
        text = self.start + "".join(block.text for block in self.blocks)
        return text if self.blocks or self.before == text else None

    @property
    def changed(self) -> bool:
        """Whether anything differs from what it was."""
        return self.text != self.before

    def with_lines(self, change: Callable[[ListedLine], ListedLine | None]) -> AddressList:
        """Change each line, or drop it where the change gives None."""
        kept = []
        for block in self.blocks:
            line = change(block.line)
            if line is not None:
                kept.append(block if line == block.line else _Block(line, _changed(block, line)))
        return replace(self, blocks=tuple(kept))

    def and_lines(self, lines: Iterable[ListedLine]) -> AddressList:
        """Add lines at the end."""
        return replace(self, blocks=(*self.blocks, *(_Block(line, _written(line)) for line in lines)))


def _only_line(piece: str) -> ListedLine:
    """Read the one line of a block. Raises ValueError where it is none."""
    record = Removed.model_validate(tomllib.loads(piece))
    lines: list[ListedLine] = [*record.removed, *record.renamed, *record.withdrawn]
    [line] = lines
    return line


def _as_list(line: ListedLine) -> Removed:
    return Removed.model_validate({_KINDS[type(line)]: (line,)})


def _written(line: ListedLine) -> str:
    return to_toml(_as_list(line)).partition("\n")[2]


def _changed(block: _Block, line: ListedLine) -> str:
    old, new = plain_values(_as_list(block.line)), plain_values(_as_list(line))
    try:
        if old.keys() != new.keys():
            raise UneditableError
        return with_values(block.text, {key: value for key, value in new.items() if value != old[key]})
    except UneditableError:
        return _written(line)
