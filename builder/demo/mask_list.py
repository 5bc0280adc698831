"""The masks on the invented bench, and which changes are tried on each."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain, combinations, product

import numpy as np

from builder.demo.invented_names import MAKERS, MODELS
from builder.demo.loggers import LONG_TEST, OPTICAL_COUNTS, SHORT_TEST, Logger
from builder.demo.part_list import PARTS
from builder.records.models import REMOVED, Filter, Mask, Slots, Source, configuration_id
from builder.records.vocabulary import MaskClass, SizeSelection, Slot, Style

SOLD_WITH_LOOPS = {"straps": "ear-loops", "nose-wire": "plain-wire"}
SOLD_WITH_BANDS = {"straps": "headbands", "nose-wire": "slim-strip"}
FOAM = {"nose-foam": "thin-foam"}


def _every_combination(*parts: str) -> tuple[str, ...]:
    return tuple("+".join(some) for n in range(1, len(parts) + 1) for some in combinations(parts, n))


@dataclass(frozen=True)
class MaskKind:
    """One kind of mask: what it is sold as, how many wearers try it on a bench of 16, and the changes tried first."""

    style: Style
    mask_class: MaskClass
    as_sold: dict[str, str]
    reach: int
    changes: tuple[str, ...] = ()
    size: str | None = None
    logger: Logger | None = None
    """Who alone measures it."""


KINDS = (
    # A complete factorial of three parts.
    MaskKind(
        Style.FLAT_FOLD,
        MaskClass.FFP2,
        SOLD_WITH_LOOPS,
        12,
        _every_combination("crossed-band", "broad-strip", "foam-strip"),
    ),
    # One part at a time.
    MaskKind(Style.THREE_PANEL, MaskClass.FFP2, SOLD_WITH_BANDS, 10, ("broad-strip", "foam-strip", "edge-tape")),
    # Half a factorial: as sold and every pair.
    MaskKind(
        Style.FLAT_FOLD,
        MaskClass.KN95,
        SOLD_WITH_LOOPS,
        9,
        ("crossed-band+broad-strip", "crossed-band+edge-tape", "broad-strip+edge-tape"),
    ),
    MaskKind(Style.DUCKBILL, MaskClass.N95, SOLD_WITH_BANDS, 8, ("wire-brace",), logger=SHORT_TEST),
    MaskKind(
        Style.PLEATED,
        MaskClass.MEDICAL,
        SOLD_WITH_LOOPS,
        7,
        ("loop-clip", "wire-brace", "paired-wire", "loop-clip+wire-brace"),
    ),
    MaskKind(Style.CUP, MaskClass.FFP3, SOLD_WITH_BANDS | FOAM, 2, ("no-nose-foam",)),
    # Two sizes of one model.
    MaskKind(
        Style.FLAT_FOLD,
        MaskClass.FFP2,
        SOLD_WITH_LOOPS | FOAM,
        8,
        _every_combination("crossed-band", "broad-strip"),
        size="M",
    ),
    MaskKind(Style.FLAT_FOLD, MaskClass.FFP2, SOLD_WITH_LOOPS | FOAM, 6, ("crossed-band",), size="S"),
    MaskKind(
        Style.THREE_PANEL,
        MaskClass.KF94,
        SOLD_WITH_LOOPS,
        7,
        ("loop-clip", "inner-bracket", "edge-tape"),
        logger=OPTICAL_COUNTS,
    ),
    MaskKind(Style.ELASTOMERIC, MaskClass.NONE, {"straps": "headbands"}, 5, logger=LONG_TEST),
    MaskKind(Style.PLEATED, MaskClass.NONE, SOLD_WITH_LOOPS, 6, ("crossed-band", "paired-wire")),
    MaskKind(Style.CUP, MaskClass.FFP2, SOLD_WITH_BANDS, 1, ("foam-strip",)),
)

NOTES = {
    Style.ELASTOMERIC: "Takes a pair of separate particle filters; the class is that of the filters, not of the mask.",
    Style.DUCKBILL: "Opens wide; shake it out before the first donning.",
}


@dataclass(frozen=True)
class Stocked:
    """A mask on the bench: its id, its record and its kind."""

    id: str
    record: Mask
    kind: MaskKind


@dataclass(frozen=True)
class DemoConfiguration:
    """A mask with parts changed: its id, the place of its mask in the list, what is changed, and how many try it."""

    id: str
    mask: int
    changed: Slots
    parts: tuple[str, ...]
    reach: int
    logger: Logger | None
    """Who alone measures it."""


def stock(count: int, rng: np.random.Generator) -> list[Stocked]:
    """Draw the masks: kinds in turn, each model under an invented name; a model's second size follows its first."""
    models = iter(MODELS.words(count, rng))
    makers = MAKERS.words(max(5, count // 3), rng)
    # Between 0.05 and 0.25 percent: good filters, so that the seal decides what is measured.
    penetration = np.round(100 * 10 ** rng.uniform(-3.3, -2.6, count), 3)
    maker_of = rng.integers(len(makers), size=count)
    masks: list[Stocked] = []
    for i in range(count):
        kind = KINDS[i % len(KINDS)]
        another_size = kind.size is not None and i > 0 and masks[-1].kind.size is not None
        model, maker = (
            (masks[-1].record.model, masks[-1].record.maker) if another_size else (next(models), makers[maker_of[i]])
        )
        record = Mask.model_validate(
            {
                "model": model,
                "size": kind.size,
                "maker": maker,
                "style": kind.style,
                "class": kind.mask_class,
                "as_sold": Slots.model_validate(kind.as_sold),
                "filter": _filter(float(penetration[i]), told=i % 8 == 1) if i % 4 == 1 else None,
                "notes": NOTES.get(kind.style),
                "source": Source(invented=True),
            }
        )
        masks.append(Stocked("-".join((model, kind.size or "")).strip("-").lower(), record, kind))
    return masks


def choose_configurations(masks: list[Stocked], count: int | None) -> list[DemoConfiguration]:
    """Choose the configurations: every mask as sold, then changes in turn over the masks until there are `count`.

    Without a count, the changes that each kind names. Raises ValueError when `count` is below the number of masks
    or above what the parts allow.
    """
    orders = [list(_changes(mask.kind)) for mask in masks]
    most = len(masks) + sum(map(len, orders))
    if count is None:
        taken = [len(mask.kind.changes) for mask in masks]
    elif len(masks) <= count <= most:
        taken = _in_turn([len(order) for order in orders], count - len(masks))
    else:
        raise ValueError(f"with {len(masks)} masks there can be {len(masks)} to {most} configurations, not {count}")
    return [
        _configuration(masks[i], i, parts, place)
        for i, order in enumerate(orders)
        for place, parts in enumerate(["", *order[: taken[i]]])
    ]


def _filter(percent: float, *, told: bool) -> Filter:
    """State a filter's penetration, and where `told` for which sizes."""
    return Filter(
        penetration_percent=percent,
        flow_l_min=95,
        size_selection=SizeSelection.ALL if told else None,
        source="Measured on the bench with salt, one sample",
    )


def _changes(kind: MaskKind) -> list[str]:
    """List the changes that can be made to a kind: those it names, then every other, fewest parts first."""
    open_slots = [("", *_fitting(kind, slot)) for slot in Slot]
    rest = ("+".join(filter(None, chosen)) for chosen in product(*open_slots))
    by_size = sorted(rest, key=lambda parts: parts.count("+"))
    return list(dict.fromkeys(chain(kind.changes, filter(None, by_size))))


def _fitting(kind: MaskKind, slot: Slot) -> tuple[str, ...]:
    """Give the parts that can fill a slot of this kind in place of what it has."""
    if kind.style is Style.ELASTOMERIC:
        return ("edge-tape",) if slot is Slot.EDGE else ()
    sold = kind.as_sold
    fitting = {
        Slot.STRAPS: ("crossed-band", "loop-clip") if sold["straps"] == "ear-loops" else (),
        Slot.NOSE_WIRE: ("broad-strip", "paired-wire") if sold["nose-wire"] == "plain-wire" else ("broad-strip",),
        Slot.NOSE_FOAM: ("foam-strip", "no-nose-foam") if "nose-foam" in sold else ("foam-strip",),
        Slot.EDGE: ("edge-tape",),
        Slot.BRACE: () if kind.style is Style.CUP else ("wire-brace",),
        Slot.OTHER: ("inner-bracket",),
    }
    return fitting.get(slot, ())  # the demo need not have parts for every slot


def _in_turn(room: list[int], count: int) -> list[int]:
    """Deal `count` places over the masks in turn, none more than its room."""
    left = np.array(room)
    # Dealing in turn levels the hands: everybody gets up to `level`, and the first who have room one more.
    level = int(np.searchsorted([np.minimum(left, k).sum() for k in range(left.max() + 2)], count, side="right")) - 1
    hands = np.minimum(left, level)
    more = np.flatnonzero(left > level)[: count - hands.sum()]
    hands[more] += 1
    return [int(n) for n in hands]


def _configuration(mask: Stocked, place: int, tokens: str, order: int) -> DemoConfiguration:
    parts = tuple(filter(None, tokens.split("+")))
    changed = Slots.model_validate(
        {
            token.removeprefix("no-") if token.startswith("no-") else str(PARTS[token].slot): (
                REMOVED if token.startswith("no-") else token
            )
            for token in parts
        }
    )
    # The first changes are tried by about half of those who tried the mask, the later ones by fewer and fewer.
    share = 1.0 if order == 0 else max(0.15, 0.65 - 0.1 * order)
    return DemoConfiguration(
        id=configuration_id(mask.id, changed),
        mask=place,
        changed=changed,
        parts=parts,
        reach=max(1, round(mask.kind.reach * share)),
        logger=mask.kind.logger,
    )
