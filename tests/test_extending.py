"""What else has to be told of something new: a test a place, whose message names the file to touch.

DEVELOPERS.md, "Where to add what", lists the extensions; where a place follows from another by itself nothing is
tested here but that it does.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tomllib
from inspect import getmembers, isclass
from pathlib import Path

import pytest

from builder.cli import VERBS
from builder.demo.loggers import LOGGERS
from builder.findings.dataset import Dataset
from builder.findings.open_tables import FOLLOWING, SUMMARY_COLUMNS, open_tables
from builder.findings.table import COLUMNS, SLOT_COLUMNS
from builder.fit.summary.summaries import FIGURES
from builder.records import vocabulary
from builder.records.all_rules import ALL_RULES
from builder.records.circumstances import Specimen
from builder.records.entry_keys import fields_of, values_of
from builder.records.kept_addresses import Removed
from builder.records.models import Mask, Part, Picture, Slots, Test
from builder.records.problems import dotted
from builder.records.schemas import FOLDER, schema
from builder.records.vocabulary import PROTOCOL_TIMES, Protocol, Slot, Word
from builder.site.contribute_form import form
from builder.site.fragments import filled, word_lists
from builder.site.kinds import PAGE_KINDS, Publication
from builder.site.published import Renderer
from builder.words.labels import part_label
from tests.conftest import ROOT
from tests.findings.test_table import ROW
from tests.records import samples
from tests.records.test_checking import BROKEN, RULES_WITH_TEST

PAGES = ROOT / "site_src" / "pages"
SCRIPTS = PAGES / "assets" / "scripts" / "contribute"
BUILDER = ROOT / "builder"
KINDS: dict[str, type[Mask | Part | Test]] = {"mask": Mask, "part": Part, "test": Test}
WORDS = [kind for _, kind in getmembers(vocabulary, isclass) if issubclass(kind, Word) and kind is not Word]


def text(path: Path) -> str:
    return path.read_text("utf-8")


def forgotten(*places: tuple[bool, str]) -> list[str]:
    """What is said of the places that do not know a new thing, so that all are named at once."""
    return [said for known, said in places if not known]


def contribute_page(data: Dataset) -> str:
    return filled(text(PAGES / "contribute.md"), Renderer(data), 1)


# A word


@pytest.mark.parametrize("words", WORDS, ids=lambda words: words.__name__)
def test_a_word_is_labelled_and_shown(words: type[Word], demo: Dataset) -> None:
    assert words in {kind for _, kind in word_lists()}, (
        f"no key of builder/records/models.py holds a {words.__name__}, so no entry can use it and no list shows it"
    )
    page = contribute_page(demo)
    for word in words:
        assert word.label, f"builder/records/vocabulary.py gives {words.__name__}.{word.name} no label"
        assert word.meaning, f"builder/records/vocabulary.py gives {words.__name__}.{word.name} no meaning"
        row = f"<code>{word.value}</code></th><td>{word.label}</td>"
        assert row in page, f"builder/site/templates/fragment-words.html does not show {word.value}"


# A slot


@pytest.mark.parametrize("slot", Slot)
def test_a_slot_is_known_everywhere(slot: Slot, demo: Dataset) -> None:
    keys = {info.alias for info in Slots.model_fields.values()}
    asked = form(demo)["slots"]
    assert not forgotten(
        (slot.value in keys, "builder/records/models.py makes Slots from the vocabulary"),
        (slot.column in COLUMNS and slot.column in SLOT_COLUMNS, "builder/findings/table.py makes a column a slot"),
        ([slot.value, slot.label] in asked, "builder/site/contribute_form.py gives the form the slots"),
        (part_label(demo, f"no-{slot}") == f"no {slot.label.lower()}", "builder/words/labels.py names what is gone"),
    )


def test_a_new_slot_needs_the_vocabulary_alone(tmp_path: Path) -> None:
    """With a slot more the checker, the science and the export know it; nothing is credited to its neighbour."""
    copy = tmp_path / "builder"
    shutil.copytree(BUILDER, copy, ignore=shutil.ignore_patterns("__pycache__"))
    words = copy / "records" / "vocabulary.py"
    last = re.search(r"^class Slot.*?(    OTHER = .*?\n)", text(words), re.DOTALL | re.MULTILINE)
    assert last is not None
    new = '    SPARE = "spare-slot", "Spare slot", "One that no part fills."\n'
    words.write_text(text(words)[: last.start(1)] + new + text(words)[last.start(1) :], "utf-8")
    entries = tmp_path / "entries"
    for wearer in ("blue-heron", "red-kite", "grey-owl"):
        for number, (changed, reading) in enumerate(
            (("", 20), ('nose-foam = "none"\nspare-slot = "pad"', 160)), start=1
        ):
            take = samples.TEST.replace("blue-heron", wearer).replace('nose-foam = "none"', changed)
            head, _, rest = take.partition("\n[[result.exercise]]")
            take = f"{head}fit_factor = {reading}\n\n[conditions]{rest.partition('[conditions]')[2]}"
            samples.write(entries, {f"tests/drum-cup/2026-09-12-{wearer}-{number}.toml": take})
    pad = samples.PART.replace("Thin foam", "Pad").replace('slot = "nose-foam"', 'slot = "spare-slot"')
    samples.write(entries, {"parts/pad.toml": pad})
    (entries / samples.TEST_PATH).write_text(
        text(entries / samples.TEST_PATH.replace("blue-heron", "red-kite")).replace("red-kite", "blue-heron"), "utf-8"
    )

    def sealbook(*arguments: str) -> str:
        command = [sys.executable, "-m", "builder", *arguments, "--entries", str(entries)]
        done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False, env={"PATH": ""})
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    sealbook("check")
    nobody = "nobody has tried it with and without on the same face, so its effect is not known."
    assert sealbook("hacks") == f"no-nose-foam: {nobody}\n\npad: {nobody}\n"
    sealbook("export", str(tmp_path / "open"))
    head, *rows = text(tmp_path / "open" / "tests.csv").splitlines()
    place = head.split(",").index("spare_slot")
    assert [row.split(",")[place] for row in rows] == ["", "pad"] * 3


# A protocol

UNTIMED = {Protocol.FREE: "any list of exercises, each as long as it takes"}
NOT_IN_DEMO = {Protocol.FREE: "nobody at the invented bench makes up exercises"}


@pytest.mark.parametrize("protocol", Protocol)
def test_a_protocol_is_known_everywhere(protocol: Protocol) -> None:
    used = protocol in {logger.protocol for logger in LOGGERS}
    assert not forgotten(
        (
            (protocol in PROTOCOL_TIMES) != (protocol in UNTIMED),
            "PROTOCOL_TIMES in builder/records/vocabulary.py has its times; or UNTIMED here says why not",
        ),
        (
            used != (protocol in NOT_IN_DEMO),
            "one of LOGGERS in builder/demo/loggers.py measures by it; or NOT_IN_DEMO here says why not",
        ),
        (f'"{protocol}"' in text(FOLDER / "test.schema.json"), "python -m builder.records.schemas writes it down"),
    )


# A key of an entry

NOT_IN_GUIDE = {
    "source.invented": "real tests leave it out",
    **{f"configuration.{slot}": "one slot stands for all, which the list of words names" for slot in Slot},
}
NOT_COPIED = {
    "mask.source.link": "invented records have no address",
    "mask.class_name": "every mask of the demo is of a class that has a word",
    "part.source.link": "invented records have no address",
    **{f"mask.as_sold.{slot}": "one slot stands for all" for slot in Slot},
    "part.notes": "no part in the demo needs one",
    **{
        f"{kind}.picture.{key}": "the demo has no photographs"
        for kind in ("mask", "part")
        for key in Picture.model_fields
    },
}
COLUMN_OF = {
    "face.length_mm": "face_length_mm",
    "face.width_mm": "face_width_mm",
    "result.exercise.fit_factor": "fit_factor",
    "result.exercise.at_least": "at_least",
    "result.counts.particles": "counting_sd",
    **{f"specimen.{key}": f"specimen_{key}" for key in Specimen.model_fields},
    **{f"configuration.{slot}": slot.column for slot in Slot},
}
NOT_IN_OPEN_DATA = {
    "result.exercise.name": "the overall value is published; the exercises stand on the mask's page",
    "result.counts.phase": "counts go into fit_factor and counting_sd",
    "result.counts.exercise": "counts go into fit_factor and counting_sd",
    "result.counts.seconds": "counts go into fit_factor and counting_sd",
    "result.counts.concentration": "counts go into fit_factor",
}
NOT_IN_FORM = {
    "test.source.invented": "the form is for real tests",
    "mask.source.invented": "the form is for real masks",
    "part.source.invented": "the form is for real parts",
    "part.slot": "a part is asked for in its slot",
    **{
        f"{kind}.picture.{key}": "a form of text has no pictures"
        for kind in ("mask", "part")
        for key in Picture.model_fields
    },
}


@pytest.mark.parametrize("path", values_of(Test))
def test_a_key_of_a_test_is_in_the_guide(path: str) -> None:
    named = re.search(rf"\b{path.rpartition('.')[2]}\b", text(PAGES / "contribute.md")) is not None
    assert named or path in NOT_IN_GUIDE, (
        f"site_src/pages/contribute.md does not say how {path} is written; or say in NOT_IN_GUIDE here why not"
    )


def test_the_guide_shows_a_test_that_passes() -> None:
    blocks = re.findall(r"```toml\n(.*?)```", text(PAGES / "contribute.md"), re.DOTALL)
    first = re.sub(r"\b[A-Z]+(-[A-Z]+)+\b", lambda found: found[0].lower(), blocks[0])
    Test.model_validate(tomllib.loads(first))
    (listed,) = (block for block in blocks if "[[removed]]" in block)
    Removed.model_validate(
        tomllib.loads(listed.replace("MASK-ID", "mask-id").replace("YOUR-PSEUDONYM", "your-pseudonym"))
    )
    (pictured,) = (block for block in blocks if "[[picture]]" in block)
    for picture in tomllib.loads(pictured.replace("MASK-ID", "mask-id").replace("PART-ID", "part-id"))["picture"]:
        Picture.model_validate(picture)


@pytest.mark.parametrize("kind", ["mask", "part"])
def test_a_key_of_a_mask_or_part_can_be_copied(kind: str) -> None:
    """The guide says to copy a committed file."""
    shown = "\n".join(text(path) for path in sorted((ROOT / "entries" / f"{kind}s").glob("*.toml")))
    for path in values_of(KINDS[kind]):
        named = re.search(rf"^{path.rpartition('.')[2]} = ", shown, re.MULTILINE) is not None
        assert named or f"{kind}.{path}" in NOT_COPIED, (
            f"no file in entries/{kind}s has {path}: let builder/demo write it; or say in NOT_COPIED here why not"
        )


@pytest.mark.parametrize("path", values_of(Test))
def test_a_key_of_a_test_is_in_the_open_data(path: str) -> None:
    column = COLUMN_OF.get(path, path.rpartition(".")[2])
    assert column in COLUMNS or path in NOT_IN_OPEN_DATA, (
        f"no column in COLUMNS of builder/findings/table.py holds {path}; name it in COLUMN_OF here if it has another "
        "name, or say in NOT_IN_OPEN_DATA why none does"
    )


@pytest.mark.parametrize("kind, path", [(kind, path) for kind, model in KINDS.items() for path in values_of(model)])
def test_a_key_is_in_form_schema_and_commands(kind: str, path: str) -> None:
    table, _, name = path.rpartition(".")
    layout = text(SCRIPTS / "layout.js") + text(SCRIPTS / "parts.js")
    rows = "exercise", "counts", "picture"
    asked = (
        f'"{kind}.{table}"' in layout
        if table.rpartition(".")[2] in rows or table in ("as_sold", "configuration")
        else f"`${{name}}.{path}`" in layout
        if kind == "part"
        else f'"{kind}.{path}"' in layout
    )
    assert asked or f"{kind}.{path}" in NOT_IN_FORM, (
        f"site_src/pages/assets/scripts/contribute/ does not ask for {kind}.{path} (layout.js, parts.js); "
        "or say in NOT_IN_FORM here why not"
    )
    assert f'"{name}"' in str(schema(KINDS[kind])).replace("'", '"'), "builder/records/schemas.py shows every key"
    options = {dotted(field.path) for field in fields_of(KINDS[kind])}
    assert path in options or table.rpartition(".")[2] in rows, (
        "builder/records/entry_keys.py makes an option of `new` and a column of `add` from every key"
    )


# A rule


@pytest.mark.parametrize("rule", [rule.name for rule in ALL_RULES])
def test_a_rule_has_a_fixture(rule: str) -> None:
    assert (BROKEN / rule / "expected.txt").is_file() or rule in RULES_WITH_TEST, (
        f"tests/broken/{rule}/ has no entries that break it, with what is said of them in expected.txt"
    )


# A column, a figure


@pytest.mark.parametrize("column", COLUMNS)
def test_a_column_has_a_meaning_and_is_published(column: str, demo: Dataset) -> None:
    declared = COLUMNS[column]
    assert not forgotten(
        (declared.meaning.endswith("."), "COLUMNS in builder/findings/table.py says in a sentence what it holds"),
        (declared.of is not None or column == "counted", "COLUMNS in builder/findings/table.py says how it is read"),
        (
            (column in open_tables(demo)[0].columns) != (column in FOLLOWING),
            "builder/findings/open_tables.py publishes every column; or FOLLOWING there says that others tell it",
        ),
        (column in ROW, "ROW in tests/findings/test_table.py says what a full test has in it"),
    )


@pytest.mark.parametrize("figure", FIGURES)
def test_a_figure_of_the_summary_has_a_meaning(figure: str) -> None:
    assert figure in SUMMARY_COLUMNS, f"SUMMARY_COLUMNS in builder/findings/open_tables.py does not explain {figure}"


# A page


@pytest.mark.parametrize("kind", PAGE_KINDS, ids=lambda kind: kind.name)
def test_a_kind_of_page_is_looked_at(kind: object, demo: Dataset) -> None:
    chosen = next(one for one in PAGE_KINDS if one is kind)
    addresses = {page.address for page in chosen.pages(Publication(demo, Renderer(demo)))}
    assert not addresses or addresses & set(chosen.examples(demo)), (
        f"PAGE_KINDS in builder/site/kinds.py gives no example of “{chosen.name}”, so no browser test opens one"
    )


def test_a_module_of_pages_is_a_kind() -> None:
    kinds = text(BUILDER / "site" / "kinds.py")
    for path in sorted((BUILDER / "site").glob("*_page*.py")):
        assert f"{path.stem}." in kinds, f"PAGE_KINDS in builder/site/kinds.py does not publish {path.name}"


def test_a_template_is_used() -> None:
    places = [*BUILDER.rglob("*.py"), *(BUILDER / "site" / "templates").glob("*.html")]
    used = "\n".join(text(path) for path in places)
    marks = "\n".join(text(path) for path in PAGES.glob("*.md"))
    for template in sorted((BUILDER / "site" / "templates").glob("*.html")):
        fragment = template.stem.removeprefix("fragment-")
        there = f"<!-- sealbook: {fragment} -->" in marks if fragment != template.stem else f'"{template.name}"' in used
        assert there, f"nothing uses builder/site/templates/{template.name}"


# A verb


@pytest.mark.parametrize("verb", VERBS)
def test_a_verb_is_tested_and_in_the_readme(verb: str) -> None:
    assert (ROOT / "tests" / "commands" / f"test_{verb}.py").is_file(), f"there is no tests/commands/test_{verb}.py"
    assert re.search(rf"^\| `{verb}\b", text(ROOT / "README.md"), re.MULTILINE), (
        f"the table of verbs in README.md has no row of `{verb}`"
    )


def test_a_module_with_a_verb_is_in_the_command() -> None:
    targets = {verb.target.partition(":")[0] for verb in VERBS.values()}
    for path in sorted((BUILDER / "commands").glob("*.py")):
        made = re.search(r"^@click\.(command|group)", text(path), re.MULTILINE)
        assert not made or f"builder.commands.{path.stem}" in targets, (
            f"VERBS in builder/cli.py has no line for builder/commands/{path.name}"
        )


# A vendored library


@pytest.mark.parametrize("folder", ["site_src/pages/assets/vendor", "tests/browser/vendor"])
def test_a_vendored_library_has_licence_and_line(folder: str) -> None:
    for library in sorted(path for path in (ROOT / folder).iterdir() if path.is_dir()):
        assert (library / "LICENSE").is_file(), f"{folder}/{library.name}/LICENSE is missing"
        assert f"| {library.name} |" in text(ROOT / folder / "README.md"), f"{folder}/README.md does not name it"
