"""The form that writes a test, in a browser: the checker takes what it calls ready, and refuses what it refuses."""

from __future__ import annotations

import itertools
import json
import random
import re
import shutil
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, BrowserContext, Page, expect

from builder.findings.dataset import Dataset
from builder.records.checking import check_snapshot, concerning
from builder.records.known_reads import KnownReads
from builder.records.models import Mask, Part, Result, Test
from builder.records.overall import overall
from builder.records.problems import Problem
from builder.records.snapshots import Snapshot
from builder.records.toml_text import WIDTH, to_toml
from builder.records.vocabulary import Exercise, Slot
from tests.browser.conftest import Watch, axe, choose_by_keys
from tests.browser.contribute_forms import NEW, Answers, Draw
from tests.conftest import FIXTURE_KEPT, ROOT
from tests.records.test_toml_text import MASKS, PARTS, TESTS

STATE = ".sb-contribute__state"
SUMMARY = ".sb-contribute__summary"
READY = re.compile("^Ready: ")
SCRIPTS = "/assets/scripts/contribute"
READ_BEFORE = KnownReads()
"""What came of the demo's files, which every case is checked beside."""
WITHIN_A_PAGE = settings(max_examples=60, suppress_health_check=FIXTURE_KEPT)


def opened(page: Page) -> Page:
    page.goto("contribute/")
    expect(page.locator(STATE)).not_to_be_empty()
    return page


@pytest.fixture
def form(page: Page) -> Page:
    """The contribute page with an empty form."""
    return opened(page)


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory, demo: Dataset) -> Path:
    """A copy of all that the form knows of the committed entries, to add to: masks, parts, a test of each wearer."""
    copy = tmp_path_factory.mktemp("copy") / "entries"
    for kind in ("masks", "parts"):
        shutil.copytree(ROOT / "entries" / kind, copy / kind)
    for test in demo.table.drop_duplicates("wearer")["test"]:
        path = Path("tests", f"{test}.toml")
        (copy / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / "entries" / path, copy / path)
    return copy


def field(page: Page, name: str) -> Any:
    return page.locator(f"[id='field-{name}']")


FILL = """(answers) => {
    for (const fold of document.querySelectorAll(".sb-contribute details")) fold.open = true;
    for (const [name, value] of Object.entries(answers)) {
        const find = () => [...document.getElementsByName(name)].filter((control) => control.checkVisibility());
        while (find().length === 0 && /^test\\.result\\.(exercise|counts)\\./.test(name)) {
            document.querySelector(".sb-rows:not([hidden]) > p > button:not([hidden])").click();
        }
        const [control] = find();
        if (!control) throw new Error(`${name} is not asked`);
        if (control.type === "radio" || Array.isArray(value)) {
            for (const one of find()) one.checked = [value].flat().includes(one.value);
        } else if (control.type === "checkbox") control.checked = value;
        else control.value = value;
        if (control.tagName === "SELECT" && control.value !== value) throw new Error(`${name} has no ${value}`);
        control.dispatchEvent(new Event("change", { bubbles: true }));
    }
}"""


def fill(page: Page, answers: Answers) -> None:
    """Answer questions one after the other, with the event that tells a form that an answer is done.

    A list decides what is asked after it, so a question that is not on the page is an error. What a person's typing
    tells the form beside that is tried by keyboard, in a test of its own.
    """
    page.evaluate(FILL, answers)


def is_ready(page: Page) -> bool:
    return bool(READY.match(page.locator(STATE).text_content() or ""))


def files(page: Page) -> dict[str, str]:
    """The shown files, by their path."""
    shown = "all => all.map(file => [file.querySelector('h3').textContent, file.querySelector('pre').textContent])"
    return dict(page.locator(".sb-file:not([hidden])").evaluate_all(shown))


def checked(root: Path, texts: dict[str, str]) -> list[Problem]:
    """Check some files among the entries, then take them away again."""
    paths = [root.parent / path for path in texts]
    taken = [path for path in paths if path.exists()]
    assert not taken
    try:
        for path, text in zip(paths, texts.values(), strict=True):
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, "utf-8", newline="")
        found = concerning(
            check_snapshot(Snapshot.of(root), READ_BEFORE).problems,
            [path.relative_to(root).as_posix() for path in paths],
        )
    finally:
        for path in paths:
            path.unlink(missing_ok=True)
            if path.parent.parent.name == "tests" and not any(path.parent.iterdir()):
                path.parent.rmdir()
    return found


def errors(problems: list[Problem]) -> list[str]:
    return [f"{p.path} {p.key}: {p.problem}" for p in problems if p.severity == "error"]


def wrong_fields(page: Page) -> dict[str, str]:
    """The problems beside the fields, by the question's name."""
    return {
        item["name"]: item["text"]
        for item in page.locator(".sb-contribute .sb-field__problem:visible").evaluate_all(
            """all => all.map(p => ({
                name: p.id.replace(/^field-/, "").replace(/-problem$/, ""),
                text: p.textContent,
            }))"""
        )
    }


@pytest.mark.parametrize("seed", range(6))
def test_what_is_ready_the_checker_takes(form: Page, demo: Dataset, entries: Path, seed: int) -> None:
    draw = Draw(demo, random.Random(seed))
    form.on("dialog", lambda dialog: dialog.accept())
    for _ in range(6):
        answers = draw.form()
        fill(form, answers)
        assert is_ready(form), wrong_fields(form)
        taken_by_the_checker(answers, files(form), entries)
        form.get_by_role("button", name="Start anew").click()


def taken_by_the_checker(answers: Answers, texts: dict[str, str], entries: Path) -> None:
    """Check that files are without error, laid out as the builder does it, and say what was answered."""
    assert errors(checked(entries, texts)) == []
    kinds = Counter(path.split("/")[1] for path in texts)
    new = sum(value == NEW for value in answers.values())
    assert kinds["tests"] == 1 and kinds["masks"] + kinds["parts"] == new
    models: dict[str, type[Mask | Part | Test]] = {"tests": Test, "masks": Mask, "parts": Part}
    for path, text in texts.items():
        model = models[path.split("/")[1]]
        assert text == to_toml(model.model_validate(tomllib.loads(text)))
    test = next(tomllib.loads(text) for path, text in texts.items() if "/tests/" in path)
    for table, key in (("observations", "notes"), ("source", "link")):
        answer = answers.get(f"test.{table}.{key}")
        assert test.get(table, {}).get(key) == (answer.strip() if answer else None)


# The file is the same as for the first, and only one answer is another: name, what is typed, whether it is right.
PLAIN: Answers = {
    "test.mask": NEW,
    "mask.model": "Plain",
    "mask.maker": "Bench",
    "mask.style": "cup",
    "mask.class": "ffp2",
    "mask.filter.penetration_percent": "6",
    "mask.filter.flow_l_min": "95",
    "test.configuration.nose-wire": NEW,
    "part.test.configuration.nose-wire.name": "Bench wire",
    "part.test.configuration.nose-wire.material": "Steel",
    "part.test.configuration.nose-wire.fitting": "Taped on.",
    "part.test.configuration.nose-wire.can_be_undone": "yes",
    "part.test.configuration.nose-wire.section.shape": "strip",
    "part.test.configuration.nose-wire.section.material": "annealed-steel",
    "part.test.configuration.nose-wire.section.width_mm": "5",
    "part.test.configuration.nose-wire.section.thickness_mm": "0.8",
    "test.face.wearer": "blue-heron",
    "test.face.facial_hair": "none",
    "test.face.length_mm": "117",
    "test.face.width_mm": "138",
    "test.date": "2024-05-18",
    "test.result.protocol": "short-four-exercise",
    "test.result.fit_factor": "64",
    "test.contributor": "grey-bench",
}
WIRE = "part.test.configuration.nose-wire"
LONG_EMOJI = "😷" * 200
TRIED = [
    *((name, value, True) for name in ("test.contributor", "test.face.wearer") for value in ("b2", "a-b-c", "7" * 60)),
    *(
        (name, value, False)
        for name in ("test.contributor", "test.face.wearer")
        for value in (
            "b",
            "7" * 61,
            "Blue-heron",
            "blue_heron",
            "blue--heron",
            "-blue",
            "Jane Doe",
            "@jane",
            "j@example.org",
            "bläu",
        )
    ),
    *(("test.face.length_mm", value, True) for value in ("80", "170", "117.25", "+117", "1e2", "1.2E+2")),
    *(
        ("test.face.length_mm", value, False)
        for value in ("79.9", "170.1", "11.7", "0", "-117", "1e3", ".5", "0x64", "NaN", "long")
    ),
    ("test.face.width_mm", "190", True),
    ("test.face.width_mm", "89", False),
    *(("test.result.fit_factor", value, True) for value in ("1", "10000000", "1.0", "99.999")),
    *(("test.result.fit_factor", value, False) for value in ("0.99", "0", "10000000.5", "-5", "Infinity", "64 000")),
    ("test.date", "1970-01-01", True),
    ("test.date", "1969-12-31", False),
    ("test.date", "2999-01-01", False),
    ("test.conditions.ambient_per_cm3", "0.001", True),
    ("test.conditions.ambient_per_cm3", "0", False),
    ("test.conditions.ambient_per_cm3", "10000001", False),
    *(
        ("test.observations.comfort", value, good)
        for value, good in (("1", True), ("5", True), ("0", False), ("6", False), ("3.5", False))
    ),
    ("test.observations.notes", "n" * 2000, True),
    ("test.observations.notes", "n" * 2001, False),
    ("test.observations.notes", "bell \x07", False),
    ("test.observations.notes", "delete \x7f", False),
    ("test.observations.notes", "next line \x85 here", False),
    ("test.observations.notes", "turned \u202e around", False),
    ("test.observations.notes", "marked \u200f here", False),
    ("test.result.set_aside", LONG_EMOJI, True),
    ("test.result.set_aside", LONG_EMOJI + "!", False),
    ("test.source.link", "http://example.org", True),
    ("test.source.link", "https://example.org/" + "a" * 480, True),
    *(
        ("test.source.link", value, False)
        for value in (
            "example.org",
            "ftp://example.org",
            "https://exa mple.org",
            "javascript:alert(1)",
            "https://a.b/\x85",
            "https://example.org/" + "a" * 481,
        )
    ),
    ("mask.model", "m" * 200, True),
    ("mask.model", "m" * 201, False),
    ("mask.maker", "line\x0bfeed", False),
    ("mask.size", "\u2066M\u2069", False),
    *(
        ("mask.filter.penetration_percent", value, good)
        for value, good in (("100", True), ("100.1", False), ("0", False))
    ),
    ("mask.filter.flow_l_min", "1000.5", False),
    ("mask.id", "my-mask", True),
    ("mask.id", "My mask", False),
    ("mask.id", "con", False),
    (f"{WIRE}.name", "n" * 201, False),
    (f"{WIRE}.fitting", "f" * 2001, False),
    (f"{WIRE}.cautions", "c" * 200, True),
    (f"{WIRE}.cautions", "c" * 201, False),
    (f"{WIRE}.cautions", "\n".join("abcdefghij"), True),
    (f"{WIRE}.cautions", "\n".join("abcdefghijk"), False),
    (f"{WIRE}.section.width_mm", "0", False),
    (f"{WIRE}.section.width_mm", "1000.1", False),
    (f"{WIRE}.section.count", "20", True),
    (f"{WIRE}.section.count", "21", False),
    (f"{WIRE}.section.count", "1.5", False),
    (f"{WIRE}.id", "no-straps", False),
    (f"{WIRE}.id", "none", False),
]


TOLD_OTHERWISE = {
    # The checker knows an address, a handle or a name, which need not be typed to the end to be no pseudonym here.
    *(("test.contributor", value) for value in ("Jane Doe", "@jane", "j@example.org")),
    *(("test.face.wearer", value) for value in ("Jane Doe", "@jane", "j@example.org")),
    # In a file these are numbers.
    ("test.face.length_mm", "1e3"),
    ("test.face.length_mm", "NaN"),
    ("test.result.fit_factor", "Infinity"),
    ("test.observations.comfort", "3.5"),
    (f"{WIRE}.section.count", "1.5"),
    # Lines here, a list there.
    (f"{WIRE}.cautions", "\n".join("abcdefghijk")),
}
"""What the checker does not read as it was typed; all else both call wrong in the same words."""


def placed(name: str) -> tuple[str, list[str]]:
    """The kind of entry and the key that a question stands for."""
    kind, *keys = name.replace(WIRE, "part").split(".")
    return kind, keys


def written_anyway(texts: dict[str, str], name: str, value: str) -> dict[str, str]:
    """The files with one value that the form would not write, as somebody would write it by hand."""
    kind, keys = placed(name)
    path = next(path for path in texts if path.startswith(f"entries/{kind}s/"))
    if keys == ["id"]:
        new = path.replace(Path(path).stem, value)
        return {new if other == path else other: text for other, text in texts.items()}
    table = tomllib.loads(texts[path])
    inner = table
    for key in keys[:-1]:
        inner = inner.setdefault(key, {})
    number = re.fullmatch(r"[+-]?\d+(\.\d+)?(e\d+)?|NaN|Infinity", value, re.IGNORECASE)
    if keys[-1] == "cautions":
        inner[keys[-1]] = value.split("\n")
    elif keys == ["date"]:
        inner[keys[-1]] = tomllib.loads(f"x = {value}")["x"]
    elif number and ("_" in keys[-1] or keys[-1] in {"comfort", "count"}):
        inner[keys[-1]] = float(value) if "." in value or not value.lstrip("+-").isdigit() else int(value)
    else:
        inner[keys[-1]] = value
    return {other: toml(table) if other == path else text for other, text in texts.items()}


def toml(table: dict[str, Any], name: str = "") -> str:
    """Write a table without looking at what stands in it."""
    plain = {key: value for key, value in table.items() if not isinstance(value, dict)}
    lines = [f"{key} = {literal(value)}" for key, value in plain.items()]
    for key in table.keys() - plain.keys():
        path = f"{name}{key}"
        lines += [f"[{path}]", toml(table[key], f"{path}.")]
    return "\n".join(lines) + "\n"


def literal(value: Any) -> str:
    if isinstance(value, str | list):
        return json.dumps(value).replace("\\ud83d\\ude37", "😷").replace("\x7f", "\\u007f")
    return str(value).lower()


def test_each_field_takes_and_refuses_what_the_checker_does(form: Page, entries: Path) -> None:
    fill(form, PLAIN)
    assert is_ready(form)
    plain = files(form)
    assert errors(checked(entries, plain)) == []
    for name, value, right in TRIED:
        control = field(form, name)
        before = control.input_value()
        fill(form, {name: value})
        case = f"{name}: {value[:40]!r}"
        assert is_ready(form) == right, case
        if right:
            assert errors(checked(entries, files(form))) == [], case
        else:
            assert wrong_fields(form).keys() == {name}, case
            assert control.get_attribute("aria-invalid") == "true"
            found = checked(entries, written_anyway(plain, name, value))
            assert errors(found), case
            kind, keys = placed(name)
            if keys != ["id"]:
                keyed = [p for p in found if f"/{kind}s/" in p.path and p.key.split("[")[0] == ".".join(keys)]
                assert keyed, (case, found)
                told = wrong_fields(form)[name]
                alike = any(told.startswith(f"{p.problem} ") for p in keyed)
                assert alike == ((name, value) not in TOLD_OTHERWISE), (case, told, keyed)
        fill(form, {name: before})
    assert files(form) == plain


def test_decimals_may_be_parted_by_a_comma(form: Page, entries: Path) -> None:
    fill(form, PLAIN | {"test.face.length_mm": "117,5", "test.result.fit_factor": " 64,25 "})
    assert is_ready(form)
    text = next(text for path, text in files(form).items() if path.startswith("entries/tests/"))
    assert "length_mm = 117.5\n" in text and "fit_factor = 64.25\n" in text
    assert errors(checked(entries, files(form))) == []
    fill(form, {"test.result.fit_factor": "1,200"})
    unclear = "“1,200” may be read with the comma for decimals or for thousands. "
    wrong = {"test.result.fit_factor": f"{unclear}Write it without the comma, or with a point for decimals."}
    assert wrong_fields(form) == wrong


@pytest.mark.parametrize(
    ("zone", "moment", "days"),
    [
        ("Etc/UTC", "2026-02-28T23:59:00Z", ("2026-02-28", "2026-03-01")),
        ("Pacific/Auckland", "2026-02-28T12:30:00Z", ("2026-03-01", "2026-03-02")),
        ("America/Los_Angeles", "2026-03-01T07:00:00Z", ("2026-02-28", "2026-03-01")),
    ],
)
def test_a_test_can_be_of_today_where_the_reader_is(
    browser: Browser, watch: Watch, zone: str, moment: str, days: tuple[str, str]
) -> None:
    today, tomorrow = days
    context = browser.new_context(base_url=watch.home, timezone_id=zone)
    watch.over(context)
    page = context.new_page()
    page.clock.set_fixed_time(moment)
    fill(opened(page), PLAIN | {"test.date": today})
    assert is_ready(page), wrong_fields(page)
    fill(page, {"test.date": tomorrow})
    assert wrong_fields(page) == {
        "test.date": f"{tomorrow} lies in the future: by the clock here it is {today}. Write the day of the test."
    }
    context.close()


# What is taken from a form that is right, and where it is then wrong.
REQUIRED = [
    "test.mask",
    "mask.model",
    "mask.maker",
    "mask.style",
    "mask.class",
    "mask.filter.penetration_percent",
    f"{WIRE}.name",
    f"{WIRE}.material",
    f"{WIRE}.fitting",
    f"{WIRE}.can_be_undone",
    f"{WIRE}.section.shape",
    f"{WIRE}.section.material",
    f"{WIRE}.section.width_mm",
    "test.face.wearer",
    "test.face.facial_hair",
    "test.face.length_mm",
    "test.face.width_mm",
    "test.date",
    "test.number",
    "test.result.protocol",
    "test.result.fit_factor",
    "test.contributor",
]


def test_what_must_be_there_is_asked_for(form: Page, entries: Path) -> None:
    fill(form, PLAIN)
    for name in REQUIRED:
        before = field(form, name).input_value()
        fill(form, {name: ""})
        assert not is_ready(form), name
        assert name in wrong_fields(form), name
        if "…" not in "".join(files(form)) and name != "test.mask":
            assert checked(entries, files(form)), name  # at least as planned
        fill(form, {name: before})
        assert is_ready(form), name


def tried(page: Page, answers: Answers) -> dict[str, str]:
    """Fill a form, ask for the file, and give what stands in the way."""
    fill(page, answers)
    page.get_by_role("button", name="Download").first.click()
    assert not is_ready(page)
    expect(page.locator(SUMMARY)).to_be_focused()
    return wrong_fields(page)


KNOWN: Answers = {
    "test.contributor": "grey-bench",
    "test.date": "2024-05-18",
    "test.number": "800",
    "test.result.protocol": "one-exercise",
    "test.face.facial_hair": "none",
    "test.result.fit_factor": "64",
}


def test_a_known_wearer_has_a_known_face(form: Page, demo: Dataset, entries: Path) -> None:
    faces = demo.table.drop_duplicates("wearer").set_index("wearer")
    measured = str(faces["face_length_mm"].dropna().index[0])
    only_cell = str(faces[faces["face_length_mm"].isna() & faces["cell"].str.isdigit()].index[0])
    mask = next(iter(demo.entries.masks))
    fill(form, {"test.mask": mask, **KNOWN, "test.face.wearer": measured})
    assert field(form, "test.face.length_mm").input_value() == f"{faces['face_length_mm'][measured]:g}"
    assert is_ready(form)
    fill(form, {"test.face.length_mm": "99"})
    told = wrong_fields(form)["test.face.length_mm"]
    found = checked(entries, files(form))
    (said,) = [problem for problem in found if problem.key == "face.length_mm" and problem.severity == "error"]
    here, there = said.problem.split(" in ")[0], told.split(" in ")
    assert there == [here, f"the entries. {said.remedy}"]
    assert {problem.rule for problem in found if problem.severity == "error"} == {"same-face"}

    fill(form, {"test.face.wearer": only_cell})
    assert form.locator("input[name='face.known']:checked").input_value() == "cell"
    assert is_ready(form)
    cell = int(str(faces["cell"][only_cell]))
    fill(form, {"test.face.cell": str(cell % 10 + 1)})
    assert not is_ready(form)
    assert {p.rule for p in checked(entries, files(form)) if p.severity == "error"} == {"same-face"}
    fill(form, {"test.face.wearer": "somebody-new"})
    assert field(form, "test.face.nose_bridge").input_value() == ""


def test_millimetres_lie_in_the_cell_that_is_known(form: Page, demo: Dataset, entries: Path) -> None:
    faces = demo.table.drop_duplicates("wearer").set_index("wearer")
    wearer = str(faces[faces["face_length_mm"].isna() & faces["cell"].str.isdigit()].index[0])
    fill(form, {"test.mask": next(iter(demo.entries.masks)), **KNOWN, "test.face.wearer": wearer, "face.known": "mm"})
    seen = set()
    for length, width in itertools.product((95, 98.5, 108.5, 112, 118.5, 138.5), (120.5, 132.5, 139, 144.5, 158.5)):
        fill(form, {"test.face.length_mm": str(length), "test.face.width_mm": str(width)})
        found = errors(checked(entries, files(form)))
        assert is_ready(form) == (found == []), (length, width, found)
        seen.add(is_ready(form))
    assert seen == {True, False}


def test_exercises_follow_the_protocol(form: Page, demo: Dataset) -> None:
    fill(
        form, {"test.mask": next(iter(demo.entries.masks)), **KNOWN, "face.known": "", "test.face.wearer": "blue-heron"}
    )
    fill(form, {"test.result.protocol": "eight-exercise", "result.kind": "exercise"})
    rows = form.locator(".sb-rows--exercise .sb-row")
    expect(rows).to_have_count(8)
    values = ["50", "100", "200", "400", "50", "", "100", "200"]
    fill(form, {f"test.result.exercise.{n}.fit_factor": value for n, value in enumerate(values)})
    assert is_ready(form), "the grimace may go without"
    mean = 7 / sum(1 / int(value) for value in values if value)
    expect(form.locator(".sb-contribute__overall")).to_contain_text(f"{mean:.3g}")
    fill(form, {"test.result.exercise.6.fit_factor": ""})
    assert wrong_fields(form) == {"test.result.exercise.6.fit_factor": "Missing."}
    fill(form, {"test.result.set_aside": "The hose came off."})
    assert is_ready(form), "a take that is set aside may have broken off"
    fill(form, {f"test.result.exercise.{n}.fit_factor": "" for n in range(8)})
    form.get_by_role("button", name="Download").click()
    assert "holds no number" in " ".join(wrong_fields(form).values())
    fill(form, {"test.result.protocol": "free"})
    expect(rows).to_have_count(1)
    form.get_by_role("button", name="Add an exercise").click()
    expect(rows).to_have_count(2)
    form.get_by_role("button", name="Remove row 1").click()
    expect(rows).to_have_count(1)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"counts.0.phase": "mask", "counts.2.phase": "mask"}, "needs an ambient phase"),
        ({"counts.1.exercise": "grimace"}, "other than the grimace"),
        ({"counts.0.particles": "0", "counts.2.particles": "0"}, "No particle was counted in the ambient air"),
        ({"counts.1.particles": "999999"}, "more particles in the mask than outside"),
        (
            {"counts.0.particles": "1", "counts.2.particles": "0", "counts.1.particles": "0"},
            "more particles in the mask than outside",
        ),
        ({"counts.1.exercise": "talking"}, "not those of one-exercise; missing: normal-breathing; too many: talking"),
    ],
)
def test_counts_that_give_no_fit_factor(form: Page, demo: Dataset, entries: Path, changed: Answers, words: str) -> None:
    counts = {"counts.0.particles": "4500", "counts.1.particles": "40", "counts.2.particles": "4700"} | changed
    fill(
        form, {"test.mask": next(iter(demo.entries.masks)), **KNOWN, "face.known": "", "test.face.wearer": "blue-heron"}
    )
    fill(form, {"result.kind": "counts", **{f"test.result.{key}": value for key, value in counts.items()}})
    form.get_by_role("button", name="Download").click()
    told = wrong_fields(form)["test.result.counts"]
    assert words in told
    found = [problem.problem for problem in checked(entries, files(form)) if problem.severity == "error"]
    assert any(told.startswith(problem) for problem in found), (told, found)


def test_what_the_mask_is_sold_with_is_no_change(form: Page, demo: Dataset) -> None:
    for mask, record in demo.entries.masks.items():
        field(form, "test.mask").select_option(mask)
        for slot, part in record.mask.as_sold.filled():
            values = (
                field(form, f"test.configuration.{slot}").locator("option").evaluate_all("all => all.map(o => o.value)")
            )
            assert part not in values and "none" in values
    bare = next(m for m, r in demo.entries.masks.items() if len(r.mask.as_sold.filled()) < 6)
    field(form, "test.mask").select_option(bare)
    sold = dict(demo.entries.masks[bare].mask.as_sold.filled())
    empty = next(slot for slot in ("brace", "edge", "other") if slot not in sold)
    assert field(form, f"test.configuration.{empty}").locator("option[value=none]").count() == 0


def test_ids_and_models_that_are_taken(form: Page, demo: Dataset) -> None:
    mask_id, mask = next((m, r.mask) for m, r in demo.entries.masks.items() if not r.mask.size)
    part_id = next(iter(demo.entries.parts))
    found = tried(
        form,
        PLAIN
        | {
            "mask.maker": f" {mask.maker.upper()} ",
            "mask.model": mask.model,
            "mask.id": mask_id,
            f"{WIRE}.id": part_id,
        },
    )
    assert "is here already" in found["mask.model"]
    assert "already" in found["mask.id"] and "already" in found[f"{WIRE}.id"]
    fill(form, {"mask.model": "Other", "mask.id": "", f"{WIRE}.id": "", "mask.maker": "Bench"})
    assert is_ready(form)
    fill(form, {"mask.model": "鼻", f"{WIRE}.name": "針金"})
    assert {"mask.id", f"{WIRE}.id"} <= wrong_fields(form).keys()


def test_hair_at_the_seal_sets_the_test_aside(form: Page, entries: Path) -> None:
    fill(form, PLAIN | {"test.face.facial_hair": "stubble"})
    assert is_ready(form)
    assert "will not count" in wrong_fields(form)["test.face.facial_hair"]
    texts = files(form)
    assert 'set_aside = "hair at the seal"' in next(iter(texts.values()))
    assert "hair-at-seal" not in {problem.rule for problem in checked(entries, texts)}
    fill(form, {"test.face.wearer": "anna-smith"})
    assert is_ready(form) and "looks like a name" in wrong_fields(form)["test.face.wearer"]


def test_the_summary_leads_to_the_fields(form: Page) -> None:
    form.get_by_role("button", name="Copy").click()
    summary = form.locator(SUMMARY)
    expect(summary).to_be_focused()
    links = summary.get_by_role("link")
    assert links.count() >= 6
    for _ in range(links.count()):
        form.keyboard.press("Tab")
    form.keyboard.press("Enter")
    expect(field(form, "test.contributor")).to_be_focused()
    described = field(form, "test.contributor").get_attribute("aria-describedby") or ""
    assert "Missing." in form.locator(f"[id='{described.split()[0]}']").inner_text()
    fill(form, {"test.contributor": "grey-bench"})
    assert links.filter(has_text="Your pseudonym").count() == 0
    links.first.click()
    expect(field(form, "test.mask")).to_be_focused()


def test_the_keyboard_fills_a_form(form: Page, demo: Dataset, entries: Path) -> None:
    def reach(name: str) -> None:
        for _ in range(12):
            if form.evaluate("document.activeElement.name || document.activeElement.textContent") == name:
                return
            form.keyboard.press("Tab")
        raise AssertionError(f"{name} is not reached")

    def type_day() -> None:
        # Digits that come too slowly count as two numbers, so they are looked at and typed anew.
        for _ in range(20):
            form.keyboard.type("05182024")
            if field(form, "test.date").input_value() == "2024-05-18":
                return
            field(form, "test.date").blur()
            field(form, "test.date").focus()
        raise AssertionError("the day is not taken")

    mask = demo.entries.masks[next(iter(demo.entries.masks))].mask
    field(form, "test.mask").focus()
    for name, typed in [
        ("test.mask", mask.model),
        ("test.face.wearer", "blue-heron"),
        ("test.face.facial_hair", "None"),
        ("test.date", ""),
        ("test.result.protocol", "One"),
        ("test.result.fit_factor", "64"),
        ("test.contributor", "grey-bench"),
    ]:
        reach(name)
        if name == "test.date":
            type_day()
        elif field(form, name).evaluate("one => one.tagName") == "SELECT":
            choose_by_keys(form, typed)
        else:
            form.keyboard.type(typed)
        if name == "test.face.facial_hair":
            reach("face.known")
            form.keyboard.press("ArrowRight")
            form.keyboard.press("ArrowRight")
    reach("One more donning")
    assert is_ready(form), wrong_fields(form)
    texts = files(form)
    assert tomllib.loads(next(iter(texts.values())))["result"]["fit_factor"] == 64
    assert errors(checked(entries, texts)) == []


def test_a_reload_keeps_what_was_typed(form: Page, demo: Dataset) -> None:
    answers = Draw(demo, random.Random(3)).form() | {"test.observations.notes": 'Kept "so"\nand so.'}
    fill(form, answers)
    before = files(form)
    form.reload()
    expect(form.locator(STATE)).to_have_text(READY)
    assert files(form) == before
    form.on("dialog", lambda dialog: dialog.accept())
    form.get_by_role("button", name="Start anew").click()
    assert not is_ready(form)
    assert field(form, "test.observations.notes").input_value() == ""
    form.reload()
    expect(form.locator(STATE)).not_to_be_empty()
    assert field(form, "test.contributor").input_value() == ""


def test_a_storage_that_fails_does_no_harm(context: BrowserContext) -> None:
    context.add_init_script(
        "Storage.prototype.getItem = Storage.prototype.setItem = () => { throw new Error('full'); }"
    )
    page = opened(context.new_page())
    fill(page, PLAIN)
    assert is_ready(page)


def test_what_is_kept_and_no_form_does_no_harm(page: Page) -> None:
    page.goto("404.html")
    for kept in ("not json", "[1, 2]", '{"test.mask": {"a": 1}, "test.observations.leaks": 7, "x": null}'):
        page.evaluate("(kept) => localStorage.setItem('sealbook-contribute', kept)", kept)
        opened(page)
        fill(page, PLAIN)
        assert is_ready(page), kept


def test_one_more_donning_keeps_all_but_the_result(form: Page) -> None:
    fill(form, PLAIN | {"test.observations.notes": "First.", "test.conditions.aerosol": "salt", "test.number": "2"})
    form.get_by_role("button", name="One more donning").click()
    assert next(iter(files(form))).endswith("2024-05-18-blue-heron-3.toml")
    expect(field(form, "test.result.fit_factor")).to_be_focused()
    assert not is_ready(form)
    fill(form, {"test.result.fit_factor": "71"})
    assert is_ready(form)
    fill(form, {"result.kind": "exercise"})
    form.get_by_role("button", name="One more donning").click()
    expect(field(form, "test.result.exercise.0.fit_factor")).to_be_focused()
    fill(form, {"result.kind": "overall", "test.result.fit_factor": "71"})
    text = next(iter(files(form).values()))
    assert "First." not in text and 'aerosol = "salt"' in text


def test_files_are_saved_and_copied(context: BrowserContext, form: Page) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    asked: list[str] = []
    form.on("request", lambda request: asked.append(request.url))
    fill(form, PLAIN)
    for place, (path, text) in enumerate(files(form).items()):
        with form.expect_download() as saving:
            form.get_by_role("button", name="Download").nth(place).click()
        assert saving.value.suggested_filename == Path(path).name
        assert Path(saving.value.path()).read_bytes() == text.encode()
        form.get_by_role("button", name="Copy").nth(place).click()
        expect(form.locator(".sb-contribute__note")).to_have_text(f"Copied. Save it as {path}.")
        assert form.evaluate("navigator.clipboard.readText()") == text
    assert form.get_by_role("link", name="new-file page").count() == 0, "there is no repository"
    assert [url for url in asked if not url.startswith("blob:")] == [], "nothing is sent anywhere"


def test_copying_that_is_not_allowed_selects_the_text(context: BrowserContext) -> None:
    context.add_init_script(
        "if (navigator.clipboard) navigator.clipboard.writeText = () => Promise.reject(new Error())"
    )
    page = opened(context.new_page())
    fill(page, PLAIN)
    page.get_by_role("button", name="Copy").first.click()
    expect(page.locator(".sb-contribute__note")).to_contain_text("The text is selected")
    assert page.evaluate("getSelection().toString()").strip() == next(iter(files(page).values())).strip()


def test_the_repositorys_page_is_filled_in_while_it_fits(context: BrowserContext) -> None:
    page = context.new_page()

    def with_repository(route: Any) -> None:
        body = route.fetch().text()
        route.fulfill(
            body=body.replace('data-repository=""', 'data-repository="https://repository.example/sealbook"'),
            content_type="text/html",
        )

    page.route("**/contribute/", with_repository)
    opened(page)
    link = page.get_by_role("link", name="new-file page").first
    expect(link).not_to_be_visible()
    fill(page, PLAIN | {"test.observations.notes": 'a & b = "c" #1'})
    address = link.get_attribute("href") or ""
    base, query = address.split("?")
    assert base == "https://repository.example/sealbook/new/main"
    parts = page.evaluate("query => Object.fromEntries(new URLSearchParams(query))", query)
    assert parts == dict(zip(("filename", "value"), next(iter(files(page).items())), strict=True))
    fill(page, {"test.observations.notes": "ü" * 2000})
    assert "value=" not in (link.get_attribute("href") or "")


def test_every_key_of_an_entry_is_asked_for(form: Page) -> None:
    missing = form.evaluate(
        """async (scripts) => {
            const from = (name) => import(`${scripts}/${name}.js`);
            const { layoutOf, questionsIn } = await from("layout");
            const { fieldAt } = await from("schema");
            const known = await (await fetch("form.json")).json();
            const asked = new Set(questionsIn(layoutOf(known)).map(({ name }) => name));
            const keys = (schema, path) => Object.keys(fieldAt(schema, path).properties).flatMap((key) => {
                const kind = fieldAt(schema, [...path, key]).kind;
                if (kind === "table") return keys(schema, [...path, key]);
                return kind === "tables" ? [] : [[...path, key].join(".")];
            });
            const part = "part.test.configuration.nose-wire";
            const all = Object.entries({ test: "test", mask: "mask", part }).flatMap(([kind, name]) =>
                keys(known.schemas[kind], []).map((key) => `${name}.${key}`));
            return all.filter((name) => !asked.has(name));
        }""",
        SCRIPTS,
    )
    # The form is for real tests, and a part's slot is the one it was asked for in.
    assert sorted(missing) == sorted(
        ["test.source.invented", "mask.source.invented", f"{WIRE}.source.invented", f"{WIRE}.slot"]
    )


def in_browser(page: Page, records: list[dict[str, Any]]) -> list[str]:
    texts: list[str] = page.evaluate(
        """async ([scripts, records]) => {
            const { toToml } = await import(`${scripts}/toml.js`);
            const day = (text) => new Date(`${text}T00:00:00Z`);
            const dated = (record) => (record.date ? { ...record, date: day(record.date) } : record);
            return records.map((record) => toToml("schema", dated(record)));
        }""",
        [SCRIPTS, records],
    )
    return texts


def test_toml_is_the_builders_to_the_letter(form: Page) -> None:
    @WITHIN_A_PAGE
    @given(st.lists(MASKS | PARTS | TESTS, min_size=4, max_size=4))
    def same(records: list[Mask | Part | Test]) -> None:
        dumped = [record.model_dump(by_alias=True, exclude_defaults=True, mode="json") for record in records]
        expected = [re.sub(r"^#:schema \S+", "#:schema schema", to_toml(record)) for record in records]
        assert in_browser(form, dumped) == expected

    same()


def test_lists_are_folded_at_the_builders_width(form: Page) -> None:
    """Around the limit, in characters: one of those below is two units to a script."""
    parts = [
        Part(name="x", slot=Slot.EDGE, material="x", fitting="x", can_be_undone=True, cautions=cautions)
        for long in range(WIDTH - 6, WIDTH)
        for cautions in (("c" * long,), ("😷" * long,), ("c", "c" * (long - 5)))
    ]
    expected = [to_toml(part).partition("\n")[2] for part in parts]
    dumped = [part.model_dump(by_alias=True, exclude_defaults=True, mode="json") for part in parts]
    assert [text.partition("\n")[2] for text in in_browser(form, dumped)] == expected
    assert {'cautions = ["' in text for text in expected} == {True, False}


def test_any_text_reads_back(form: Page) -> None:
    @WITHIN_A_PAGE
    @given(st.text(), st.lists(st.text(), min_size=1))
    def reads_back(text: str, several: list[str]) -> None:
        assert tomllib.loads(in_browser(form, [{"text": text, "list": several}])[0]) == {"text": text, "list": several}

    reads_back()


def test_the_overall_value_is_the_builders(form: Page) -> None:
    chance = random.Random(5)
    drawn = [drawn_result(chance) for _ in range(300)]
    found = form.evaluate(
        """async ([scripts, results]) => {
            const { overallOf } = await import(`${scripts}/overall.js`);
            return results.map((result) => { try { return overallOf(result); } catch { return null; } });
        }""",
        [SCRIPTS, drawn],
    )
    outcomes: Counter[str] = Counter()
    for result, mine in zip(drawn, found, strict=True):
        try:
            reading = overall(Result.model_validate(result))
        except ValueError:
            assert mine is None, result
            outcomes["none"] += 1
            continue
        if reading.fit_factor < 1:
            assert mine is None, result
            outcomes["below 1"] += 1
            continue
        assert mine["fitFactor"] == pytest.approx(reading.fit_factor, rel=1e-12), result
        assert mine["atLeast"] == reading.at_least
        outcomes["at least" if reading.at_least else "exact"] += 1
    assert min(outcomes[kind] for kind in ("none", "below 1", "at least", "exact")) > 5


def drawn_result(chance: random.Random) -> dict[str, Any]:
    names = [exercise.value for exercise in Exercise]
    if chance.random() < 0.3:
        exercises = [
            {"name": chance.choice(names), "fit_factor": chance.uniform(1, 500), "at_least": chance.random() < 0.2}
            for _ in range(5)
        ]
        return {"protocol": "free", "exercise": exercises}
    measure = chance.choice(["particles", "particles", "concentration"])
    rare = chance.random() < 0.5
    counts: list[dict[str, Any]] = []
    for _ in range(chance.randint(1, 9)):
        ambient = chance.random() < 0.4
        stretch = {"phase": "ambient"} if ambient else {"phase": "mask", "exercise": chance.choice(names)}
        value = chance.choice([0, 1, 2000]) if ambient else chance.choice([0, 0, 1] if rare else [0, 3, 40, 5000])
        counts.append(stretch | {"seconds": chance.choice([5, 30, 60.5]), measure: value})
    return {"protocol": "free", "counts": counts}


@pytest.mark.parametrize(("width", "colours"), [(1280, "light"), (390, "dark")])
def test_axe_finds_nothing_in_a_form_full_of_mistakes(form: Page, width: int, colours: str) -> None:
    form.set_viewport_size({"width": width, "height": 900})
    form.emulate_media(color_scheme=colours)  # type: ignore[arg-type]
    fill(
        form,
        {
            "test.mask": NEW,
            "mask.as_sold.edge": NEW,
            "test.configuration.nose-wire": NEW,
            f"{WIRE}.section.shape": "round",
        },
    )
    fill(form, {"test.result.protocol": "free", "result.kind": "exercise", "test.face.length_mm": "1"})
    form.get_by_role("button", name="Download").first.click()
    assert axe(form) == []
    assert form.evaluate("document.documentElement.scrollWidth") <= width
    fill(form, {"result.kind": "counts"})
    assert axe(form) == []
    assert form.evaluate("document.documentElement.scrollWidth") <= width


def test_without_scripts_the_page_says_what_to_do(browser: Browser, site_url: str, watch: Watch) -> None:
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    watch.over(context)
    page = context.new_page()
    page.goto("contribute/")
    expect(page.locator(".sb-contribute")).to_contain_text("The form needs scripts.")
    expect(page.get_by_role("heading", name="Or write it by hand")).to_be_visible()
    context.close()


def test_a_form_that_cannot_be_loaded_says_so(page: Page, watch: Watch) -> None:
    page.route("**/form.json", lambda route: route.abort())
    page.goto("contribute/")
    expect(page.locator(".sb-contribute__bare")).to_contain_text("could not be loaded")
    page.goto("about:blank")  # so that no fault comes after these are cleared
    watch.faults.clear()
