"""What the next note is likely to be about: the part at work, what the print asks there, what is in use.

A shop has an order: whoever began on the left spar this morning speaks of it again, the print asks for two
plies there and not for five, and the cup is mixed from the batch that is open. `Expected` is that, taken from
the log and the print; `odds` says by how much it speaks for a note (in natural logarithms of odds). It only
ever shifts what sound decides, see `leaning`: what contradicts the print is just what must be recorded.

How much each row weighs is judged, not counted: there is no log of real builders to count in.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from plytally.core.crediting import Dated
from plytally.core.entry import FieldValue, Place
from plytally.core.ledger import Ledger, place_of
from plytally.core.schedule import DO
from plytally.core.unusual import doubts_of_amounts
from plytally.core.wall import DAY_MS, wall_millis

PART, SIDE = 1.6, 0.8
"""The part at work, and its side: half of the notes of a day are about the same part as the one before."""

OWED, NOT_ASKED = 1.2, -1.0
"""A place where plies are still owed, and one where the print asks for none."""

MATERIAL, PLIES, ORIENTATION = 1.0, 1.5, 1.0
"""What the print asks for at the place."""

BATCH, RATIO = 2.5, 1.5
"""Of the cup before."""

DUE, FOLLOWS = 0.7, 0.7
"""Work that the print asks for on the part; work that mostly comes after the work before."""

UNUSUAL = -2.0
"""An amount that a shop seldom sees."""

# What mostly comes next. Common practice, no source.
NEXT: Mapping[str, tuple[str, ...]] = {
    "started": ("shop_air", "mixed", "laid", "sanded", "trimmed"),
    "shop_air": ("mixed", "started"),
    "mixed": ("laid", "bonded", "clock"),
    "laid": ("laid", "mixed", "bagged", "photo"),
    "bagged": ("vacuum", "photo", "clock"),
    "vacuum": ("vacuum", "bag_off", "stopped", "clock"),
    "bag_off": ("peeled", "measured", "trimmed"),
    "peeled": ("trimmed", "sanded", "measured", "weighed"),
    "bonded": ("clamped", "clock"),
    "clamped": ("clock", "cured", "stopped"),
    "drilled": ("drilled", "mounted"),
    "mounted": ("mounted", "checked", "photo"),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """Plies that the print asks for at a place; `owed` are still open, `also` may be laid instead."""

    plies: int
    material: str
    orientation: str
    owed: int
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Expected:
    """What is going on in the shop. Empty, it speaks for nothing and against nothing.

    `part` and `side` are at work, `kind` is what was noted last; `asked` has every place with plies on the
    print, `due` the other work (kind, part, side) that is still to be done.
    """

    part: str = ""
    side: str = ""
    kind: str = ""
    batch: str = ""
    ratio: FieldValue | None = None
    asked: Mapping[Place, tuple[Asked, ...]] | None = None
    due: frozenset[tuple[str, str, str]] = frozenset()


NOTHING = Expected()


def expected(ledger: Ledger, latest_first: Iterable[Dated], before: int) -> Expected:
    """What is to be expected at `before` (Unix milliseconds) of a person whose entries these are.

    Entries of the time after do not count, nor do those of more than a day before, but for what was mixed.
    """
    part = side = kind = batch = ""
    ratio: FieldValue | None = None
    for dated in latest_first:
        when, fields = wall_millis(dated.when), dated.entry.fields
        if when >= before or dated.withdrawn:
            continue
        if when < before - DAY_MS:
            break
        kind = kind or dated.entry.kind
        if not part and "part" in fields and dated.entry.kind not in {"to_do", "to_answer"}:
            part, side = str(fields["part"]), str(fields.get("side", ""))
        if dated.entry.kind == "mixed":
            batch = batch or str(fields.get("batch", ""))
            ratio = ratio if ratio is not None else fields.get("ratio")
    return Expected(part, side, kind, batch, ratio, _asked(ledger, before), _due(ledger, before))


def _asked(ledger: Ledger, before: int) -> Mapping[Place, tuple[Asked, ...]]:
    return {
        place: tuple(
            Asked(
                demand.asked,
                demand.step.material,
                demand.step.orientation,
                demand.asked - sum(credit.plies for credit in demand.credits if credit.millis < before),
                tuple(other.material for other in demand.step.instead),
            )
            for demand in spot.demands
        )
        for place, spot in ledger.board.layup.items()
    }


def _due(ledger: Ledger, before: int) -> frozenset[tuple[str, str, str]]:
    return frozenset(
        (DO[demand.step.do], place_of(demand).part, place_of(demand).side)
        for spot in ledger.board.work.values()
        for demand in spot.demands
        if not any(credit.millis < before for credit in demand.credits)
    )


def odds(kind: str, fields: Mapping[str, FieldValue], by: Expected) -> float:
    """How much likelier than others this note is, as natural logarithm of odds; 0 where nothing tells."""
    part, side = str(fields.get("part", "")), str(fields.get("side", ""))
    found = UNUSUAL * any(True for _ in doubts_of_amounts(kind, fields))
    if by.part and part == by.part:
        found += PART + SIDE * (side == by.side)
    found += FOLLOWS * (kind in NEXT.get(by.kind, ())) + DUE * ((kind, part, side) in by.due)
    if by.batch and kind == "mixed":
        found += BATCH * (fields.get("batch") == by.batch)
    if by.ratio is not None:
        found += RATIO * (fields.get("ratio") == by.ratio)
    return found + (_of_print(fields, by) if kind == "laid" else 0.0)


def _of_print(fields: Mapping[str, FieldValue], by: Expected) -> float:
    """How well a layup fits the best of what the print asks for at its place."""
    if by.asked is None:
        return 0.0
    names = ("part", "side", "face", "feature", "station")
    rows = by.asked.get(Place(*(str(fields.get(name, "")) for name in names)))
    if rows is None:
        return NOT_ASKED
    return max(_fit(fields, row) for row in rows)


def _fit(fields: Mapping[str, FieldValue], row: Asked) -> float:
    return (
        OWED * (row.owed > 0)
        + MATERIAL * (fields.get("material") in (row.material, *row.also))
        + PLIES * (fields.get("plies") in (row.plies, row.owed))
        + ORIENTATION * (fields.get("orientation", row.orientation) == row.orientation)
    )
