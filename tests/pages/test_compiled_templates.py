"""Compiled templates are kept beside compiled modules, where these are kept at all."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from jinja2 import DictLoader, Environment

from builder.site.compiled_templates import CompiledTemplates


def said(text: str, options: object = "none") -> str:
    environment = Environment(
        loader=DictLoader({"a": text}), autoescape=True, bytecode_cache=CompiledTemplates(options)
    )
    return environment.get_template("a").render()


def test_a_template_is_compiled_once_for_its_text_and_options(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    folder = Path(CompiledTemplates("none").directory)
    assert folder.is_relative_to(tmp_path)
    assert said("one") == "one"  # where there is no folder yet, it is not kept
    folder.mkdir(parents=True)
    assert [said("one"), said("one")] == ["one", "one"]
    (kept,) = folder.iterdir()
    assert said("another") == "another"
    assert list(folder.iterdir()) == [kept]
    assert said("another", "others") == "another"
    kept.write_bytes(b"damaged")
    assert said("another") == "another"
    assert len(list(folder.iterdir())) == 2


def test_nothing_is_kept_where_python_keeps_no_modules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    Path(CompiledTemplates("none").directory).mkdir(parents=True)
    assert said("one") == "one"
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []
