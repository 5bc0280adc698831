"""`sealbook plan`: the sheet in every format, entries that wait for results, and what it refuses."""

from __future__ import annotations

import json
import re
import tomllib
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.records import disk, writing_files
from tests.records import samples

PART = """\
name = "{name}"
slot = "{slot}"
material = "Something"
fitting = "As it comes."
can_be_undone = {undone}
cautions = ["Mind the {name}."]
"""
FILES: dict[str, str | bytes] = {
    "parts/clip.toml": PART.format(name="Loop clip", slot="straps", undone="true"),
    "parts/wire.toml": PART.format(name="<b>Stiff</b> wire", slot="nose-wire", undone="true"),
    "parts/rod.toml": PART.format(name="Rod", slot="nose-wire", undone="true"),
    "parts/thick-foam.toml": PART.format(name="Thick foam", slot="nose-foam", undone="false"),
    "parts/tape.toml": PART.format(name="Tape", slot="edge", undone="true"),
}
TODAY = date.today()
BENCH = [
    "A counter that works with alcohol stands away from flames, candles too.",
    "Nobody shares a tested mask; disinfect hose and probe between people.",
    "No smoking in the half hour before a test.",
    "Publish another person's face and readings only with their consent.",
]


@pytest.fixture
def entries(tmp_path: Path) -> Path:
    return samples.write(tmp_path / "entries", FILES)


def plan(entries: Path, *arguments: object) -> Result:
    return CliRunner().invoke(main, ["plan", "--entries", str(entries), *map(str, arguments)])


def vary(*texts: str) -> list[str]:
    return [argument for text in texts for argument in ("--vary", text)]


def checked(entries: Path) -> Result:
    return CliRunner().invoke(main, ["check", "--entries", str(entries)])


def test_text(entries: Path) -> None:
    result = plan(entries, "drum-cup", *vary("straps=clip", "nose-wire=rod"), "--wearer", "blue-heron")
    assert result.exit_code == 0, result.output
    assert result.output.startswith(
        "Drum (drum-cup), every combination: 4 configurations\n2 donnings of each, 8 in all"
    )
    rows = re.findall(r"^ +(\d+)  \[_+\] .*\[_\]    (.*)\n +(?:first: )?(.*)$", result.output, re.MULTILINE)
    assert [int(number) for number, _, _ in rows] == list(range(1, 9))
    assert rows[0] == ("1", "as sold", "take the mask as sold")
    assert rows[-1][1] == "as sold"
    assert [change for *_, change in rows].count("nothing: take it off and don it again") == 1
    # Two minutes a change, and 5 of wearing with 149 s of sampling (84 FR 50739, Table A-2) a donning: 8 and 6 of them.
    assert f"About 1 h {round(8 * (5 + 149 / 60) + 6 * 2) - 60} min," in result.output
    assert "GSD 1.99 (a planning value, for there are too few repeats" in " ".join(result.output.split())
    assert "Mind the Rod." in result.output
    assert max(map(len, result.output.splitlines())) <= 120


def test_long_protocol_takes_longer(entries: Path) -> None:
    """29 CFR 1910.134 App. A: seven exercises of 60 s, one of 15 s; with 5 s of ambient air nine times."""
    asked = ["drum-cup", *vary("straps=clip"), "--donnings", 1, "--format", "json"]
    long = json.loads(plan(entries, *asked, "--protocol", "eight-exercise").output)
    assert long["minutes"] == round(3 * (5 + (435 + 9 * 5) / 60) + 2 * 2)
    free = json.loads(plan(entries, *asked, "--protocol", "free").output)
    assert (free["minutes"], free["minutes_exercises"]) == (3 * 5 + 2 * 2, False)
    assert "19 min beside the exercises" in plan(entries, *asked[:-2], "--protocol", "free").output


def test_json(entries: Path) -> None:
    asked = ["drum-cup", *vary("nose-wire=wire,rod", "straps=clip"), "--donnings", 3, "--seed", 5, "--format", "json"]
    result = plan(entries, *asked)
    sheet = json.loads(result.output)
    assert (sheet["seed"], sheet["configurations"], sheet["specimens"], len(sheet["lines"])) == (5, 6, 1, 19)
    assert sheet["lines"][0]["configuration"] == sheet["lines"][-1]["configuration"] == "drum-cup"
    assert sheet["lines"][-1]["purpose"] == "drift"
    # Parts stand in slot order, whatever the order of --vary.
    assert "drum-cup+clip+wire" in {line["configuration"] for line in sheet["lines"]}
    assert [part["part"] for part in sheet["outlook"]["parts"]] == ["wire", "rod", "clip"]
    assert sheet["cautions"][:4] == [
        "No hair at the seal. Check the seal at every donning; a seal check does not replace a fit test.",
        "Once exercises begin, straps stay as they are; a mask that had to be touched is donned again.",
        "A fit factor measured here holds for one person, one specimen and one donning; it is no workplace fit test.",
        "Stop on dizziness or breathing trouble.",
    ]
    assert sheet["cautions"][4:10] == [
        "A probed mask is for testing only; never wear it for protection.",
        "Fit falls as a specimen is donned again and again: note how often it has been worn, and take a fresh one in "
        "time.",
        *BENCH,
    ]
    assert sheet["cautions"][10:] == ["Mind the <b>Stiff</b> wire.", "Mind the Rod.", "Mind the Loop clip."]
    assert plan(entries, *asked).output == result.output
    assert plan(entries, *asked[:-4], "--seed", 6, "--format", "json").output != result.output


def test_html_is_one_page_that_asks_nobody(entries: Path) -> None:
    result = plan(entries, "drum-cup", *vary("nose-wire=wire"), "--format", "html", "--wearer", "blue-heron")
    assert result.exit_code == 0
    assert result.output.startswith("<!doctype html>")
    assert not re.search(r"https?:|src=|href=|@import|url\(", result.output)
    assert "&lt;b&gt;Stiff&lt;/b&gt; wire" in result.output
    assert "<b>Stiff" not in result.output
    assert result.output.count("<tr><td>") == 4
    assert "<b>blue-heron</b>" in result.output


def test_parts_that_stay_come_last_and_need_specimens(entries: Path) -> None:
    asked = ["drum-cup", *vary("nose-foam=thick-foam,none", "straps=clip"), "--donnings", 1]
    sheet = json.loads(plan(entries, *asked, "--format", "json").output)
    assert sheet["specimens"] == 2
    worn = {s: [line["configuration"] for line in sheet["lines"] if line["specimen"] == s] for s in (1, 2)}
    for specimen in (1, 2):
        assert worn[specimen][0] == "drum-cup"
        lasting = [("thick-foam" in c) or ("no-nose-foam" in c) for c in worn[specimen]]
        assert lasting == sorted(lasting)
    text = plan(entries, *asked).output
    assert "Specimen 2\n" in text
    assert "fit Thick foam (for good)" in text
    assert "take out what it has as sold: nose foam (for good)" in text
    assert "take 2 specimens of one box" in " ".join(text.split())


def test_half_names_what_it_cannot_tell_apart(entries: Path) -> None:
    slots = vary("straps=clip", "nose-wire=rod", "edge=tape")
    result = plan(entries, "drum-cup", *slots, "--half")
    assert "half of the combinations: 4 configurations" in result.output
    told = " ".join(result.output.split())
    assert "what Loop clip does; or what Rod and Tape do together beyond the two alone" in told
    refused = plan(entries, "drum-cup", *slots[:4], "--half")
    assert refused.exit_code == 2
    assert "A half needs at least 3 slots with one part each to vary, and there are 2." in refused.output


def test_every_mistake_at_once(entries: Path) -> None:
    texts = (
        "straps=clipp,rod", "nose-wires=rod", "nose-wire", "nose-foam=thin-foam,none,none", "brace=none", "edge=",
        "edge=tape", "other=zzz",
    )  # fmt: skip
    result = plan(entries, "drum-cap", *vary(*texts), "--wearer", "Not A Pseudonym")
    assert result.exit_code == 2
    for problem in (
        'There is no mask "drum-cap". Did you mean drum-cup?',
        '"Not A Pseudonym" is no pseudonym',
        'There is no part "clipp". Did you mean clip?',
        "rod belongs in nose-wire, not in straps.",
        '"nose-wires" is no slot. Did you mean nose-wire',
        '"nose-wire" is not of the form SLOT=PART,PART.',
        '"none" is named twice in nose-foam.',
        'There is no part "".',
        "edge is named twice: join its parts with commas.",
        'There is no part "zzz". Known are none.',
    ):
        assert problem in result.output, problem
    known = plan(entries, "drum-cup", *vary("nose-foam=thin-foam", "brace=none"))
    assert "thin-foam is what the mask has in nose-foam as sold" in known.output
    assert "brace=none takes nothing out" in known.output


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "Name the mask to plan for"),
        (["drum-cup"], "Nothing to vary"),
        (["drum-cup", *vary("straps=clip"), "--donnings", 0], "--donnings"),
        (["drum-cup", *vary("straps=clip"), "--donnings", 101], "a run of 202 donnings, and 200 is the most"),
        (["drum-cup", *vary("straps=clip"), "--donnings", 10**9], "a run of 2000000000 donnings"),
        (["drum-cup", *vary("nose-foam=thick-foam,none"), "--donnings", 60], "a run of 240 donnings"),
        (["drum-cup", *vary("straps=\x1b[31m\u202e")], 'There is no part "\\u001b[31m\\u202e"'),
        (["drum-cup", *vary("straps=../clip")], 'There is no part "../clip"'),
        (["drum-cup", *vary("straps=clip"), "--write", "x"], "--write needs --wearer"),
        (["drum-cup", *vary("straps=clip"), "--wearer", "../up"], '"../up" is no pseudonym'),
        (["drum-cup", *vary("straps=clip"), "--date", "2026-02-30"], "--date"),
        (["drum-cup", "--gaps"], "--gaps goes with"),
        (["--gaps", "--format", "html"], "--gaps goes with"),
    ],
)
def test_refused(entries: Path, arguments: list[object], says: str) -> None:
    result = plan(entries, *arguments)
    assert result.exit_code == 2
    assert says in result.output


def test_entries_wait_for_their_results(entries: Path) -> None:
    asked = ["drum-cup", *vary("straps=clip"), "--wearer", "blue-heron", "--write", entries]
    result = plan(entries, *asked)
    assert result.exit_code == 0, result.output
    written = sorted((entries / "tests/drum-cup").glob(f"{TODAY}-blue-heron-*.toml"))
    assert [path.stem[-1] for path in written] == ["1", "2", "3", "4"]
    texts = [path.read_text() for path in written]
    assert "# Donning 2 of 4, specimen 1. Fill in the result" in texts[1]
    tables = [tomllib.loads(text) for text in texts]
    assert [table.get("configuration") for table in tables] == [None, {"straps": "clip"}, {"straps": "clip"}, None]
    # What is known of the wearer is there already.
    assert tables[0]["contributor"] == "grey-bench"
    assert tables[0]["face"] == tomllib.loads(samples.TEST)["face"]

    waiting = checked(entries)
    assert waiting.exit_code == 0
    assert waiting.output.count("note planned-test") == 4
    assert waiting.output.endswith("12 files, no problems, 4 planned tests\n")
    for number, (path, text) in enumerate(zip(written, texts, strict=True)):
        path.write_text(text.replace("[result]\n", f"[result]\nfit_factor = {40 + number}\n"))
    assert checked(entries).output == "12 files, no problems\n"


def test_planned_tests_stop_nothing(entries: Path) -> None:
    asked = ["drum-cup", *vary("nose-foam=none"), "--wearer", "blue-heron", "--write", entries]
    assert plan(entries, *asked).exit_code == 0
    before = CliRunner().invoke(main, ["summary", "--entries", str(entries)])
    again = plan(entries, *asked, "--date", "2036-03-01")
    assert again.exit_code == 0
    assert "left out" not in again.output
    third = plan(entries, *asked)
    assert "; 4 of that wearer, mask and day waited before" in third.output
    assert checked(entries).exit_code == 0
    after = CliRunner().invoke(main, ["summary", "--entries", str(entries)])
    assert (before.exit_code, before.output) == (0, after.output)


def test_a_new_wearer_needs_a_word_on_hair(entries: Path) -> None:
    asked = ["drum-cup", *vary("nose-foam=none"), "--wearer", "new-gull", "--write", entries]
    refused = plan(entries, *asked)
    assert refused.exit_code == 2
    assert "new-gull is in no test yet: say --facial-hair, one of none, " in refused.output
    assert plan(entries, *asked, "--facial-hair", "none").exit_code == 0
    table = tomllib.loads((entries / f"tests/drum-cup/{TODAY}-new-gull-1.toml").read_text())
    assert (table["contributor"], table["face"]) == ("new-gull", {"wearer": "new-gull", "facial_hair": "none"})
    assert checked(entries).exit_code == 0


def test_numbers_go_on_after_the_tests_of_the_day(entries: Path) -> None:
    asked = ["drum-cup", *vary("straps=clip"), "--wearer", "blue-heron", "--write", entries, "--date", "2026-09-12"]
    assert plan(entries, *asked).exit_code == 0
    assert (entries / samples.TEST_PATH).read_text() == samples.TEST
    assert (entries / samples.TEST_PATH.replace("-1.toml", "-5.toml")).exists()


def test_all_or_nothing(entries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = []
    write_new = disk.write_new

    def full_disk(path: Path, content: bytes, *, flush: bool) -> None:
        calls.append(path)
        if len(calls) == 3:
            raise OSError(28, "No space left on device")
        write_new(path, content, flush=flush)

    monkeypatch.setattr(writing_files, "write_new", full_disk)
    target = tmp_path / "elsewhere"
    result = plan(entries, "drum-cup", *vary("straps=clip"), "--wearer", "blue-heron", "--write", target)
    assert result.exit_code == 1
    assert result.output == "Error: Nothing was written: No space left on device.\n"
    assert not target.exists()


def test_a_faulty_part_stops_the_plan(entries: Path) -> None:
    (entries / "parts/clip.toml").write_text("name =")
    result = plan(entries, "drum-cup", *vary("nose-wire=rod"))
    assert result.exit_code == 1
    assert "parts/clip.toml:1 error" in result.output


def test_gaps(entries: Path) -> None:
    result = plan(entries, "--gaps", "--count", 2)
    assert result.exit_code == 0
    assert "need tests by at least 8 wearers" in result.output
    found = json.loads(plan(entries, "--gaps", "--count", 3, "--format", "json").output)
    assert [(test["configuration"], test["gain"]) for test in found["tests"]] == [("drum-cup", None)] * 3
    assert found["no_model"]
