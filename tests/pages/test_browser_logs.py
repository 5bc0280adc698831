"""What the scripts read logs by is what the builder reads them by."""

from __future__ import annotations

import json
import re

from builder.fit.counts.doubt_texts import DOUBTS
from builder.records.logs.log_messages import MESSAGES, ON_A_PAGE
from builder.records.logs.log_words import words
from builder.site.browser_logs import LOG_LIMITS, browser_logs
from tests.conftest import ROOT

SCRIPTS = "".join(
    path.read_text("utf-8") for path in sorted((ROOT / "site_src/pages/assets/scripts/logs").glob("*.js"))
)


def python(*folders: str) -> str:
    files = [path for folder in folders for path in sorted((ROOT / "builder" / folder).rglob("*.py"))]
    return "".join(path.read_text("utf-8") for path in files if path.name not in ("log_messages.py", "doubt_texts.py"))


def test_each_limit_is_used_and_described() -> None:
    for name in LOG_LIMITS:
        assert re.search(rf"\b{name}\b", SCRIPTS), name
    described = re.findall(r"readonly (\w+): number;", (ROOT / "site_src/types/logs.d.ts").read_text("utf-8"))
    assert [name for name in described if not name.startswith("ambient_")] == list(LOG_LIMITS)


def test_the_module_holds_the_words() -> None:
    found = re.fullmatch(r"export const LOGS = Object\.freeze\((.*)\);\n", str(browser_logs().content))
    assert found
    shipped = json.loads(found[1])
    assert shipped["limits"] == LOG_LIMITS
    assert {name: table for name, table in shipped["words"].items() if name != "units"} == {
        name: table for name, table in words().items() if name != "units"
    }
    assert [1000 * factor for factor, names in shipped["words"]["units"]["seconds"] if "ms" in names] == [1]


def said(name: str, code: str) -> bool:
    """Whether a message is said, a remedy by the name of its problem too."""
    names = (name, name.removesuffix("_remedy"))
    return any(f"{mark}{one}{mark}" in code for one in names for mark in "'\"")


def test_each_doubt_and_each_message_is_said_by_both() -> None:
    command, below = python("fit/counts", "records", "commands"), {"no_text", "long_line", "many_stretches"}
    assert [name for name in DOUBTS if not said(name, command)] == []
    assert [name for name in DOUBTS if not said(name, SCRIPTS)] == []
    assert [name for name in MESSAGES if not said(name, command) and name.removesuffix("_remedy") not in below] == []
    assert [name for name in MESSAGES if not said(name, SCRIPTS)] == []
    assert ON_A_PAGE.keys() <= MESSAGES.keys()
