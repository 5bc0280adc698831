"""What a mask is introduced with: its page's first sentences, its description, and what is passed on of it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from builder.findings.dataset import Dataset, build_dataset
from builder.findings.standing import leading, standing
from builder.fit.compare.ladders import Rung
from builder.pictures.shapes import Text
from builder.site.mask_pages import mask_pages
from builder.site.previews import general_preview, mask_preview
from builder.site.published import Renderer
from builder.site.share_pages import drawing, sentence
from builder.site.start_page import start_page
from builder.words.mask_words import filter_note, mask_description, mask_lead
from tests.pages.test_compare_page import _test, written


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """Ann alone tried the band, at the ceiling; "third" was changed on another face than it was tried on as sold."""
    root = written(tmp_path_factory.mktemp("entries"))
    more = _test(6, "dan", 400, mask="third", changed='edge = "tape"')
    (root / "tests/third/2024-03-06-dan-1.toml").write_text(more)
    limit = _test(2, "ann", 150, changed='straps = "band"', more="at_least = true")
    (root / "tests/plain/2024-03-02-ann-2.toml").write_text(limit)
    return build_dataset(root)


def test_a_mask_is_introduced_by_what_a_change_did_on_the_same_wearers(data: Dataset) -> None:
    assert mask_lead(data, "plain") == (
        "Likely: with Head band the fit factor was at least 3.8 times as high (90 % interval ×1.09 or more) on "
        "1 wearer who tried both. One face only: another may get another result.",
        "As sold, half of the donnings reached 46 or more, on 3 wearers.",
    )
    assert mask_description(data, "plain") == (
        "Plain: Head band at least ×3.8 as sold on the one wearer who tried both (likely higher); median fit "
        "factor as sold 46 over 3 wearers."
    )


def test_changes_on_other_faces_give_no_figure_beside_the_mask_as_sold(data: Dataset) -> None:
    assert mask_lead(data, "third") == (
        "As sold, half of the donnings reached 25 or more, on 1 wearer.",
        "Changes of it were tried on other faces only, and faces differ: their figures do not say what a change does.",
    )
    assert mask_description(data, "third") == (
        "Third: median fit factor as sold 25 over 1 wearer; changed only on other faces, and faces differ."
    )
    assert leading(data.ladders["third"]) is None
    said = sentence(data, data.summary_by_id["third+tape"])
    assert said.startswith("Third, Tape: nobody tried both on the same face, and faces differ. Fit factor 400, ")
    assert "As sold, same faces" not in texts(data, "third+tape")


def test_where_no_change_tells_the_mask_as_sold_leads(tmp_path: Path) -> None:
    """Ann's 41 with the band beside 30 to 90 as sold: one short sentence, no figure that luck may have made."""
    root = written(tmp_path)
    for path in (root / "tests/plain").glob("2024-03-02-*.toml"):
        path.unlink()
    (root / "tests/plain/2024-03-02-ann-1.toml").write_text(_test(2, "ann", 41, changed='straps = "band"'))
    one = build_dataset(root)
    assert one.ladders["plain"][0].comparison.verdict == "cannot-tell"
    assert leading(one.ladders["plain"]) is None
    assert mask_lead(one, "plain") == (
        "As sold, half of the donnings reached 46 or more, on 3 wearers.",
        "The one change cannot be told from as sold yet on the one wearer who tried both.",
    )
    assert mask_description(one, "plain") == (
        "Plain: median fit factor as sold 46 over 3 wearers. The one change cannot be told from as sold yet on the one "
        "wearer who tried both."
    )


def test_the_change_that_leads_is_the_one_told_most_clearly(demo: Dataset) -> None:
    known = leading(demo.ladders["skevuthar"])
    assert known is not None

    def rung(parts: str, verdict: str, direction: str, low90: float | None) -> Rung:
        found = replace(known.comparison, verdict=verdict, direction=direction, low90=low90)  # type: ignore[arg-type]
        return replace(known, parts=parts, comparison=found)

    ranked = [
        rung("clear", "clear", "b-higher", 1.4),
        rung("likely", "likely", "b-higher", 2.0),
        rung("less likely", "likely", "b-higher", 1.1),
        rung("alike", "alike", "none", 0.8),
        rung("clearly lower", "clear", "a-higher", 0.2),
        rung("lower", "likely", "a-higher", None),
    ]
    for place, one in enumerate(ranked):
        assert leading([rung("open", "cannot-tell", "none", 0.9), *reversed(ranked[place:])]) == one
    assert leading([rung("open", "cannot-tell", "none", 0.9)]) is None


def test_no_mask_of_the_demo_leads_with_what_cannot_be_told(demo: Dataset) -> None:
    leads = {mask: " ".join(mask_lead(demo, mask)) for mask in demo.entries.masks}
    assert not [lead for lead in leads.values() if "Cannot tell" in lead]
    assert leads["glivedupim"].endswith(
        "None of the 3 changes can be told from as sold yet on the 6 wearers who tried both."
    )


def test_a_ratio_over_few_wearers_is_said_to_be_drawn_to_1(data: Dataset, demo: Dataset) -> None:
    few = "Ratios over fewer than 5 wearers are drawn towards ×1: more wearers may show a larger difference."
    pages = {page.address: page.html for page in mask_pages(demo, Renderer(demo))}
    assert few in pages["masks/skevuthar/"]
    # One wearer's own ratio is drawn nowhere.
    assert few not in {page.address: page.html for page in mask_pages(data, Renderer(data))}["masks/plain/"]


def test_masks_without_changes_or_without_tests(data: Dataset) -> None:
    assert mask_lead(data, "other") == (
        "As sold, half of the donnings reached 61 or more, on 1 wearer.",
        "One face only: another may get another result.",
    )
    assert mask_description(data, "other") == "Other: median fit factor as sold 61 over 1 wearer."
    assert mask_lead(data, "untried") == ("Nobody has tested it yet.",)
    assert mask_description(data, "untried") == "Untried: no test as sold yet."


def test_a_mask_never_tested_as_sold(tmp_path: Path) -> None:
    root = written(tmp_path)
    for path in (root / "tests" / "third").iterdir():
        path.unlink()
    (root / "tests/third/2024-03-06-dan-1.toml").write_text(_test(6, "dan", 400, mask="third", changed='edge = "tape"'))
    assert mask_lead(build_dataset(root), "third") == (
        "Nobody has tested it as sold yet; with Tape the median was 400, on 1 wearer.",
    )


def texts(data: Dataset, configuration: str) -> list[str]:
    """The texts of the picture that is passed on of a configuration."""
    return [shape.text for shape in drawing(data, data.summary_by_id[configuration]).shapes if isinstance(shape, Text)]


def test_the_picture_leads_with_the_ratio_and_shows_the_same_faces_as_sold(data: Dataset) -> None:
    drawn = texts(data, "plain+band")
    assert "At least ×3.8 as sold on the one wearer who tried both (likely higher)" in drawn
    assert "As sold, same faces" in drawn
    sold = data.sold_on_same_wearers["plain+band"]
    assert (sold["tests"], sold["wearers"], data.summary_by_id["plain"]["wearers"]) == (2, 1, 3)
    assert {"2 tests", "1 wearer"} <= set(drawn)
    assert sentence(data, data.summary_by_id["plain+band"]) == (
        "Plain, Head band: at least ×3.8 as sold on the one wearer who tried both (likely higher). "
        "Median fit factor ≥\u202f200 (150–≥\u202f200), 2 tests on 1 wearer. "
        "One face, one sample, one donning each: no promise."
    )


def test_the_preview_shows_no_median_of_other_wearers_beside(demo: Dataset) -> None:
    said = [shape.text for shape in mask_preview(demo, "skevuthar").shapes if isinstance(shape, Text)]
    assert sum(re.fullmatch(r"\d+ wearers?", text) is not None for text in said) == 1
    # The sentence stands in lines.
    assert "wearers who tried both" in " ".join(said)


def test_the_page_has_the_same_first_sentences(data: Dataset) -> None:
    pages = {page.address: page for page in mask_pages(data, Renderer(data))}
    for mask in ("plain", "third", "other", "untried"):
        page = pages[f"masks/{mask}/"]
        assert page.description == mask_description(data, mask)
        assert re.search(rf'<p class="sb-lead"[^>]*>{re.escape(" ".join(mask_lead(data, mask)))}', page.html)


def test_start_and_its_preview_count_the_same(demo: Dataset) -> None:
    html = " ".join(start_page(demo, Renderer(demo)).html.split())
    assert f"{len(demo.table)} tests of" in html
    said = [shape.text for shape in general_preview(demo).shapes if isinstance(shape, Text)]
    assert f"{len(demo.table)} tests on {demo.table['wearer'].nunique()} wearers." in " ".join(said)


def test_few_lucky_faces_stand_below_what_many_reached() -> None:
    from builder.fit.summary.shares import wilson

    def row(reached: int, wearers: int) -> dict[str, object]:
        low = wilson(reached, wearers).low
        return {
            "tests": wearers,
            "wearers": wearers,
            "share_wearers": wearers,
            "share_at_100_low": low,
            "wearer_median_fit_factor": 1000.0 / wearers,
        }

    ranked = [(20, 23), (3, 3), (4, 8), (2, 2), (1, 1)]
    assert sorted(ranked, key=lambda counts: standing(row(*counts)), reverse=True) == ranked


FILTER = "[filter]\npenetration_percent = 0.5\n"
SIZES = 'size_selection = "all-sizes"\n'
COUNTED = "[conditions]\n" + SIZES


def _with_filter(root: Path, filter_table: str, conditions: str) -> Dataset:
    written(root)
    with (root / "masks/plain.toml").open("a") as mask:
        mask.write(filter_table)
    for test in (root / "tests/plain").glob("2024-03-01-*.toml"):
        test.write_text(test.read_text() + conditions)
    return build_dataset(root)


@pytest.mark.parametrize(
    ("filter_table", "conditions", "note"),
    [
        ("", "", ""),
        (FILTER, COUNTED, "For which sizes is not told, so it sets no limit to a fit factor."),
        (FILTER + SIZES, "", "Counting all sizes; no fit test of it as sold counted the same."),
        (
            FILTER + SIZES,
            COUNTED,
            # The median of 30, 40, 52 and 90 is 46: 1/46 = 2.17 %; L = (1/46 − 0.005) / 0.995 = 1.68 %.
            "As sold 2.17 % gets in (median of 4 tests counting all sizes too): about 0.492 % through the filter, "
            "1.68 % past the seal. A perfect seal would read about 200.",
        ),
    ],
)
def test_seal_and_filter_are_told_apart_where_the_same_was_counted(
    tmp_path: Path, filter_table: str, conditions: str, note: str
) -> None:
    assert filter_note(_with_filter(tmp_path, filter_table, conditions), "plain") == note
