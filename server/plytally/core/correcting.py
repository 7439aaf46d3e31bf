"""What a spoken correction changes in the entry before: "make it three", "make it left", "make it uni".

A bare number goes to the amount that is in doubt, else to the entry's first amount, in the unit that was
spoken there. Nothing is changed here; the caller amends the log, where the old value stays readable.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from plytally.core.entry import KINDS, Entry, FieldValue
from plytally.core.quantities import Quantity


class CorrectionError(ValueError):
    """A correction that does not fit the entry; the message says so to the builder."""


def correction(
    entry: Entry, in_doubt: Iterable[str], said: Mapping[str, FieldValue]
) -> Mapping[str, FieldValue]:
    """The fields that "make it …" changes, with their new values. CorrectionError where it fits none."""
    if "number" in said:
        return _number(entry, tuple(in_doubt), Decimal(str(said["number"])))
    fitting = {name: value for name, value in said.items() if name in KINDS[entry.kind].fields}
    if not fitting:
        raise CorrectionError(f"the last entry ({entry.kind}) has no {' or '.join(said) or 'such field'}")
    return fitting


def _number(entry: Entry, in_doubt: tuple[str, ...], number: Decimal) -> Mapping[str, FieldValue]:
    amounts = [
        name for name in KINDS[entry.kind].fields if isinstance(entry.fields.get(name), int | Quantity)
    ]
    doubted = [name for name in amounts if name in in_doubt]
    if not amounts:
        raise CorrectionError(f"the last entry ({entry.kind}) has no number to change")
    name = (doubted or amounts)[0]
    before = entry.fields[name]
    if isinstance(before, Quantity):
        return {name: Quantity(number, before.unit)}
    if number != number.to_integral_value():
        raise CorrectionError(f"{name} must be a whole number, not {number}")
    return {name: int(number)}
