"""New entries are checked beside the old ones before any of them is there, and written all or none."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from builder.records.checking import check
from builder.records.file_names import name_parts
from builder.records.problems import Problem
from builder.records.reading import list_files, load
from builder.records.writing import write_new


def check_new(root: Path, texts: Mapping[str, str]) -> list[Problem]:
    """Check new entries, texts by path below the entries folder `root`, as if they were there. Nothing is written.

    The checker works on a folder, so it gets a copy of all that new entries are compared with: masks, parts, and
    the tests of the same wearers.
    """
    names = (name_parts(path.rpartition("/")[2].removesuffix(".toml")) for path in texts)
    wearers = {name.wearer for name in names if name}
    with TemporaryDirectory(prefix="sealbook-") as folder:
        copy = Path(folder)
        for file in list_files(root).files:
            name = name_parts(file.stem)
            needed = file.kind != "test" or (name is not None and name.wearer in wearers)
            if needed and isinstance(content := load(root, file.path), bytes):
                _write(copy / file.path, content)
        for path, text in texts.items():
            _write(copy / path, text.encode())
        problems = check(copy, tuple(texts)).problems
    here, there = copy.as_posix(), root.as_posix()
    return [replace(p, path=p.path.replace(here, there), problem=p.problem.replace(here, there)) for p in problems]


def write_all(root: Path, texts: Mapping[str, str]) -> None:
    """Write new entries below `root`: all of them whole, or none.

    Raises FileExistsError where a place is taken, OSError where nothing can be written.
    """
    folders = [folder for path in texts if not (folder := (root / path).parent).exists()]
    placed: list[Path] = []
    # A folder with a dot is no entry; it lies beside them so that drafts can be moved into place.
    with TemporaryDirectory(prefix=".new-", dir=root) as drafts:
        for number, text in enumerate(texts.values()):
            write_new(Path(drafts, str(number)), text)
        try:
            for number, path in enumerate(texts):
                (root / path).parent.mkdir(parents=True, exist_ok=True)
                (root / path).touch(exist_ok=False)  # takes the place, or fails where it is taken
                placed.append(root / path)
                Path(drafts, str(number)).replace(root / path)
        except BaseException:
            for done in placed:
                done.unlink()
            for folder in folders:
                with suppress(OSError):
                    folder.rmdir()
            raise


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
