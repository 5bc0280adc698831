"""Cautions stand where the harm would be done, each in full on the page of all of them."""

from __future__ import annotations

import re
from urllib.parse import unquote

from click.testing import CliRunner

from builder.commands.suggest import command
from builder.findings.dataset import Dataset
from builder.fit.compare.verdicts import UNKNOWN, Judgement, verdicts_in_list
from builder.records.vocabulary import Slot
from builder.site.explorer_page import explorer_page
from builder.site.face_pages import face_pages
from builder.site.hack_pages import hack_pages
from builder.site.mask_pages import mask_pages
from builder.site.published import PublishedPage, Renderer
from builder.site.share_pages import sentence
from builder.site.start_page import start_page
from builder.words.catalogue import say
from builder.words.labels import is_medical, slot_of
from tests.conftest import ROOT

MEDICAL = "A medical mask is no respirator"
REDONNING = (
    "Fit falls as a specimen is donned again and again: in one study 81–93 % of the first five donnings reached 100, "
    "of the 16th to 20th 53–75 % (Bergman et al., Am. J. Infect. Control 2012;40:375–380). A figure from first "
    "donnings is no promise for the twentieth."
)
BREATHING = (
    "Tape and stiff frames round the rim raise the work of breathing and hide a clogged filter: take the mask off when "
    "breathing gets hard."
)


def text(page: PublishedPage) -> str:
    return " ".join(page.html.split())


def test_a_medical_mask_is_called_no_respirator_beside_its_figures(demo: Dataset) -> None:
    pages = {page.address: text(page) for page in mask_pages(demo, Renderer(demo))}
    medical = {mask for mask in demo.entries.masks if is_medical(demo, mask)}
    assert medical and medical != set(demo.entries.masks)
    for mask in demo.entries.masks:
        assert (f'<p class="sb-warn">{MEDICAL}: it was not made to seal' in pages[f"masks/{mask}/"]) == (
            mask in medical
        )
    for row in demo.summary_by_id.values():
        assert (f"{MEDICAL}." in sentence(demo, row)) == (row["mask"] in medical)


def test_lists_to_try_say_it_beside_each_medical_mask(demo: Dataset) -> None:
    listed = {page.address: text(page) for page in face_pages(demo, Renderer(demo))}["faces/"]
    assert listed.count(f'<span class="sb-muted">{MEDICAL}.</span>') == 1
    result = CliRunner().invoke(command, ["--entries", str(ROOT / "entries")])
    assert f"truskopim: {MEDICAL}.\n" in result.output


def test_every_list_of_figures_says_it_beside_each_medical_mask(demo: Dataset) -> None:
    renderer = Renderer(demo)
    hacks, faces = hack_pages(demo, renderer), face_pages(demo, renderer)
    for page in (start_page(demo, renderer), explorer_page(demo, renderer), *hacks, *faces):
        listed = re.findall(r'<th scope="row"[^>]*><a href="[^"]*#([^"]+)">.*?</th>', text(page)) or re.findall(
            r'<th scope="row"><a href="[^"]*masks/([^"/]+)/">.*?</th>', text(page)
        )
        medical = sum(is_medical(demo, unquote(configuration)) for configuration in listed)
        warned = re.findall(rf'<span class="sb-muted"> ?{MEDICAL}\.</span>(?: <a [^<]*</a>)?</th>', text(page))
        assert len(warned) == medical, page.address
    assert f'</a><span class="sb-muted"> {MEDICAL}.</span></th>' in text(start_page(demo, renderer))
    assert f'</a><span class="sb-muted"> {MEDICAL}.</span></th>' in text(explorer_page(demo, renderer))


def test_mask_pages_warn_of_donning_again_and_again(demo: Dataset) -> None:
    for page in mask_pages(demo, Renderer(demo)):
        assert REDONNING in text(page)


def test_tape_and_frames_warn_of_the_work_of_breathing(demo: Dataset) -> None:
    pages = {page.address: text(page) for page in hack_pages(demo, Renderer(demo))}
    slots = {token: slot_of(demo, token) for token in demo.hacks}
    assert {Slot.EDGE, Slot.BRACE} < set(slots.values())
    for token, slot in slots.items():
        assert (BREATHING in pages[f"hacks/{token}/"]) == (slot in (Slot.EDGE, Slot.BRACE))


def test_every_interval_of_a_share_names_its_level(demo: Dataset) -> None:
    renderer = Renderer(demo)
    pages = [start_page(demo, renderer), *mask_pages(demo, renderer), *face_pages(demo, renderer)]
    for page in pages:
        shown = re.sub(r"</?button[^>]*>", "", text(page))
        heads = shown.count('Reach 100 <span class="sb-muted">(95 % interval)</span>')
        assert heads == shown.count("Reach 100 <"), page.address
        assert heads or page is not pages[0]


def test_pages_and_methods_say_the_same_of_a_list() -> None:
    methods = " ".join((ROOT / "site_src/pages/methods.md").read_text("utf-8").split())
    assert "“clear” goes by p-values adjusted for the list" in methods
    assert "“Likely” is about each comparison by itself" in methods
    each = "“likely” is about each by itself, and where nothing differs one in ten is called so."
    assert say("compare.list", comparisons=3).endswith(each)
    alone = Judgement(**vars(UNKNOWN) | {"p_value": 0.08, "verdict": "likely"})
    assert [one.verdict for one in verdicts_in_list([alone] * 10)] == ["likely"] * 10


def test_a_face_width_is_measured_at_the_cheekbones(demo: Dataset) -> None:
    listed = {page.address: text(page) for page in face_pages(demo, Renderer(demo))}["faces/"]
    assert "Feel along both cheekbones" in listed
    assert "books against a wall too large: they meet the ears" in listed
    assert "two books against a wall" not in listed


def test_every_caution_stands_on_the_page_of_cautions_and_in_the_readme() -> None:
    cautions = " ".join((ROOT / "site_src/pages/cautions.md").read_text("utf-8").split())
    readme = " ".join((ROOT / "README.md").read_text("utf-8").split())
    everywhere = (
        "medical mask is no respirator",
        "again and again",
        "work of breathing",
        "nor on anybody who can't take it off alone",
        "below the panel's limits",
        "away from flames",
        "obody shares a tested mask",
        "isinfect hose and probe between people",
        "o smoking in the half hour before",
        "with their consent",
        "protects the wearer only",
    )
    assert [caution for caution in everywhere if caution not in cautions] == []
    assert [caution for caution in everywhere if caution not in readme] == []
    assert "marks are counterfeited" in cautions
