"""The card of units: one amount in all the others of its kind."""

from __future__ import annotations

from plytally.core.cards.card import Ask, Card, Holds, Told
from plytally.core.quantities import UNITS, Quantity
from plytally.core.shop.same_in import same_in


def units(amount: Quantity) -> Told:
    """An amount in every other unit of its kind."""
    return list(same_in(amount))


UNIT_CARDS = (
    Card(
        "units",
        "The same in other units",
        "Units",
        "An amount in every other unit of its kind, shop units and SI.",
        'units "22 inHg"',
        (Ask("amount", "Amount", Holds.AMOUNT, units=tuple(UNITS), needed=True, first=True, signed=True),),
        units,
    ),
)
