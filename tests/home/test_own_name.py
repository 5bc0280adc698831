"""The name beside the entries is read as text, and nothing in the settings is run."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.home.own_name import name_beside


@pytest.mark.parametrize(
    ("settings", "name"),
    [
        ('site_name: "Our bench: \\"A\\" & B"\n', 'Our bench: "A" & B'),
        ("strict: true\nsite_name: Our bench  # here\n", "Our bench"),
        ('site_name: !ENV [NAME, "x"]\n', ""),
        ("site_name: !!python/object/apply:os.system ['touch made']\n", ""),
        ("site_name: [a]\n", ""),
        ('site_name: "never ended\n', ""),
        ("plugins:\n  - x:\n      site_name: inner\n", ""),
        ("", ""),
    ],
)
def test_a_name_is_plain_text_or_none(
    settings: str, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mkdocs.yml").write_text(settings, "utf-8")
    assert name_beside(tmp_path / "entries") == name
    assert not (tmp_path / "made").exists()


def test_no_settings_no_name(tmp_path: Path) -> None:
    assert name_beside(tmp_path / "entries") == ""
