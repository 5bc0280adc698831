"""The parts on the shelf of the invented bench: what masks come with, and what people put in its place."""

from __future__ import annotations

from builder.records.models import Part, Section, Source
from builder.records.vocabulary import Slot, WireMaterial, WireShape

APPROVAL = "Changing a certified respirator ends its approval: not where protection is required."
SKIN = "Adhesive and foam can irritate skin: try them on the forearm first, stop when it itches."
SHARP = "Fold over or cover the cut ends: they are close to the eyes."
SNAP = "A strap under tension snaps: let go of it slowly, away from the eyes."
NO_STAPLES = "No staples, stitches or cuts through the filter or the seal."

_INVENTED = Source(invented=True)

PARTS: dict[str, Part] = {
    "ear-loops": Part(
        name="Ear loops",
        slot=Slot.STRAPS,
        material="Round elastic, 3 mm",
        dimensions="2 loops, about 180 mm each",
        fitting="Welded to the mask's corners by the maker; one loop over each ear.",
        can_be_undone=True,
        source=_INVENTED,
    ),
    "headbands": Part(
        name="Two headbands",
        slot=Slot.STRAPS,
        material="Flat rubber band, latex-free",
        dimensions="2 bands, 5 mm wide",
        fitting="Fixed by the maker; the upper band over the crown, the lower one under the ears.",
        can_be_undone=True,
        cautions=(SNAP,),
        source=_INVENTED,
    ),
    "crossed-band": Part(
        name="Crossed band behind the head",
        slot=Slot.STRAPS,
        material="Braided elastic, 5 mm, with a cord lock",
        dimensions="700 mm, trimmed to the head",
        fitting=(
            "Thread one elastic through both ear loops and cross it behind the head, so that one end runs over the "
            "crown and the other along the neck. Join the ends in the cord lock and pull until the rim lies on the "
            "cheeks without folds. The loops stay whole."
        ),
        can_be_undone=True,
        cautions=(APPROVAL, SNAP, "Stop if the band gives a headache: the loops are then pulled too tight."),
        source=_INVENTED,
    ),
    "loop-clip": Part(
        name="Clip joining the ear loops",
        slot=Slot.STRAPS,
        material="Polypropylene hook strip with three notches",
        dimensions="120 × 20 × 1.5 mm",
        fitting="Hook both ear loops into the strip at the back of the head, in the notch that draws the rim snug.",
        can_be_undone=True,
        cautions=(APPROVAL, SNAP, "Smooth the edges of a home-made clip: they press on the scalp."),
        source=_INVENTED,
    ),
    "plain-wire": Part(
        name="Plain sheathed wire",
        slot=Slot.NOSE_WIRE,
        material="Annealed steel in a polyethylene sheath",
        dimensions="85 mm, ⌀ 0.5 mm",
        fitting="Sealed into the upper hem by the maker; pressed over the nose with both hands.",
        can_be_undone=True,
        section=Section(shape=WireShape.ROUND, material=WireMaterial.STEEL, diameter_mm=0.5),
        source=_INVENTED,
    ),
    "slim-strip": Part(
        name="Slim aluminium strip",
        slot=Slot.NOSE_WIRE,
        material="Soft aluminium, glued on",
        dimensions="85 × 5 × 0.5 mm",
        fitting="Glued to the outside by the maker; pressed over the nose with both hands.",
        can_be_undone=True,
        section=Section(shape=WireShape.STRIP, material=WireMaterial.ALUMINIUM, width_mm=5, thickness_mm=0.5),
        source=_INVENTED,
    ),
    "broad-strip": Part(
        name="Stiff aluminium strip",
        slot=Slot.NOSE_WIRE,
        material="Soft aluminium strip, corners rounded with a file",
        dimensions="90 × 5 × 1 mm",
        fitting=(
            "Bend the strip over the bridge first, on the bare face, then tape it along the upper hem outside the old "
            "wire with cloth tape that covers both ends. Press it down from the middle outwards with the mask on."
        ),
        can_be_undone=True,
        cautions=(APPROVAL, SHARP, NO_STAPLES),
        section=Section(shape=WireShape.STRIP, material=WireMaterial.ALUMINIUM, width_mm=5, thickness_mm=1),
        source=_INVENTED,
    ),
    "paired-wire": Part(
        name="Second sheathed wire beside the first",
        slot=Slot.NOSE_WIRE,
        material="Annealed steel in a polyethylene sheath, two side by side",
        dimensions="85 mm, 2 × ⌀ 0.4 mm",
        fitting="Slip the pair into the hem in place of the old wire through a slit in the hem alone; tape the slit.",
        can_be_undone=True,
        cautions=(APPROVAL, SHARP, NO_STAPLES),
        section=Section(shape=WireShape.ROUND, material=WireMaterial.STEEL, diameter_mm=0.4, count=2),
        source=_INVENTED,
    ),
    "thin-foam": Part(
        name="Thin nose foam",
        slot=Slot.NOSE_FOAM,
        material="Open-cell polyurethane foam",
        dimensions="80 × 10 × 3 mm",
        fitting="Glued under the nose wire by the maker.",
        can_be_undone=True,
        source=_INVENTED,
    ),
    "foam-strip": Part(
        name="Thick foam strip",
        slot=Slot.NOSE_FOAM,
        material="Closed-cell EVA foam with an adhesive back",
        dimensions="90 × 12 × 6 mm",
        fitting=(
            "Clean the inside of the upper edge with a dry cloth, peel the strip, and stick it under the wire with its "
            "middle on the middle of the nose. Press for a minute. It cannot be lifted without tearing the cover web."
        ),
        can_be_undone=False,
        cautions=(APPROVAL, SKIN, "No solvents near the filter: they destroy its charge."),
        source=_INVENTED,
    ),
    "edge-tape": Part(
        name="Paper tape around the rim",
        slot=Slot.EDGE,
        material="Microporous skin tape",
        dimensions="25 mm wide, about 500 mm in four pieces",
        fitting=(
            "Put the mask on and check its seal, then tape the rim to the skin: nose first, then both cheeks, the chin "
            "last, half of the tape on the mask and half on the face."
        ),
        can_be_undone=True,
        cautions=(APPROVAL, SKIN, "Keep the tape away from the eyelids, and be able to tear it off at once."),
        source=_INVENTED,
    ),
    "wire-brace": Part(
        name="Brace of bent wire",
        slot=Slot.BRACE,
        material="Coated garden wire, ⌀ 2.5 mm, ends curled into loops",
        dimensions="Two arches joined at the cheeks, about 150 × 120 mm",
        fitting=(
            "Lay the brace over the mask from outside so that it follows the rim over nose, cheeks and chin, and hold "
            "it with an elastic behind the head. Bend it until no gap shows when pressed lightly."
        ),
        can_be_undone=True,
        cautions=(APPROVAL, SHARP, SNAP),
        source=_INVENTED,
    ),
    "inner-bracket": Part(
        name="Bracket inside the mask",
        slot=Slot.OTHER,
        material="Moulded polyethylene",
        dimensions="95 × 70 × 25 mm",
        fitting="Placed between mask and mouth so that the fabric stands off the lips.",
        can_be_undone=True,
        cautions=(APPROVAL, "It lifts the rim on small faces: check the seal at chin and cheeks."),
        source=_INVENTED,
    ),
}
