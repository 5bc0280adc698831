"""`sealbook hacks`: what a part did, in words and as JSON, and plain words where nobody knows."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.findings.dataset import Dataset
from builder.words.effects import heterogeneity_words
from tests.conftest import ROOT
from tests.pages.test_compare_page import PART, TEST, written

FIGURES = ["mean_ratio", "low95", "high95", "predict_low95", "predict_high95", "tau"]
KEYS = [
    *("part", "slot", "contrasts", *FIGURES, "k", "limits", "chance_helps"),
    *("predict_new_mask_low95", "predict_new_mask_high95", "chance_helps_new_mask", "bound"),
    *("between_masks", "between_wearers", "between_faces", "rest", "heterogeneity"),
]
SPREADS = ["between_masks", "between_wearers", "between_faces", "rest"]
CONTRAST = [
    *("wearer", "facial_hair", "mask", "backgrounds", "ratio", "low95", "high95"),
    *("n_with", "n_without", "bound", "variance", "method", "method_factor"),
]


def fitted(part: str, wearer: str, fit_factor: float, mask: str = "plain", more: str = "") -> dict[str, str]:
    """A test of a mask with a part at the edge, or as sold."""
    changed = f'edge = "{part}"' if part else ""
    day = 6 if part else 7
    text = TEST.format(
        mask=mask, day=day, wearer=wearer, fit_factor=fit_factor, changed=changed, hair="none", more=more
    )
    return {f"tests/{mask}/2024-03-0{day}-{wearer}-1.toml": text}


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Head bands with a limit on one face, foam on two faces, a strip on one, a seam on none with and without."""
    root = written(tmp_path_factory.mktemp("entries"))
    files = {
        "parts/foam.toml": PART.format(name="=HYPERLINK(<b>Foam</b>)", slot="edge"),
        "parts/strip.toml": PART.format(name="Strip", slot="edge"),
        "parts/rim.toml": PART.format(name="Rim", slot="edge"),
        "parts/seam.toml": PART.format(name="Seam", slot="edge"),
        **fitted("foam", "ben", 270),
        **fitted("foam", "cid", 60),
        **fitted("strip", "ann", 122, "other"),
        **fitted("rim", "cid", 244, "other", "at_least = true"),
        **fitted("", "cid", 61, "other"),
        **fitted("seam", "dov", 80),
    }
    for path, text in files.items():
        (root / path).write_text(text)
    return root


def sealbook(entries: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["hacks", *arguments, "--entries", str(entries)])


def as_json(entries: Path, *arguments: str) -> Any:
    result = sealbook(entries, *arguments, "--format", "json")
    assert result.exit_code == 0
    return json.loads(result.stdout, parse_constant=pytest.fail)


def test_text_says_what_each_part_did_and_on_whom(entries: Path) -> None:
    result = sealbook(entries)
    assert result.exit_code == 0
    # By the likelihood of 40 and 52 without, 150 and at least 200 with; of 3 and 2 the mean is drawn towards 1.
    assert result.stdout == (
        "band: ×4.98 [×0.92 to ×28.6] on ann and plain alone (95 % interval in brackets): one face is no rule.\n"
        "By mask and wearer, with 95 % intervals in brackets:\n"
        "  plain, ann  ×4.98 [×0.92 to ×28.6]  (2 donnings with, 2 without)\n"
        "\n"
        "foam: on average ×1.79 (95 % ×0.451 to ×6.74), over 2 comparisons on 2 faces and 1 mask.\n"
        "On a new face expect ×0.368 to ×9.74 with this mask, and ×0.231 to ×12.4 with a mask that nobody tried it on "
        "(95 %); of new faces it helps about 8 of 10, and 7 to 8 of 10 with such a mask. "
        "The effect may differ between faces or not: too few to say; its SD between faces is ×1.1 to ×2.89 (95 %).\n"
        "By mask and wearer, with 95 % intervals in brackets:\n"
        "  plain, ben  ×3 [×0.268 to ×33.6]  (1 donning with, 1 without)\n"
        "  plain, cid  ×2 [×0.179 to ×22.4]  (1 donning with, 1 without)\n"
        "\n"
        "rim: only a limit is known, from 1 comparison on 1 face.\n"
        "By mask and wearer, with 95 % intervals in brackets:\n"
        "  other, cid  at least ×4 [×0.377 or more]  (1 donning with, 1 without)\n"
        "\n"
        "seam: nobody has tried it with and without on the same face, so its effect is not known.\n"
        "\n"
        "strip: ×2 [×0.194 to ×20.6] on ann and other alone (95 % interval in brackets): one face is no rule.\n"
        "By mask and wearer, with 95 % intervals in brackets:\n"
        "  other, ann  ×2 [×0.194 to ×20.6]  (1 donning with, 1 without)\n"
    )


def test_one_part_alone(entries: Path) -> None:
    every = sealbook(entries).stdout.split("\n\n")
    assert sealbook(entries, "foam").stdout == every[1] + "\n"
    assert as_json(entries, "foam") == [one for one in as_json(entries) if one["part"] == "foam"]


def test_the_longest_name_sets_where_the_ratios_stand(demo: Dataset) -> None:
    lines = sealbook(ROOT / "entries", "edge-tape").stdout.splitlines()
    rows = [line for line in lines if line.startswith("  ")]
    names = [f"{contrast.mask}, {contrast.wearer}" for contrast in demo.hacks["edge-tape"].contrasts]
    width = max(map(len, names))
    assert len({len(name) for name in names}) > 1
    assert [row[: width + 4] for row in rows] == [f"  {name:{width}}  " for name in names]


def test_json_holds_the_figures_of_every_part(demo: Dataset) -> None:
    printed = as_json(ROOT / "entries")
    assert [one["part"] for one in printed] == list(demo.hacks)
    for one, effect in zip(printed, demo.hacks.values(), strict=True):
        assert list(one) == KEYS
        for key in set(KEYS) - {"contrasts", *SPREADS}:
            expected = heterogeneity_words(effect) if key == "heterogeneity" else getattr(effect, key)
            assert one[key] == expected
        for key in SPREADS:
            spread = getattr(effect, key)
            assert one[key] == (None if spread is None else asdict(spread))
        for row, contrast in zip(one["contrasts"], effect.contrasts, strict=True):
            assert list(row) == CONTRAST
            assert tuple(row.pop("backgrounds")) == contrast.backgrounds
            assert row == {key: getattr(contrast, key) for key in row}


def test_what_bounds_nothing_is_null_in_json(entries: Path) -> None:
    band, foam, rim, seam, strip = as_json(entries)
    assert [(one["part"], one["k"], one["limits"]) for one in (band, foam, rim, seam, strip)] == [
        ("band", 1, 0),
        ("foam", 2, 0),
        ("rim", 0, 1),
        ("seam", 0, 0),
        ("strip", 1, 0),
    ]
    (limit,) = rim["contrasts"]
    assert (limit["bound"], limit["backgrounds"], limit["high95"]) == ("at_least", ["other"], None)
    assert (seam["slot"], seam["contrasts"]) == ("edge", [])
    for one in (band, rim, seam, strip):
        assert {one[key] for key in (*FIGURES, "chance_helps", "heterogeneity")} == {None}


@pytest.mark.parametrize("form", ["text", "json"])
def test_names_from_entries_are_not_printed(entries: Path, form: str) -> None:
    printed = sealbook(entries, "--format", form).stdout
    assert "foam" in printed
    assert "HYPERLINK" not in printed and "<" not in printed


@pytest.mark.parametrize(
    ("part", "says"),
    [
        ("bands", "No test that counts has bands fitted. Did you mean band?"),
        ("seem", "No test that counts has seem fitted. Did you mean seam?"),
        ("foems", "No test that counts has foems fitted. Did you mean foam?"),
        ("=1+1", "No test that counts has =1+1 fitted. Known are band, foam, rim, seam, strip."),
        # Set aside whenever it was fitted, and never changed to.
        ("tape", "No test that counts has tape fitted. Known are band, foam, rim, seam, strip."),
        ("loops", "No test that counts has loops fitted. Known are band, foam, rim, seam, strip."),
    ],
)
def test_a_part_that_nobody_tried_is_wrong_usage(entries: Path, part: str, says: str) -> None:
    result = sealbook(entries, part)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.splitlines()[-1] == f"Error: {says}"


def test_several_near_names(demo: Dataset) -> None:
    result = sealbook(ROOT / "entries", "broad-strp")
    assert result.stderr.splitlines()[-1] == (
        "Error: No test that counts has broad-strp fitted. Did you mean broad-strip or foam-strip?"
    )


def test_without_entries_it_says_so(tmp_path: Path) -> None:
    assert sealbook(tmp_path).stdout == "No changed mask has been tested yet.\n"
    assert as_json(tmp_path) == []
    result = sealbook(tmp_path, "foam")
    assert result.exit_code == 2
    assert result.stderr.splitlines()[-1] == "Error: No test that counts has foam fitted. Known are none."


def test_entries_with_an_error_are_not_summed_up(tmp_path: Path) -> None:
    (tmp_path / "masks").mkdir()
    (tmp_path / "masks" / "plain.toml").write_text('model = "Plain"\n')
    result = sealbook(tmp_path)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "masks/plain.toml" in result.stderr


def test_narrowed_to_a_method_every_comparison_is_of_it(demo: Dataset) -> None:
    method = "short-four-exercise.condensation-counter.all-sizes"
    arguments = ["hacks", "broad-strip", "--entries", str(ROOT / "entries"), "--method", method]
    (narrowed,) = json.loads(CliRunner().invoke(main, [*arguments, "--format", "json"]).stdout)
    expected = demo.by_method[method].hacks["broad-strip"]
    assert narrowed["mean_ratio"] == expected.mean_ratio
    assert len(narrowed["contrasts"]) == len(expected.contrasts) < len(demo.hacks["broad-strip"].contrasts)
    assert CliRunner().invoke(main, arguments).stderr.startswith("Only what was measured by Short, four exercises · ")
