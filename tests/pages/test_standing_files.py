"""What a save leaves as it is stays; what is not made again goes; a cleaning in between takes nothing."""

from __future__ import annotations

import shutil
from pathlib import Path

from builder.site.standing_files import StandingFiles


def test_only_what_changed_is_written(tmp_path: Path) -> None:
    folder, standing = tmp_path / "site", StandingFiles()
    folder.mkdir()
    written: list[str] = []

    def build(contents: dict[str, bytes]) -> dict[str, bytes]:
        written.clear()
        standing.set_aside(folder)
        shutil.rmtree(folder, ignore_errors=True)  # as MkDocs cleans before each build
        standing.put_back()
        paths = {str(folder / name): content for name, content in contents.items()}
        standing.keep_only(paths)
        folder.mkdir(exist_ok=True)
        for path, content in paths.items():

            def write(path: str = path, content: bytes = content) -> None:
                written.append(Path(path).name)
                Path(path).write_bytes(content)

            standing.write(path, content, write)
        return {path.name: path.read_bytes() for path in folder.iterdir()}

    first = {"a": b"1", "b": b"2", "c": b"3"}
    assert build(first) == first
    assert written == ["a", "b", "c"]
    second = {"a": b"1", "b": b"20", "d": b"4"}
    assert build(second) == second
    assert written == ["b", "d"]
    (folder / "a").unlink()
    assert build(first) == first
    assert written == ["a", "b", "c"]
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
