"""What people pass on of a configuration: a picture as SVG and PNG, and a sentence. A page a mask offers them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, replace

from markupsafe import Markup

from builder.findings.dataset import UNNAMED, Dataset, Row
from builder.pictures.cards import WIDTH, card, height_of
from builder.pictures.lettering import written
from builder.pictures.shapes import Drawing
from builder.pictures.svg import as_svg
from builder.site.addresses import configuration_address, mask_address, share_address, share_name
from builder.site.entry_pictures import of_configuration
from builder.site.kept_pictures import png_of
from builder.site.mask_pages import SECTION, by_mask
from builder.site.picture_rows import fit_axis, fit_bar, plain_change, plain_mask
from builder.site.published import PublishedFile, PublishedPage, Renderer, picture_of
from builder.words.catalogue import count, say
from builder.words.labels import change_label, configuration_label, is_medical, mask_label
from builder.words.mask_words import beside_sold
from builder.words.numbers import fit
from builder.words.summary_figures import range_label, reach_label

_MARKS = {ord(mark): f"&#{ord(mark)};" for mark in "\\`*_[]<>&~|"}
"""What Markdown, in any of its dialects, reads as more than itself; all of them read such a reference as the letter."""
PNG_WIDTH = 800
"""Width of a PNG in pixels: sharp where discussions show it, at about half the bytes of the drawing's own."""


@dataclass(frozen=True)
class Shared:
    """One configuration to pass on: the name of its files, their size in pixels, and texts to copy.

    `markdown` and `html` show the picture as a link to the figures; "" where the site has no address.
    """

    name: str
    label: str
    width: int
    height: int
    sentence: str
    markdown: str = ""
    html: str = ""


def share_pages(data: Dataset, render: Renderer, address: str = "") -> Iterator[PublishedPage]:
    """Give a page for each mask with tests that count. `address` is the site's, ending in "/", "" where it has none."""

    def pages(masks: Set[str]) -> dict[str, PublishedPage]:
        measured = measured_by_mask(data)
        return {mask: _share_page(data, render, mask, measured[mask], address) for mask in measured.keys() & masks}

    yield from by_mask(data.of_masks("share", pages))


def _share_page(data: Dataset, render: Renderer, mask: str, rows: Sequence[Row], address: str) -> PublishedPage:
    label = mask_label(data.entries.masks[mask].mask)
    return PublishedPage(
        address=share_address(mask),
        title=say("share_page.title", mask=label),
        description=say("about.share", mask=label),
        html=render(
            "share.html",
            depth=3,
            mask=mask,
            label=label,
            shared=[shared(data, row, address) for row in rows],
            illustrations={share_name(row["parts"]): of_configuration(data, mask, row["parts"]) for row in rows},
        ),
        section=SECTION,
        picture=picture_of(mask_address(mask)),
    )


def share_files(data: Dataset, address: str = "") -> Iterator[PublishedFile]:
    """Give the two pictures of each configuration with tests that count."""

    def pictures(masks: Set[str]) -> dict[str, list[PublishedFile]]:
        measured = measured_by_mask(data)
        return {mask: list(_pictures(data, mask, measured[mask], address)) for mask in measured.keys() & masks}

    for files in by_mask(data.of_masks("shared pictures", pictures)):
        yield from files


def _pictures(data: Dataset, mask: str, rows: Sequence[Row], address: str) -> Iterator[PublishedFile]:
    for row in rows:
        path = share_address(mask) + share_name(row["parts"])
        yield PublishedFile(f"{path}.svg", as_svg(drawing(data, row, address)))
        yield PublishedFile(f"{path}.png", png_of(data, drawing(data, row, address, plain=True), PNG_WIDTH))


def measured_by_mask(data: Dataset) -> dict[str, list[Row]]:
    """Give the configurations with tests that count, as sold first, by mask."""
    by_mask = {mask: [row for row in rows if row["tests"]] for mask, rows in data.summary_by_mask.items()}
    return {mask: rows for mask, rows in sorted(by_mask.items()) if rows}


def shared(data: Dataset, row: Row, address: str = "") -> Shared:
    """Collect what a configuration is passed on as."""
    name, height = share_name(row["parts"]), height_of(2 if _same_wearers(data, row) else 1, _source(row, address))
    said, label = sentence(data, row), change_label(data, row["parts"])
    one = Shared(name, label[:1].upper() + label[1:], WIDTH, height, f"{said} {_link(row, address)}".strip())
    if not address:
        return one
    picture, link = f"{address}{share_address(row['mask'])}{name}.png", _link(row, address)
    return replace(
        one,
        markdown=f"[![{said.translate(_MARKS)}]({picture})]({link})",
        html=str(
            Markup('<a href="{}"><img src="{}" alt="{}" width="{}" height="{}"></a>').format(
                link, picture, said, PNG_WIDTH, round(height * PNG_WIDTH / WIDTH)
            )
        ),
    )


def sentence(data: Dataset, row: Row) -> str:
    """Say a configuration's figures with how many tests and wearers they rest on, and what they are not."""
    median = fit(row["median_fit_factor"], row["median_at_least"])
    name = configuration_label(data, row["configuration"])
    tests, wearers = count("test", row["tests"]), count("wearer", row["wearers"])
    if row["tests"] == 1:
        figures = say("card.one_test", median=median, tests=tests, wearers=wearers)
    elif row["share_wearers"] > 1:
        figures = say(
            "card.reaching",
            median=median,
            range=range_label(row),
            tests=tests,
            wearers=wearers,
            reached=reach_label(row),
        )
    else:
        figures = say("card.several", median=median, range=range_label(row), tests=tests, wearers=wearers)
    if beside := _beside_sold(data, row):
        said = say("card.beside", configuration=name, beside=beside, figures=_capital(figures))
    else:
        said = say("card.alone", configuration=name, figures=figures)
    medical = [say("harm.medical_short")] if is_medical(data, row["configuration"]) else []
    return " ".join([said, *medical, *([say("card.invented_said")] if data.invented else []), say("card.no_promise")])


def drawing(data: Dataset, row: Row, address: str = "", *, plain: bool = False) -> Drawing:
    """Draw a configuration beside its mask as sold on the same faces; `plain` in the letters of a PNG."""
    mask, parts = row["mask"], row["parts"]
    sold, beside = _same_wearers(data, row), _capital(_beside_sold(data, row))
    changed = plain_change(data, parts) if plain or not parts else change_label(data, parts)
    bars = [fit_bar(row, changed)]
    if sold:
        bars.append(fit_bar(sold, say("card.same_faces")))
    return card(
        plain_mask(data, mask) if plain else mask_label(data.entries.masks[mask].mask),
        (written(beside, "") if plain else beside) or _lead(row),
        name=say("card.name", configuration=configuration_label(data, row["configuration"])),
        description=sentence(data, row),
        bars=bars,
        axis=fit_axis(data),
        invented=say("card.invented") if data.invented else "",
        no_promise=say("card.no_promise"),
        source=_source(row, address),
        brand=written(data.name, UNNAMED) if plain else data.name,
    )


def _beside_sold(data: Dataset, row: Row) -> str:
    """Say what a change did beside the mask as sold; "" for a mask as sold, and where that has no test that counts."""
    rung = data.rung(row["configuration"])
    return beside_sold(rung.comparison) if rung else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _same_wearers(data: Dataset, row: Row) -> Row | None:
    """Give the mask as sold on the wearers of a change alone; None where none of them tried it."""
    return data.sold_on_same_wearers.get(row["configuration"])


def _source(row: Row, address: str) -> str:
    return f"{address}{mask_address(row['mask'])}".partition("://")[2]


def _lead(row: Row) -> str:
    """Head a picture of one mask as sold: how many wearers reached 100, where more than one is known to or not."""
    if row["wearers"] == 1:
        return say("card.one_face")
    if row["share_wearers"] > 1:
        return say("card.reached", reached=reach_label(row))
    return say("form.fit_factor")


def _link(row: Row, address: str) -> str:
    return address and address + configuration_address(row["configuration"])
