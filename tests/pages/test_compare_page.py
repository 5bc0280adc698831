"""The compare page, its data files and its sentences, on a few entries written by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.fit.compare.methods import METHOD
from builder.fit.compare.two_configurations import Comparison
from builder.fit.compare.two_configurations import compare as compare_both
from builder.records.kept_addresses import Renaming
from builder.site import compare_page as compare
from builder.site.addresses import compare_address
from builder.site.published import Renderer
from builder.words import comparisons as compare_words
from builder.words import labels
from builder.words.catalogue import say
from tests.conftest import unpacked

MASK = 'model = "{model}"\nmaker = "Bench"\nstyle = "cup"\nclass = "ffp2"\n[as_sold]\nstraps = "loops"\n'
PART = 'name = "{name}"\nslot = "{slot}"\nmaterial = "Elastic"\nfitting = "Pull."\ncan_be_undone = true\n'
TEST = """mask = "{mask}"
date = 2024-03-0{day}
contributor = "bench"
[configuration]
{changed}
[face]
wearer = "{wearer}"
facial_hair = "{hair}"
[result]
protocol = "one-exercise"
fit_factor = {fit_factor}
{more}
"""


def written(root: Path) -> Path:
    """Write four masks, of which one was never tested; a limit, a take set aside, a wearer with and without a beard."""
    files = {
        **{f"masks/{mask}.toml": MASK.format(model=mask.title()) for mask in ("plain", "other", "third", "untried")},
        "parts/loops.toml": PART.format(name="Ear loops", slot="straps"),
        "parts/band.toml": PART.format(name="Head band", slot="straps"),
        "parts/tape.toml": PART.format(name="Tape", slot="edge"),
        "tests/plain/2024-03-01-ann-1.toml": _test(1, "ann", 40),
        "tests/plain/2024-03-01-ann-2.toml": _test(1, "ann", 52),
        "tests/plain/2024-03-01-ben-1.toml": _test(1, "ben", 90),
        "tests/plain/2024-03-01-cid-1.toml": _test(1, "cid", 30),
        "tests/plain/2024-03-02-ann-1.toml": _test(2, "ann", 200, changed='straps = "band"', more="at_least = true"),
        "tests/plain/2024-03-02-ann-2.toml": _test(2, "ann", 150, changed='straps = "band"'),
        "tests/plain/2024-03-03-ann-1.toml": _test(3, "ann", 9, changed='edge = "tape"', more='set_aside = "hose off"'),
        "tests/other/2024-03-04-ann-1.toml": _test(4, "ann", 61, mask="other"),
        "tests/third/2024-03-05-cid-1.toml": _test(5, "cid", 25, mask="third", hair="clear-of-seal"),
    }
    for path, text in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text)
    return root


def _test(
    day: int,
    wearer: str,
    fit_factor: float,
    *,
    mask: str = "plain",
    changed: str = "",
    more: str = "",
    hair: str = "none",
) -> str:
    return TEST.format(mask=mask, day=day, wearer=wearer, fit_factor=fit_factor, changed=changed, more=more, hair=hair)


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return build_dataset(written(tmp_path_factory.mktemp("entries")))


def read(data: Dataset, name: str) -> Any:
    files = {
        file.path.removesuffix(".json").removesuffix(".packed"): file
        for file in (compare.comparables_file(data), *compare.measured_files(data))
    }
    return unpacked(files[f"compare/{name}"])


def values(column: Any) -> list[Any]:
    """The values of a column, also of one whose words are written once."""
    return [column["words"][place] for place in column["at"]] if isinstance(column, dict) else column


def compared(data: Dataset, a: str, b: str) -> Comparison:
    return compare_both(data.measured_arms, a, b)


def sentence(data: Dataset, found: Comparison) -> str:
    a, b = found.a, found.b
    phrases = compare_words.set_up_phrase(data, a, b), compare_words.set_up_phrase(data, b, a)
    return compare_words.verdict_sentence(found, *phrases)


def test_only_configurations_with_tests_that_count_can_be_compared(data: Dataset) -> None:
    published = read(data, "configurations")["configurations"]
    assert published["id"] == ["other", "plain", "plain+band", "third"]
    assert published["mask"] == ["other", "plain", "plain", "third"]
    ann, ben, cid = range(3)
    assert published["wearers"] == [[ann], [ann, ben, cid], [ann], [cid]]
    assert published["change"] == ["as sold", "as sold", "Head band", "as sold"]


def test_the_columns_are_the_arms(data: Dataset) -> None:
    files = [read(data, f"masks/{mask}")["arms"] for mask in ("other", "plain", "third")]
    arms = {name: [value for file in files for value in values(file[name])] for name in files[0]}
    assert len({len(column) for column in arms.values()}) == 1
    keys = list(zip(arms["configuration"], arms["wearer"], arms["facial_hair"], strict=True))
    own = [(key, arm) for key, readings in data.measured_arms.readings.items() for arm in readings]
    assert keys == [key for key, _ in own]
    assert arms["method"] == [[getattr(arm.method, name) for name in METHOD] for _, arm in own]
    assert arms["n"] == [arm.readings.n for _, arm in own]
    assert arms["df"] == [arm.df for _, arm in own]
    assert arms["limits"] == [pytest.approx(arm.readings.limits) for _, arm in own]
    np.testing.assert_allclose(arms["mean"], [arm.readings.mean for _, arm in own], rtol=1e-11)
    np.testing.assert_allclose(arms["moderated"], [arm.readings.variance for _, arm in own], rtol=1e-11)
    np.testing.assert_allclose(arms["wearer_df"], data.scatter.of(arms["wearer"])[1], rtol=1e-11)


def test_tests_set_aside_are_not_shown(data: Dataset) -> None:
    tests = read(data, "masks/plain")["tests"]
    plain = data.counted[data.counted["mask"] == "plain"]
    assert sorted(tests["fit_factor"]) == sorted(plain["fit_factor"])
    assert sum(tests["at_least"]) == 1


def test_the_figures_are_those_of_the_summary(data: Dataset) -> None:
    figures = read(data, "masks/plain")["figures"]
    # The one whose only test was set aside cannot be chosen.
    assert figures["configuration"] == ["plain", "plain+band"]
    for name in compare.FIGURES:
        assert figures[name] == [data.summary_by_id[configuration][name] for configuration in figures["configuration"]]


def test_the_figures_by_each_method_are_those_of_its_tests(demo: Dataset) -> None:
    file = read(demo, "masks/skevuthar")
    given = file["method_figures"]
    methods = values(given["method"])
    used = {used.id for used in demo.methods_by_mask["skevuthar"].each}
    assert used == set(methods) == set(values(file["tests"]["method"]))
    for name in compare.FIGURES:
        assert given[name] == [
            demo.by_method[method].summary_by_id[configuration][name]
            for method, configuration in zip(methods, given["configuration"], strict=True)
        ]
    assert sum(given["tests"]) == len(file["tests"]["fit_factor"])


def test_ready_comparisons_are_each_mask_beside_what_most_wearers_tried(demo: Dataset) -> None:
    ready = compare.ready_comparisons(demo)
    assert len(ready) > 5
    for item in ready:
        found = item.comparison
        assert found.b.startswith(f"{found.a}+")
        others = [c for c in demo.measured_arms.by_configuration if c.startswith(f"{found.a}+")]
        assert len(found.wearers) == max(len(compared(demo, found.a, other).wearers) for other in others) > 0
    counts = [len(item.comparison.wearers) for item in ready]
    assert counts == sorted(counts, reverse=True)


def test_the_page_links_the_ready_comparisons(data: Dataset) -> None:
    html = compare.compare_page(data, Renderer(data)).html
    assert 'href="../compare/plain/plain--band/"' in html
    assert "likely higher" in html or "cannot tell" in html or "clearly higher" in html


def test_without_tests_the_page_says_so(tmp_path: Path) -> None:
    (tmp_path / "masks").mkdir()
    empty = build_dataset(tmp_path)
    assert "Nobody has tested a mask both as sold and changed yet." in compare.compare_page(empty, Renderer(empty)).html
    assert read(empty, "configurations")["configurations"]["id"] == []


def test_a_plus_survives_in_the_address() -> None:
    assert compare_address(["a", "a+b+c"]) == "compare/?c=a&c=a%2Bb%2Bc"


def test_the_mask_is_named_only_beside_another_mask(data: Dataset) -> None:
    assert compare_words.set_up_phrase(data, "plain+band", "plain") == "with Head band"
    assert compare_words.set_up_phrase(data, "plain", "plain+band") == "as sold"
    assert compare_words.set_up_phrase(data, "plain+band", "other") == "in Plain with Head band"
    assert compare_words.set_up_phrase(data, "other", "plain") == "in Other as sold"


def test_each_verdict_has_its_sentence(data: Dataset) -> None:
    known = replace(
        compared(data, "plain", "plain+band"),
        bound="none",
        ratio=3.1,
        low90=1.9,
        high90=5.0,
        low99=1.6,
        high99=6.0,
        verdict="clear",
        direction="b-higher",
        donnings_needed=None,
        donnings_for_seen=None,
    )
    one_face = "One face only: another may get another result."
    who = "on 1 wearer who tried both"
    both90 = "(90 % interval ×1.9 to ×5)"
    higher, lower = "about 3.1 times as high", "lower, about 3.1 times what it was as sold"
    for change, says in (
        ({}, f"Clear: with Head band the fit factor was {higher} (99 % interval ×1.6 to ×6) {who}. {one_face}"),
        ({"verdict": "likely"}, f"Likely: with Head band the fit factor was {higher} {both90} {who}. {one_face}"),
        (
            {"verdict": "likely", "direction": "a-higher"},
            f"Likely: with Head band the fit factor was {lower} {both90} {who}. {one_face}",
        ),
        (
            {"bound": "at_least", "high99": None},
            f"Clear: with Head band the fit factor was at least 3.1 times as high (99 % interval ×1.6 or more) {who}. "
            f"{one_face}",
        ),
        (
            {"verdict": "alike", "direction": "none"},
            "Alike: with Head band and as sold the fit factor was much the same "
            f"(×3.1, 90 % interval ×1.9 to ×5) {who}. {one_face}",
        ),
        (
            {"verdict": "cannot-tell", "direction": "none", "donnings_needed": 4, "donnings_for_seen": 2},
            f"Cannot tell: with Head band the fit factor was about 3.1 times what it was as sold {who}, "
            "but ×1.9 to ×5 fits these tests too (90 %). About 4 more donnings of each, measured alike, would "
            "show a doubling. About 2 more donnings would show a difference as large as the one seen, if it is real.",
        ),
        (
            {"verdict": "cannot-tell", "bound": "both", "ratio": None},
            f"Cannot tell: readings of “at least” leave the ratio open {who}.",
        ),
    ):
        assert sentence(data, replace(known, **change)) == says


def test_what_would_tell_more(data: Dataset) -> None:
    unknown = replace(compared(data, "plain", "other"), verdict="cannot-tell", direction="none", bound="none", pooled=2)
    alike = "measured alike, would show a doubling."
    seen = "by each wearer would show one as large as the one seen, if it is real."
    for needed, for_seen, says in (
        (1, 7, f"About 1 more donning of each by each wearer, {alike} About 7 more donnings {seen}"),
        (0, 1, f"A doubling would most likely have shown. About 1 more donning {seen}"),
        (0, None, "have shown. One as small as that seen would take more than 200 more."),
        (None, None, "More wearers would tell more than more donnings of these."),
    ):
        told = replace(unknown, donnings_needed=needed, donnings_for_seen=for_seen)
        assert sentence(data, told).endswith(says)
    none = replace(unknown, donnings_needed=0, donnings_for_seen=None, ratio=1.0)
    assert sentence(data, none).endswith("A doubling would most likely have shown.")


def test_different_faces_are_named(data: Dataset) -> None:
    found = compared(data, "plain+band", "third")
    assert "on different faces" in sentence(data, found)
    assert sentence(data, found).endswith(say("verdict.nobody_both"))
    a, b = "in Plain with Head band", "in Third as sold"
    assert compare_words.only_sentence(found, a, b) == f"Tested only {a}: 1 wearer; only {b}: 1 wearer."


def test_facial_hair_is_named_where_there_was_some(data: Dataset) -> None:
    (own,) = compared(data, "plain", "other").wearers
    assert labels.wearer_label(own) == "ann"
    assert labels.wearer_label(replace(own, facial_hair="clear-of-seal")) == "ann (clear of the seal)"


def test_what_was_renamed_is_told_to_the_script(data: Dataset) -> None:
    day = date(2026, 10, 2)
    lines = (
        Renaming(mask="old-cup", to=("drum-cup",), date=day),
        Renaming(part="old-foam", to=("thin-foam",), date=day),
        Renaming(mask="both", to=("drum-cup", "box-fold"), date=day),
        Renaming(test="drum-cup/2026-09-12-heron-1", to=("drum-cup/2026-09-12-blue-heron-1",), date=day),
    )
    renamed = replace(data, entries=replace(data.entries, renamed=lines))
    file = compare.comparables_file(renamed)
    assert json.loads(file.content)["renamed"] == {"old-cup": "drum-cup", "old-foam": "thin-foam"}
