"""A cup as it was weighed: resin and hardener, held against the ratio that the maker gives by weight.

A wrong ratio is no small matter: too little or too much hardener leaves resin that never gets its strength,
and too much heats the cup. Nothing is refused; it is asked, and the builder decides by the maker's sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from plytally.core.entry import Doubt, Entry, FieldValue
from plytally.core.quantities import Quantity, Ratio, format_quantity
from plytally.core.resin_systems import Resin, ratio_doubt, resin_of

TOLERANCE = Decimal("0.03")
"""So far off, in parts of the hardener, a cup may be and asks nothing: common practice, no source."""

CAUTION = "a wrong ratio may never cure to strength; the maker's sheet decides, not this log"


def cup_mass(fields: Mapping[str, FieldValue]) -> Quantity | None:
    """What is in the cup: resin and hardener together where both were told; None where no mass was."""
    mass, hardener = fields.get("mass"), fields.get("hardener")
    if not isinstance(mass, Quantity):
        return None
    if not isinstance(hardener, Quantity):
        return mass
    return Quantity(mass.amount + hardener.to(mass.unit.symbol).amount, mass.unit)


def cup_doubts(systems: Sequence[Resin], entry: Entry) -> Iterator[Doubt]:
    """What to ask about a cup: its ratio as it was said, and its masses where they are off the ratio."""
    if doubt := ratio_doubt(systems, entry):
        yield doubt
    mass, hardener = entry.fields.get("mass"), entry.fields.get("hardener")
    if not isinstance(mass, Quantity) or not isinstance(hardener, Quantity):
        return
    said, system = entry.fields.get("ratio"), resin_of(systems, str(entry.fields.get("resin", "")))
    if system is not None and system.by_weight is not None:
        yield from _off(mass, hardener, system.by_weight, f"the print gives {system.by_weight} by weight")
    elif isinstance(said, Ratio):
        yield from _off(mass, hardener, said, f"{said} was said")
    elif hardener.si() > mass.si():
        yield Doubt("hardener", format_quantity(hardener), "", f"more hardener than resin; {CAUTION}")


def _off(mass: Quantity, hardener: Quantity, ratio: Ratio, given: str) -> Iterator[Doubt]:
    first, second = ratio.parts
    wanted = Quantity(mass.amount * second / first, mass.unit).to(hardener.unit.symbol)
    if wanted.amount == 0 or abs(hardener.amount - wanted.amount) <= TOLERANCE * wanted.amount:
        return
    rounded = Quantity(round(wanted.amount, 1).normalize() + 0, hardener.unit)
    share = round(100 * (hardener.amount - wanted.amount) / wanted.amount)
    off = f"{abs(share)} % too {'much' if share > 0 else 'little'} hardener"
    why = f"{given}: {format_quantity(rounded)} for {format_quantity(mass)}; this is {off}; {CAUTION}"
    yield Doubt("hardener", format_quantity(hardener), format_quantity(rounded), why)
