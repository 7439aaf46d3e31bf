"""How a sum is refused.

ShopError            found, where, what to do
├── WrongKind        a unit of another kind than the one asked for: grams where inches belong
├── OutOfRange       negative, nothing, over 100 %, or beyond what any shop has
├── NotPossible      nature forbids it here: more vacuum than there is air, a leak that beats the pump
└── TooFew           not enough readings, stations or pieces to say anything
"""

from __future__ import annotations


class ShopError(ValueError):
    """A sum that cannot be done as asked; says where, what was found there, and what to do."""

    def __init__(self, where: str, found: object, what_to_do: str) -> None:
        super().__init__(f"{where}: found {found}; {what_to_do}")
        self.where = where
        self.found = str(found)
        self.what_to_do = what_to_do


class WrongKind(ShopError):
    """An amount of another kind than the one asked for."""


class OutOfRange(ShopError):
    """An amount that is negative, nothing, over 100 %, or beyond what any shop has."""


class NotPossible(ShopError):
    """An amount that nature forbids here."""


class TooFew(ShopError):
    """Not enough readings, stations or pieces to say anything."""
