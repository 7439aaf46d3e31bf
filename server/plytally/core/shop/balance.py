"""Static balance of a control surface about its hinge: moments, the weight or arm that mends it, paint.

Arms are positive aft of the hinge line, negative ahead of it; a positive moment is tail-heavy. 100 % balanced
is a moment of zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import above_zero, of_kind, quantity
from plytally.core.shop.cautions import BALANCE
from plytally.core.shop.errors import NotPossible, OutOfRange, TooFew
from plytally.core.shop.sources import AC43, OURS
from plytally.core.shop.worked import Formula, Value, Worked

LEVEL = parse_quantity("0 in-lb")
_STANDARD_GRAVITY = Fraction("9.80665")

MOMENT = Formula("moment about the hinge", "M = m · x; positive aft is tail-heavy", OURS, BALANCE)
STATIC = Formula(
    "static moment", "M = Σ mᵢ·xᵢ; positive is tail-heavy, zero is 100 % balanced", OURS, BALANCE
)
BALANCED = Formula("balanced", "moments ahead of the hinge / moments aft of it", OURS, BALANCE)
WEIGHT = Formula(
    "balance weight", "m = (target − M) / x", OURS, f"Its attachment is part of the design. {BALANCE}"
)
ARM = Formula(
    "arm of the balance weight", "x = (target − M) / m; negative is ahead of the hinge", OURS, BALANCE
)
PAINT = Formula("weight of paint", "m = area · weight for each unit of area", OURS, BALANCE)
PAINTED = Formula(
    "moment of the paint",
    "M = m · x of the painted area's middle",
    f"{OURS}; {AC43}, 1-38: check the balance after repair or repainting",
    BALANCE,
)


@dataclass(frozen=True)
class Item:
    """A weight and its arm: positive aft of the hinge line."""

    name: str
    mass: Quantity
    arm: Quantity


@dataclass(frozen=True)
class Limits:
    """The static moments that the plans allow, ends included, and where they say so."""

    least: Quantity
    most: Quantity
    reference: str


@dataclass(frozen=True)
class Balance:
    """Each moment in in-lb, their sum, and how much of the tail-heavy ones is balanced (None if none is)."""

    moments: tuple[Worked[Quantity], ...]
    total: Worked[Quantity]
    balanced: Worked[Quantity] | None


@dataclass(frozen=True)
class Paint:
    """What paint weighs, in grams, and its moment in in-lb."""

    mass: Worked[Quantity]
    moment: Worked[Quantity]


def balance(items: Sequence[Item]) -> Balance:
    """Static balance of all parts of a surface. TooFew without any."""
    if not items:
        raise TooFew("balance", "no weights", "give at least one weight and its arm")
    moments = [_moment(item) for item in items]
    ahead, aft = -sum(m for m in moments if m < 0), sum(m for m in moments if m > 0)
    told: dict[str, Value] = {
        f"{at}. {item.name}": quantity(moment, "in-lb")
        for at, (item, moment) in enumerate(zip(items, moments, strict=True), 1)
    }
    return Balance(
        tuple(moment_of(item) for item in items),
        STATIC.gives(quantity(aft - ahead, "in-lb"), told),
        BALANCED.gives(quantity(Fraction(ahead) / aft, "%"), told) if aft else None,
    )


def moment_of(item: Item) -> Worked[Quantity]:
    """Moment of one weight about the hinge, in in-lb."""
    told: dict[str, Value] = {"weight": item.mass, "arm": item.arm}
    return MOMENT.gives(quantity(_moment(item), "in-lb"), told, f"moment of {item.name}")


def weight_at(moment: Quantity, arm: Quantity, target: Quantity = LEVEL) -> Worked[Quantity]:
    """Weight, in grams, that brings a moment to `target` from a given arm (negative ahead of the hinge).

    NotPossible where a weight there makes it worse, or none is needed.
    """
    missing, reach = _missing(moment, target), of_kind(arm, "arm", Dimension.LENGTH)
    if not reach or missing / reach <= 0:
        raise NotPossible(
            "balance weight",
            f"a moment of {moment} and an arm of {arm}",
            "no weight there brings it to the target; ahead of the hinge the arm is negative",
        )
    told: dict[str, Value] = {"moment": moment, "target": target, "arm": arm}
    return WEIGHT.gives(quantity(missing / reach / _STANDARD_GRAVITY, "g"), told)


def arm_for(moment: Quantity, mass: Quantity, target: Quantity = LEVEL) -> Worked[Quantity]:
    """Arm, in inches, at which a given weight brings a moment to `target`; negative is ahead of the hinge."""
    weight = above_zero(mass, "balance weight", Dimension.MASS) * _STANDARD_GRAVITY
    told: dict[str, Value] = {"moment": moment, "target": target, "weight": mass}
    return ARM.gives(quantity(_missing(moment, target) / weight, "in"), told)


def paint(area: Quantity, areal_weight: Quantity, arm: Quantity) -> Paint:
    """What a coat of paint weighs and does to the balance; `arm` is that of the painted area's middle."""
    size = above_zero(area, "painted area", Dimension.AREA)
    mass = quantity(size * above_zero(areal_weight, "weight of paint", Dimension.AREAL_WEIGHT), "g")
    told: dict[str, Value] = {"area": area, "weight for each area": areal_weight}
    moment = _moment(Item("paint", mass, arm))
    return Paint(
        PAINT.gives(mass, told), PAINTED.gives(quantity(moment, "in-lb"), {"weight": mass, "arm": arm})
    )


def within(moment: Quantity, limits: Limits) -> bool:
    """Tell whether a moment is within the plans' limits. OutOfRange if they are the wrong way round."""
    least, most = _turn(limits.least, "least moment"), _turn(limits.most, "most moment")
    if least > most:
        raise OutOfRange("limits", f"{limits.least} to {limits.most}", "give the lesser moment first")
    return least <= _turn(moment, "moment") <= most


def _moment(item: Item) -> Fraction:
    mass = above_zero(item.mass, f"weight of {item.name}", Dimension.MASS)
    return mass * _STANDARD_GRAVITY * of_kind(item.arm, f"arm of {item.name}", Dimension.LENGTH)


def _missing(moment: Quantity, target: Quantity) -> Fraction:
    return _turn(target, "target moment") - _turn(moment, "moment")


def _turn(moment: Quantity, where: str) -> Fraction:
    return of_kind(moment, where, Dimension.MOMENT)
