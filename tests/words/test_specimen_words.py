"""What is said of the same mask again beside another one of the box."""

from __future__ import annotations

import math
from dataclasses import replace

from builder.findings.dataset import Dataset
from builder.fit.compare.specimen_scatter import SpecimenScatter
from builder.fit.intervals import Interval
from builder.words.specimen_words import specimen_paragraph, specimen_sentence

KNOWN = SpecimenScatter(
    specimens=60,
    same_sd=math.log(1.5),
    other_sd=math.log(1.8),
    more=Interval(1.2, 1.7),
    wear=math.nan,
    wear_interval=Interval(math.nan, math.nan),
)
TOLD = (
    "Donned again, the same specimen reads within ×÷1.5 two times in three, another one of the box within ×÷1.8, "
    "over all masks (60 specimens that testers named)."
)


def test_the_two_are_told_apart_where_enough_is_known() -> None:
    assert specimen_sentence(KNOWN) == TOLD
    worn = replace(KNOWN, wear=0.97, wear_interval=Interval(0.95, 0.99))
    assert specimen_paragraph(worn) == (
        f"{TOLD} With another one the scatter, as an SD in ln, is ×1.2 to ×1.7 that with the same one (95 % interval). "
        "A donning before multiplies the fit factor by ×0.97 (95 % interval ×0.95 to ×0.99)."
    )


def test_otherwise_a_mask_page_says_nothing_of_it() -> None:
    open_ = replace(KNOWN, more=Interval(1.0, 1.6))
    assert specimen_sentence(open_) == specimen_sentence(None) == ""
    assert specimen_paragraph(open_) == (
        "Donned again, the same specimen reads within ×÷1.5 two times in three; 60 specimens that testers named are "
        "too few to say how far another one of the box is off. With another one the scatter, as an SD in ln, is ×1 to "
        "×1.6 that with the same one (95 % interval)."
    )
    assert specimen_paragraph(None) == (
        "Too few tests name their specimen to tell another one of the box from the same one again."
    )


def test_the_demo_names_too_few(demo: Dataset) -> None:
    assert specimen_sentence(demo.specimens) == ""
    assert specimen_paragraph(demo.specimens).startswith("Donned again, the same specimen reads within ×÷1.68 ")
