"""`sealbook bench`: takes, what is remembered, what fills a planned donning, what is taken back."""

from __future__ import annotations

import json
import re
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.commands import asking
from builder.records import writing_files
from builder.records.checking import check
from builder.records.kept_bench import FILE, KeptBench
from tests.records import samples

CLIP = """\
name = "Loop clip"
slot = "straps"
material = "Plastic"
fitting = "Behind the head."
can_be_undone = true
"""
WHO = ["--mask", "drum-cup", "--wearer", "red-kite", "--contributor", "grey-bench"]
WHO += ["--facial-hair", "none", "--protocol", "short-four-exercise"]
TODAY = date.today().isoformat()


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return samples.write(tmp_path / "entries", {"parts/clip.toml": CLIP})


def bench(root: Path, *arguments: str, verb: str = "bench", ends: int = 0, answers: str | None = None) -> Result:
    result = CliRunner().invoke(main, [verb, *arguments, "--entries", str(root), "--no-cache"], input=answers)
    assert result.exit_code == ends, result.output
    return result


def takes(root: Path, wearer: str = "red-kite") -> list[dict[str, Any]]:
    paths = sorted(root.glob(f"tests/*/*-{wearer}-*.toml"), key=lambda path: int(path.stem.rpartition("-")[2]))
    return [tomllib.loads(path.read_text()) for path in paths]


def test_an_evening(root: Path) -> None:
    first = bench(root, "31,5", "--change", "as-sold", *WHO)
    assert first.stdout == (
        "Take 1: Drum, as sold on red-kite, fit factor 31.5.\n\nas sold  31.5\n\n"
        "Nothing can be told yet: it takes a donning as sold and one with a change.\n"
        "Without --change the next take is this again: as sold.\n"
    )
    assert first.stderr == f"wrote {root}/tests/drum-cup/{TODAY}-red-kite-1.toml\n"
    second = bench(root, "200", "--change", "cl")
    assert second.stdout == (
        "Take 2: Drum, Loop clip on red-kite, fit factor 200.\n\nas sold    31.5\nLoop clip  200\n\n"
        "Loop clip: cannot tell, ×6.35 (90 % interval ×0.823 to ×49). One more donning with Loop clip is worth it: it "
        "changes the verdict with a chance of about 55 %, one of each with about 70 %. 2 more donnings of each would "
        "show a difference as large as the one seen, if it is real.\n"
        "Without --change the next take is this again: Loop clip.\n"
    )
    limited = bench(root, "220+").stdout
    assert "What one more donning would do is not worked out for readings of “at least”, nor over several methods." in (
        limited
    )
    written = takes(root)
    assert [take.get("configuration") for take in written] == [None, {"straps": "clip"}, {"straps": "clip"}]
    assert [take["conditions"]["order"] for take in written] == [1, 2, 3]
    assert written[2]["result"] == {"protocol": "short-four-exercise", "fit_factor": 220, "at_least": True}
    assert written[2]["contributor"] == "grey-bench"
    assert [p.severity for p in check(root).problems] == []


def test_the_verdict_is_that_of_compare(root: Path) -> None:
    bench(root, "30", "--change", "as-sold", *WHO)
    bench(root, "33")
    bench(root, "300", "--change", "clip")
    said = bench(root, "280").stdout
    compared = bench(root, "drum-cup", "drum-cup+clip", "--wearer", "red-kite", verb="compare").stdout
    told = re.search(r"(×\S+) \(90 % interval (×\S+ to ×\S+)\)", said)
    assert told
    assert all(figure in compared for figure in told.groups()), compared


def test_a_wearer_who_is_known_needs_few_words(root: Path) -> None:
    bench(root, "64", "--change", "as-sold", "--mask", "drum", "--wearer", "blue-heron", "--protocol", "free")
    take = takes(root, "blue-heron")[0]
    assert take["face"] == tomllib.loads(samples.TEST)["face"]
    assert take["contributor"] == "grey-bench"


def test_what_is_missing_is_named_at_once(root: Path) -> None:
    result = bench(root, "64", "--change", "as-sold", ends=2)
    for option in ("--mask", "--contributor", "--wearer", "--facial-hair", "--protocol"):
        assert f"\n  {option}: " in result.output
    assert takes(root) == []


def test_what_was_worn_is_never_guessed(root: Path) -> None:
    result = bench(root, "64", *WHO, ends=2)
    assert "Error: Nothing says what was worn: --change as-sold, or --change PART for each part that differs." in (
        result.output
    )


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["lots", "--change", "as-sold"], "Error: lots is neither a file nor a fit factor. lots is no number."),
        (["64", "--change", "clop"], "Error: There is no part clop. Did you mean clip?"),
        (["64", "--change", "straps=clip", "--change", "clip"], "straps is changed twice: to clip and to clip."),
        (["64", "--undo"], "One thing at a time: a take, --undo or --watch."),
        (["64", "--exercise", "talking=3"], "A take has either a fit factor or log, or --exercise."),
        (["--undo"], "There is no take to take back."),
        (["--comfort", "3"], "There is no take yet that this could be noted of."),
        (["0,5", "--change", "as-sold"], "0.5 is below 1."),
    ],
)
def test_refused(root: Path, arguments: list[str], says: str) -> None:
    result = bench(root, *arguments, *WHO, ends=2)
    assert says in result.output
    assert takes(root) == []


def test_what_the_checker_refuses_is_not_written(root: Path) -> None:
    result = bench(root, "64", "--change", "thin-foam", *WHO, ends=1)
    assert "drum-cup is sold with thin-foam for nose-foam." in result.output
    assert result.output.endswith("Error: Nothing was written.\n")
    assert takes(root) == []
    assert KeptBench.of(root) == KeptBench()


def test_exercises(root: Path) -> None:
    bench(
        root, *WHO, "--change", "as-sold", *(f"--exercise={e}" for e in ("bend=50", "talk=100", "h-s=200", "h-u=400+"))
    )
    assert takes(root)[0]["result"]["exercise"][3] == {"name": "head-up-and-down", "fit_factor": 400, "at_least": True}


def test_set_aside_and_noted_afterwards(root: Path) -> None:
    bench(root, "31,5", "--change", "as-sold", *WHO)
    bench(root, "12")
    result = bench(root, "--set-aside", "The hose came off.")
    assert "Take 2: Drum, as sold on red-kite, fit factor 12. Set aside: The hose came off." in result.stdout
    assert "as sold  31.5, (12)" in result.stdout
    bench(root, "--leaks", "nose", "--leaks", "chin", "--comfort", "4")
    take = takes(root)[1]
    assert take["result"] == {"protocol": "short-four-exercise", "fit_factor": 12, "set_aside": "The hose came off."}
    assert take["observations"] == {"leaks": ["nose", "chin"], "comfort": 4}
    assert take["conditions"] == {"order": 2}


def test_undo(root: Path) -> None:
    bench(root, "31,5", "--change", "as-sold", *WHO)
    bench(root, "12")
    path = root / f"tests/drum-cup/{TODAY}-red-kite-2.toml"
    text = path.read_text()
    result = bench(root, "--undo")
    assert f"took back {path}, which is kept as {root}/.sealbook-bench/undone-1.toml" in result.stderr
    assert (root / ".sealbook-bench/undone-1.toml").read_text() == text
    assert len(takes(root)) == 1
    assert "as sold  31.5\n" in result.stdout
    bench(root, "--undo")
    assert takes(root) == []
    bench(root, "--undo", ends=2)


def test_a_sheet_is_filled_in_its_order(root: Path) -> None:
    bench(root, "drum-cup", "--vary", "straps=clip", "--wearer", "red-kite", "--facial-hair", "none", "--write",
          str(root), verb="plan")  # fmt: skip
    sheet = [take.get("configuration") for take in takes(root)]
    before = {path: path.read_text() for path in root.rglob("*.toml")}
    first = bench(root, "40")  # mask, wearer, contributor and protocol are the sheet's
    assert "Next on the sheet: donning 2 of 4, specimen 1: Loop clip (3 planned tests)." in first.stdout
    out_of_turn = bench(root, "45", "--change", "as-sold")
    assert "Next on the sheet: donning 2 of 4, specimen 1: Loop clip (2 planned tests)." in out_of_turn.stdout
    written = takes(root)
    assert [take.get("configuration") for take in written] == sheet
    assert [take["result"].get("fit_factor") for take in written] == [40, None, None, 45]
    bench(root, "--undo")
    bench(root, "--undo")
    assert {path: path.read_text() for path in root.rglob("*.toml") if ".sealbook" not in str(path)} == before


def test_a_planned_donning_of_another_day_moves_to_today(root: Path) -> None:
    bench(root, "drum-cup", "--vary", "straps=clip", "--wearer", "red-kite", "--facial-hair", "none", "--write",
          str(root), "--date", "2024-02-01", "--donnings", "1", verb="plan")  # fmt: skip
    bench(root, "40", *WHO[:4])
    names = sorted(path.stem for path in root.glob("tests/drum-cup/*-red-kite-*.toml"))
    assert names == ["2024-02-01-red-kite-2", "2024-02-01-red-kite-3", f"{TODAY}-red-kite-1"]
    bench(root, "--undo")
    assert sorted(path.stem for path in root.glob("tests/drum-cup/*-red-kite-*.toml"))[0] == "2024-02-01-red-kite-1"


def test_what_was_noted_in_a_planned_entry_stays(root: Path) -> None:
    bench(root, "drum-cup", "--vary", "straps=clip", "--wearer", "red-kite", "--facial-hair", "none", "--write",
          str(root), verb="plan")  # fmt: skip
    path = root / f"tests/drum-cup/{TODAY}-red-kite-1.toml"
    path.write_text(path.read_text() + '\n[specimen]\nlabel = "box-2"\n\n[conditions]\nhelped = true\n')
    bench(root, "40", "--glasses")
    take = takes(root)[0]
    assert take["specimen"] == {"label": "box-2"}
    assert take["conditions"] == {"helped": True, "glasses": True, "order": 1}


def test_what_is_worn_next_can_be_said_beforehand(root: Path) -> None:
    bench(root, "31", "--change", "as-sold", *WHO)
    assert "Worn next: Loop clip." in bench(root, "--change", "clip").stdout
    bench(root, "90")
    bench(root, "95")
    assert [take.get("configuration") for take in takes(root)] == [None, {"straps": "clip"}, {"straps": "clip"}]


def test_another_mask_begins_anew(root: Path) -> None:
    (root / "masks/kettle.toml").write_text(samples.MASK.replace("Drum", "Kettle"))
    bench(root, "31", "--change", "clip", *WHO)
    assert "Nothing says what was worn" in bench(root, "50", "--mask", "kettle", ends=2).output
    said = bench(root, "50", "--mask", "kettle", "--change", "as-sold").stdout
    assert said.startswith("Take 1: Kettle, as sold on red-kite, fit factor 50.\n")


def test_nothing_yet(root: Path) -> None:
    assert bench(root).output == (
        "Nothing is known of this evening yet. Begin with a take: sealbook bench 64 --change as-sold\n"
    )


def test_one_wrong_entry_keeps_nobody_from_testing(root: Path) -> None:
    bench(root, "31", "--change", "as-sold", *WHO)
    (root / samples.TEST_PATH).write_text("mask = 3\n")
    assert "Loop clip: " in bench(root, "90", "--change", "clip").stdout
    (root / "parts/broken.toml").write_text("name = 3\n")
    result = bench(root, "95")
    assert result.stdout == "The verdict waits until that is put right; the take is kept.\n"
    assert len(takes(root)) == 3


def test_a_full_disk_leaves_all_as_it_was(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench(root, "31", "--change", "as-sold", *WHO)
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}

    def full_disk(path: Path, content: bytes, *, flush: bool) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(writing_files, "write_new", full_disk)
    for arguments in (["90", "--change", "clip"], ["--undo"], ["--set-aside", "x"], ["--change", "clip"]):
        result = bench(root, *arguments, ends=1)
        assert result.output == "Error: Nothing was written: No space left on device.\n"
    assert {path: path.read_bytes() for path in root.rglob("*") if path.is_file()} == before


def test_what_is_remembered_and_cannot_be_read_is_said(root: Path) -> None:
    bench(root, "31", "--change", "as-sold", *WHO)
    (root / FILE).write_text("{")
    assert "cannot be understood. Delete it" in bench(root, "32", ends=1).output
    assert "cannot be understood. Delete it" in bench(root, ends=2).output


def test_somebody_at_a_terminal_is_asked(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "at_terminal", lambda: True)
    monkeypatch.setattr("builder.commands.bench_take.at_terminal", lambda: True)
    result = bench(root, "64", answers="clip\ndrum\ngrey-bench\nred-kite\nn\nsh\n\n\n\n")
    assert "Take 1: Drum, Loop clip on red-kite, fit factor 64." in result.stdout
    assert takes(root)[0]["configuration"] == {"straps": "clip"}


def test_json_says_the_same(root: Path) -> None:
    bench(root, "30", "--change", "as-sold", *WHO)
    bench(root, "12", "--set-aside", "The hose came off.")
    told = json.loads(bench(root, "300", "--change", "clip", "--format", "json").stdout)
    assert list(told) == ["wearer", "mask", "take", "donnings", "changes", "parts", "next"]
    assert told["take"] == f"drum-cup/{TODAY}-red-kite-3"
    assert [(one["configuration"], one["fit_factor"], one["set_aside"]) for one in told["donnings"]] == [
        ("drum-cup", 30, ""),
        ("drum-cup", 12, "The hose came off."),
        ("drum-cup+clip", 300, ""),
    ]
    [change] = told["changes"]
    assert change["configuration"] == "drum-cup+clip"
    assert change["ratio"] == pytest.approx(10)
    assert (change["verdict"], change["direction"]) == ("likely", "b-higher")
    assert list(change["one_more"]) == ["fewer", "a", "b", "each", "donnings_for_seen"]
    assert told["next"] == "Without --change the next take is this again: Loop clip."
    again = bench(root, "--format", "json").stdout
    assert json.loads(again) == told | {"take": None}
