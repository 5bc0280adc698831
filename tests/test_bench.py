"""The measurements made by hand: each says what it is and what it takes, and starts nothing when only asked that."""

from __future__ import annotations

import re
import runpy
import sys

import pytest

from tests.conftest import ROOT

SCRIPTS = sorted(
    path.stem
    for path in (ROOT / "tests" / "bench").glob("*.py")
    if path.stem not in {"__init__", "arguments", "one_step"}
)


@pytest.mark.parametrize("script", SCRIPTS)
def test_help_says_what_is_measured_and_with_which_defaults(
    script: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    module = f"tests.bench.{script}"
    monkeypatch.setattr(sys, "argv", [script, "--help"])
    monkeypatch.delitem(sys.modules, module, raising=False)
    with pytest.raises(SystemExit) as left:
        runpy.run_module(module, run_name="__main__")
    assert left.value.code == 0
    usage, what, *rest = capsys.readouterr().out.split("\n\n")
    assert usage.startswith(f"usage: python -m {module} [-h]")
    assert what.endswith(".")
    optional = re.findall(r"\[(?!-h)", usage)
    assert " ".join(rest).count("(default: ") == len(optional)
    assert f"`python -m {module}" in (ROOT / "DEVELOPERS.md").read_text("utf-8")
