"""`sealbook demo` writes into new folders only."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from builder.commands.demo import command

SMALL = ["--tests", "12", "--wearers", "3", "--masks", "2", "--seed", "4"]


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_same_numbers_give_the_same_files(tmp_path: Path) -> None:
    for name in ("one", "two"):
        result = CliRunner().invoke(command, [str(tmp_path / name), *SMALL])
        assert result.exit_code == 0
        assert result.output == f"27 invented entries in {tmp_path / name} (masks 2, parts 13, tests 12).\n"
    assert files(tmp_path / "one") == files(tmp_path / "two")
    assert len(files(tmp_path / "one")) == 27


def test_an_empty_folder_will_do(tmp_path: Path) -> None:
    assert CliRunner().invoke(command, [str(tmp_path), *SMALL]).exit_code == 0


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("mine", encoding="utf-8")
    result = CliRunner().invoke(command, [str(tmp_path), *SMALL])
    assert result.exit_code == 2
    assert f"{tmp_path} is there already and not empty; nothing was written." in " ".join(result.output.split())
    assert files(tmp_path) == {"mine.toml": b"mine"}


def test_a_file_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("mine", encoding="utf-8")
    assert CliRunner().invoke(command, [str(path), *SMALL]).exit_code == 2
    assert path.read_text(encoding="utf-8") == "mine"


def test_too_many_configurations_are_wrong_usage(tmp_path: Path) -> None:
    result = CliRunner().invoke(command, [str(tmp_path / "new"), *SMALL, "--configurations", "9000"])
    assert result.exit_code == 2
    assert "With 2 masks there can be 2 to 176 configurations, not 9000." in " ".join(result.output.split())
    assert not (tmp_path / "new").exists()
