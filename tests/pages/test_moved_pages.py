"""What has another name keeps its old address, which leads on; what was withdrawn is told without a name."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from builder.findings.dataset import Dataset
from builder.records.kept_addresses import Renaming, Withdrawal
from builder.site.mask_pages import mask_pages
from builder.site.moved_pages import moved_pages
from builder.site.published import Renderer

DAY = date(2026, 10, 2)


def listing(data: Dataset, *renamed: Renaming, withdrawn: tuple[Withdrawal, ...] = ()) -> Dataset:
    return replace(data, entries=replace(data.entries, renamed=renamed, withdrawn=withdrawn))


def pages(data: Dataset, *renamed: Renaming) -> dict[str, str]:
    changed = listing(data, *renamed)
    return {page.address: page.html for page in moved_pages(changed, Renderer(changed))}


def test_each_page_of_a_mask_leads_on(demo: Dataset) -> None:
    mask = sorted(demo.entries.masks)[0]
    found = pages(demo, Renaming(mask="old-cup", to=(mask,), date=DAY))
    assert list(found)[:3] == ["masks/old-cup/", "masks/old-cup/source/", "masks/old-cup/share/"]
    assert all(address.startswith("compare/old-cup/") or "/old-cup/" in address for address in found)
    assert f'data-module="moved" data-was="old-cup" data-now="{mask}"' in found["masks/old-cup/"]
    assert f'<a href="../../masks/{mask}/">' in found["masks/old-cup/"]
    assert f'<a href="../../../masks/{mask}/source/">' in found["masks/old-cup/source/"]


def test_a_mask_that_was_split_names_its_sizes_and_where_each_test_is(demo: Dataset) -> None:
    sizes = tuple(sorted(demo.entries.masks)[:2])
    html = pages(demo, Renaming(mask="old-cup", to=sizes, date=DAY))["masks/old-cup/"]
    assert "data-module" not in html
    test = sorted(demo.table.loc[demo.table["mask"] == sizes[1], "test"])[0]
    anchor = test.partition("/")[2]
    assert f'<li id="{anchor}"><a href="../../masks/{sizes[1]}/#{anchor}">' in html
    assert html.count("<li") == 2 + len(demo.table[demo.table["mask"].isin(sizes)])


def test_a_comparison_leads_on_from_every_name_that_its_two_had(demo: Dataset) -> None:
    found = next(pair for own in demo.likely_pairs.values() for pair in own if "+" in pair.b)
    mask, part = found.b.split("+")[:2]
    rest = found.b.removeprefix(f"{mask}+{part}").replace("+", "--")
    renamed = (Renaming(mask="old-cup", to=(mask,), date=DAY), Renaming(part="old-strip", to=(part,), date=DAY))
    html = pages(demo, *renamed)
    now = f"compare/{mask}/{found.b.replace('+', '--')}/"
    for a, b in (("old-cup", "old-cup--old-strip"), (mask, f"{mask}--old-strip")):
        assert f'<a href="../../../{now}">' in html[f"compare/{a}/{b}{rest}/"]
        since = 'Since <span class="sb-date">2026-10-02</span> it is'
        assert since in html[f"compare/old-cup/old-cup--old-strip{rest}/"]
    assert now not in html


def test_a_part_leads_on_where_it_has_a_page(demo: Dataset) -> None:
    tried = sorted({part for parts in demo.table["parts"] for part in parts.split("+")} & demo.entries.parts.keys())
    never = sorted(demo.entries.parts.keys() - set(tried))
    found = pages(demo, *(Renaming(part=f"old-{part}", to=(part,), date=DAY) for part in (tried[0], *never[:1])))
    assert [address for address in found if address.startswith("hacks/")] == [f"hacks/old-{tried[0]}/"]
    assert f'<a href="../../hacks/{tried[0]}/">' in found[f"hacks/old-{tried[0]}/"]


def test_a_configuration_keeps_the_place_it_had_under_other_names_of_its_parts(demo: Dataset) -> None:
    row = next(
        row for rows in demo.summary_by_mask.values() for row in rows if "+" not in row["parts"] and row["parts"]
    )
    changed = listing(demo, Renaming(part="old-strip", to=(row["parts"],), date=DAY))
    html = next(page.html for page in mask_pages(changed, Renderer(changed)) if page.address == f"masks/{row['mask']}/")
    place = f'<tr id="{row["configuration"]}">\n      <th scope="row"><span id="{row["mask"]}+old-strip"></span>'
    assert place in html


def test_the_old_address_of_a_test_is_a_place_on_its_page_and_withdrawals_name_nobody(demo: Dataset) -> None:
    mask = sorted(demo.entries.masks)[0]
    test = sorted(demo.table.loc[demo.table["mask"] == mask, "test"])[0]
    renamed = Renaming(test=f"{mask}/2020-01-01-old-spelling-1", to=(test,), date=DAY)
    withdrawn = Withdrawal(mask=mask, tests=3, date=DAY, reason="At their <wish>.")
    changed = listing(demo, renamed, withdrawn=(withdrawn,))
    html = next(page.html for page in mask_pages(changed, Renderer(changed)) if page.address == f"masks/{mask}/")
    assert f'<span id="2020-01-01-old-spelling-1"></span><a id="{test.partition("/")[2]}" href' in html
    assert "<p>3 tests, 2026-10-02: <bdi>At their &lt;wish&gt;.</bdi></p>" in html
    assert 'id="taken-out"' in html
