"""An amount in every other unit of its kind: shop units and SI, both ways.

same_in(Quantity(22 inHg)) -> 745 mbar, 74.5 kPa, 10.81 psi …
"""

from __future__ import annotations

from plytally.core.quantities import UNITS, Quantity
from plytally.core.shop.sources import NIST
from plytally.core.shop.worked import Formula, Worked

SAME = Formula("the same", "amount · factor of its unit / factor of the other (offsets first)", NIST, "")


def same_in(amount: Quantity) -> tuple[Worked[Quantity], ...]:
    """The amount in each other unit of its dimension, exact but for the last rounding at 12 digits."""
    others = (unit for unit in UNITS.values() if unit.dimension is amount.unit.dimension)
    return tuple(
        SAME.gives(amount.to(unit), {"amount": amount}, f"in {unit.spoken[1]}")
        for unit in others
        if unit != amount.unit
    )
