"""Amounts with units in a schedule's file: "9.6 mil", "24 h", "77 degF"; a mistake stands with its line."""

from __future__ import annotations

from plytally.core.quantities import Dimension, Quantity, UnitError, parse_quantity
from plytally.core.tree import Node, Reading


def amount(reading: Reading, node: Node, what: str, dimension: Dimension) -> Quantity | None:
    """Give an amount above zero of the dimension, in the unit as written; `what` reads "the cup of epoxy".

    Gives None where nothing is written, and where what is written is wrong: that stands in `reading`.
    """
    return _read(reading, node, what, dimension, above_zero=True)


def level(reading: Reading, node: Node, what: str, dimension: Dimension) -> Quantity | None:
    """Give an amount that may be zero or below, as a temperature may; else like `amount`."""
    return _read(reading, node, what, dimension, above_zero=False)


def _read(
    reading: Reading, node: Node, what: str, dimension: Dimension, *, above_zero: bool
) -> Quantity | None:
    text = reading.text(node, what)
    if not text:
        return None
    try:
        quantity = parse_quantity(text)
    except UnitError as problem:
        reading.complain(node, f"{what}: {problem}")
        return None
    if quantity.unit.dimension is dimension and (quantity.amount > 0 or not above_zero):
        return quantity
    wanted = f"{dimension.value} above zero" if above_zero else dimension.value
    reading.complain(node, f"{what} is given as a {wanted}, found {text}")
    return None
