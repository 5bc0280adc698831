"""The list of what the bench page needs without network is read off the finished site."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.site.offline import needed, worker, write_worker

FILES = {
    "bench/index.html": '<link rel="stylesheet" href="../a.css"><a href="../other/">x</a>'
    '<link rel="canonical" href="http://elsewhere/"><div data-module="bench"></div>'
    '<script type="module" src="../assets/page.js"></script>',
    "bench/known.json": "{}",
    "contribute/form.json": "{}",
    "a.css": 'b { background: url("img/b.svg") url(data:x) }',
    "img/b.svg": "<svg/>",
    "assets/page.js": '["bench", () => import("./bench.js")],\n["chart", () => import("./chart.js")],',
    "assets/bench.js": '// import "./never.js"\nimport { a } from "./deep/a.js";',
    "assets/deep/a.js": "export const a = 1;",
    "assets/chart.js": "",
    "other/index.html": "",
}


@pytest.fixture
def site(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


def test_all_that_the_page_loads_and_nothing_else(site: Path) -> None:
    unneeded = {"assets/chart.js", "other/index.html"}
    assert needed(site) == sorted(FILES.keys() - unneeded)


def test_each_build_has_its_name_and_each_file_its_digest(site: Path) -> None:
    first = worker(site)
    assert worker(site) == first
    # echo -n "{}" | openssl dgst -sha256 -binary | base64
    assert '"known.json":"sha256-RBNvo1WzZ4oRRq0W9+hknpT7T8If536DEMBg9hyq/4o="' in first
    assert '"index.html":""' in first
    (site / "assets/deep/a.js").write_text("export const a = 2;", "utf-8")
    changed = worker(site)
    assert changed.partition(",")[0] != first.partition(",")[0]


def test_a_site_without_the_page_has_no_worker(tmp_path: Path) -> None:
    write_worker(tmp_path)
    assert list(tmp_path.iterdir()) == []
