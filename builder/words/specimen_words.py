"""What another one of the box adds to the scatter of donning the same one again, in words."""

from __future__ import annotations

from builder.fit.compare.specimen_scatter import SpecimenScatter
from builder.words.catalogue import say
from builder.words.numbers import figure, times


def specimen_sentence(found: SpecimenScatter | None) -> str:
    """Tell the same one again from another one of the box; "" where too little is known for that."""
    if found is None or not found.told_apart:
        return ""
    return say("specimens.told", same=figure(found.same_gsd), other=figure(found.other_gsd), specimens=found.specimens)


def specimen_paragraph(found: SpecimenScatter | None) -> str:
    """Say the same, or how little is known, and what a donning before takes, with figures for those who check them."""
    if found is None:
        return say("specimens.too_few")
    more = say("figure.between", low=times(found.more.low), high=times(found.more.high))
    said = [specimen_sentence(found) or say("specimens.open", specimens=found.specimens, same=figure(found.same_gsd))]
    said.append(say("specimens.more", more=more))
    if found.wear == found.wear:
        wear = say("figure.between", low=times(found.wear_interval.low), high=times(found.wear_interval.high))
        said.append(say("specimens.wear", factor=times(found.wear), interval=wear))
    return " ".join(said)
