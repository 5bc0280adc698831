"""`sealbook compare`: what it prints and how it ends."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.cli import main
from builder.findings.dataset import Dataset
from builder.fit.compare.two_configurations import compare
from tests.conftest import FIXTURE_KEPT, ROOT
from tests.pages.test_compare_page import TEST, _test, written

JUDGEMENT = [
    "a",
    "b",
    "ratio",
    "low90",
    "high90",
    "low99",
    "high99",
    "bound",
    "verdict",
    "direction",
    "donnings_needed",
]
KEYS = [*JUDGEMENT, "wearers", "scatter_gsd", "scatter_df"]


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = written(tmp_path_factory.mktemp("entries"))
    limit = _test(6, "ann", 400, mask="other", changed='straps = "band"', more="at_least = true")
    (root / "tests/other/2024-03-06-ann-1.toml").write_text(limit)
    return root


def sealbook(entries: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["compare", *arguments, "--entries", str(entries)])


def strictly(text: str) -> Any:
    """Read JSON, refusing the NaN and Infinity that Python would accept."""

    def refuse(name: str) -> None:
        raise ValueError(f"{name} is no JSON")

    return json.loads(text, parse_constant=refuse)


def test_json_holds_the_figures_in_order(demo: Dataset) -> None:
    pairs = [("brodipim", "brodipim+loop-clip"), ("skevuthar", "skevuthar+crossed-band+broad-strip+foam-strip")]
    for a, b in pairs:
        result = sealbook(ROOT / "entries", a, b, "--format", "json")
        assert result.exit_code == 0
        printed = strictly(result.stdout)
        assert list(printed)[: len(KEYS)] == KEYS
        expected = compare(demo.measured_arms, a, b)
        assert {key: printed[key] for key in JUDGEMENT} == {key: getattr(expected, key) for key in JUDGEMENT}
        assert len(printed["wearers"]) == len(expected.wearers) > 0
        for row, contrast in zip(printed["wearers"], expected.wearers, strict=True):
            assert list(row) == [*JUDGEMENT, "wearer", "n_a", "n_b", "facial_hair", "donnings_for_seen", "method"]
            own = [key for key in row if key not in {"a", "b"}]
            assert {key: row[key] for key in own} == {key: getattr(contrast, key) for key in own}
        assert printed["scatter_gsd"] == demo.scatter.gsd
        assert printed["scatter_df"] == demo.scatter.stranger.df


def test_parts_may_stand_in_any_order() -> None:
    entries = ROOT / "entries"
    written = sealbook(entries, "skevuthar", "skevuthar+foam-strip+crossed-band + broad-strip", "--format", "json")
    ordered = sealbook(entries, "skevuthar", "skevuthar+crossed-band+broad-strip+foam-strip", "--format", "json")
    assert written.exit_code == 0
    assert written.stdout == ordered.stdout
    same = sealbook(entries, "skevuthar+broad-strip+crossed-band", "skevuthar+crossed-band+broad-strip")
    assert "A and B are the same configuration." in same.output
    unknown = sealbook(entries, "skevuthar", "skevuthar+broad-strip+crosed-band")
    assert "There is no configuration skevuthar+broad-strip+crosed-band in these entries." in unknown.output


def test_limits_are_null_in_json(entries: Path) -> None:
    printed = strictly(sealbook(entries, "other", "other+band", "--format", "json").stdout)
    assert printed["bound"] == "at_least"
    assert printed["high90"] is printed["high99"] is None
    assert printed["low99"] < printed["low90"] < printed["ratio"]


def test_text_gives_the_verdict_first_then_the_ratio_and_a_line_a_wearer(demo: Dataset) -> None:
    result = sealbook(ROOT / "entries", "brodipim", "brodipim+loop-clip")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0].startswith(("Clear: with Clip", "Likely: with Clip", "Cannot tell: with Clip", "Alike: with Clip"))
    assert lines[2].startswith("Fit factor of brodipim+loop-clip over that of brodipim: ×")
    found = compare(demo.measured_arms, "brodipim", "brodipim+loop-clip")
    assert [line.split()[0] for line in lines[-len(found.wearers) :]] == [c.wearer for c in found.wearers]


def test_one_wearer_alone(entries: Path) -> None:
    printed = strictly(sealbook(entries, "plain", "other", "--wearer", "ann", "--format", "json").stdout)
    assert [row["wearer"] for row in printed["wearers"]] == ["ann"]
    assert printed["ratio"] == printed["wearers"][0]["ratio"]
    assert "on 1 wearer who tried both" in sealbook(entries, "plain", "other", "--wearer", "ann").stdout


def test_nobody_tried_both(entries: Path) -> None:
    result = sealbook(entries, "plain+band", "third")
    assert result.exit_code == 0
    assert "Nobody tried both on the same face: faces differ" in result.stdout


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (["plain", "plane"], 2, "There is no configuration plane in these entries. The nearest: plain"),
        (["plain+bend", "plain"], 2, "There is no configuration plain+bend in these entries. The nearest: plain+band"),
        (["plain", "plain"], 2, "A and B are the same configuration."),
        (["plain", "other", "--wearer", "an"], 2, "There is no wearer an in these entries. The nearest: ann"),
        (["plain", "untried"], 1, "untried has no test that counts: nothing to compare."),
        (["plain", "plain+tape"], 1, "plain+tape has no test that counts: nothing to compare."),
        (["plain", "other", "--wearer", "ben"], 1, "other has no test of ben that counts: nothing to compare."),
        (["plain", "third", "--wearer", "cid"], 1, "cid tested plain and third only with different facial hair."),
    ],
)
def test_what_cannot_be_compared_is_said_plainly(entries: Path, arguments: list[str], code: int, says: str) -> None:
    result = sealbook(entries, *arguments)
    assert result.exit_code == code
    assert says in " ".join(result.output.split())
    assert "Traceback" not in result.output


METHODS_TOLD = (
    ("eight-exercise", ""),
    ("one-exercise", ""),
    ("one-exercise", '[conditions]\ninstrument = "optical-counter"\nsize_selection = "narrow-band"\n'),
)
FEW_TESTS = st.lists(
    st.tuples(
        st.sampled_from(["plain", "plain+band"]),
        st.sampled_from(["ann", "ben"]),
        st.sampled_from([1, 1.5, 37, 37, 200, 9e4, 1e6]),
        st.booleans(),
        st.sampled_from(METHODS_TOLD),
    ),
    min_size=2,
    max_size=6,
)


@settings(max_examples=25, suppress_health_check=FIXTURE_KEPT)
@given(FEW_TESTS)
def test_no_few_tests_end_in_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, tests: list[tuple[str, str, float, bool, tuple[str, str]]]
) -> None:
    root = written(tmp_path_factory.mktemp("few"))
    for path in (root / "tests").rglob("*.toml"):
        path.unlink()
    for number, (configuration, wearer, fit_factor, at_least, (protocol, conditions)) in enumerate(tests, start=1):
        changed = 'straps = "band"' if "+" in configuration else ""
        more = "at_least = true\n" if at_least else ""
        filled = {"wearer": wearer, "fit_factor": fit_factor, "changed": changed, "more": more}
        text = TEST.format(mask="plain", day=1, hair="none", **filled)
        text = text.replace("one-exercise", protocol) + conditions
        (root / f"tests/plain/2024-03-01-{wearer}-{number}.toml").write_text(text)
    sides = {configuration for configuration, *_ in tests}
    for form in ("text", "json"):
        result = sealbook(root, "plain", "plain+band", "--format", form)
        assert (result.exit_code == 0) == (len(sides) == 2), result.output
        assert result.exception is None or isinstance(result.exception, SystemExit)
        if form == "json" and not result.exit_code:
            printed = strictly(result.stdout)
            # Where both sides were measured on one face, all that is said of methods is about that many wearers.
            both = {row["wearer"] for row in printed["wearers"]}
            assert printed["wearers_same_method"] + printed["wearers_mixed_method"] == len(both)


def test_what_was_taken_out_is_said_and_given(tmp_path: Path) -> None:
    root = written(tmp_path)
    mixed = _test(7, "ann", 300, mask="other", changed='straps = "band"').replace("one-exercise", "eight-exercise")
    (root / "tests/other/2024-03-07-ann-1.toml").write_text(mixed)
    printed = strictly(sealbook(root, "other", "other+band", "--format", "json").stdout)
    assert [row["method"] for row in printed["wearers"]] == ["mixed"]
    assert (printed["wearers_same_method"], printed["wearers_mixed_method"]) == (0, 1)
    taken = printed["method_adjustment"]
    assert taken["factor"] == pytest.approx(1)  # nothing is known of it but the prior
    assert 1 / taken["low90"] == pytest.approx(taken["high90"])
    assert printed["ratio"] == pytest.approx(300 / 61)
    assert (
        "On 1 wearer they were not measured in the same way; the difference is taken out: the second reads about ×1 as "
        "high by its way of measuring (90 % interval ×"
    ) in sealbook(root, "other", "other+band").stdout
    alike = strictly(sealbook(root, "plain", "plain+band", "--format", "json").stdout)
    assert (alike["wearers_same_method"], alike["wearers_mixed_method"], alike["method_adjustment"]) == (1, 0, None)
    assert "Both were measured in the same way on 1 wearer." in sealbook(root, "plain", "plain+band").stdout


def test_narrowed_to_a_method_it_compares_the_tests_measured_by_it() -> None:
    arguments = ["compare", "brodipim", "brodipim+loop-clip", "--entries", str(ROOT / "entries"), "--method"]
    optical = CliRunner().invoke(main, [*arguments, "one-exercise.optical-counter.all-sizes"])
    assert optical.exit_code == 0
    assert optical.stderr.startswith("Only what was measured by One exercise · Optical counter · All sizes: 113 tests")
    assert "4 wearers who tried both" in optical.stdout
    short = CliRunner().invoke(main, [*arguments, "short-four-exercise.condensation-counter.all-sizes"])
    assert short.exit_code == 1
    assert short.stderr == "Error: brodipim has no test by this method that counts: nothing to compare.\n"
