"""The card of a control surface's balance about its hinge."""

from __future__ import annotations

from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, Holds, Told
from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.balance import LEVEL, Item, Limits, arm_for, weight_at, within
from plytally.core.shop.balance import balance as balanced
from plytally.core.shop.balance import paint as painted_with


def balance(
    item: tuple[tuple[str, Quantity, Quantity], ...],
    paint: tuple[Quantity, Quantity, Quantity] | None,
    lead_arm: Quantity | None,
    lead: Quantity | None,
    target: Quantity,
    limits: tuple[Quantity, Quantity, str] | None,
) -> Told:
    """Static balance of a control surface about its hinge."""
    painted = painted_with(*paint) if paint else None
    parts = [Item(*each) for each in item]
    parts += [Item("paint", painted.mass.value, paint[2])] if painted and paint else []
    found = balanced(parts)
    moment = found.total.value
    told: list[Any] = [painted, found] if painted else [found]
    if limits:
        ruled = Limits(*limits)
        verdict = "within" if within(moment, ruled) else "OUT OF"
        told.insert(0, f"{verdict} {ruled.least} to {ruled.most} ({ruled.reference})")
    told += [weight_at(moment, lead_arm, target)] if lead_arm else []
    return [*told, *([arm_for(moment, lead, target)] if lead else [])]


_INCH = ("in", "mm", "cm")

BALANCING = (
    Card(
        "balance",
        "Balance of a control surface",
        "Fit",
        "Static balance of a control surface about its hinge; arms ahead of the hinge are negative.",
        'balance --item skins "1.8 lb" "5 in" --item horn "0.6 lb" "-4 in" --lead-arm "-4 in"',
        (
            Asks(
                "item",
                "Weights",
                (
                    Ask("name", "Name", Holds.NAME, needed=True),
                    Ask("weight", "Weight", Dimension.MASS, units=("lb", "oz", "g", "kg"), needed=True),
                    Ask("arm", "Arm", Dimension.LENGTH, units=_INCH, needed=True, signed=True),
                ),
                "Arms ahead of the hinge are negative.",
                most=16,
                shown=2,
                needed=True,
            ),
            Asks(
                "paint",
                "Paint",
                (
                    Ask("area", "Area", Dimension.AREA, needed=True),
                    Ask("areal_weight", "Its weight", Dimension.AREAL_WEIGHT, needed=True),
                    Ask("arm", "Arm", Dimension.LENGTH, units=_INCH, needed=True, signed=True),
                ),
                rare=True,
            ),
            Ask(
                "lead_arm",
                "Balance weight at an arm of",
                Dimension.LENGTH,
                "Then also the weight that balances it from there.",
                units=_INCH,
                signed=True,
            ),
            Ask(
                "lead",
                "Or a balance weight of",
                Dimension.MASS,
                "Then also the arm at which this weight balances it.",
                units=("lb", "oz", "g", "kg"),
            ),
            Ask(
                "target",
                "Moment aimed at",
                Dimension.MOMENT,
                "The moment aimed at.",
                usual=str(LEVEL),
                signed=True,
                rare=True,
            ),
            Asks(
                "limits",
                "Limits of the plans",
                (
                    Ask("least", "Least", Dimension.MOMENT, needed=True, signed=True),
                    Ask("most", "Most", Dimension.MOMENT, needed=True, signed=True),
                    Ask("reference", "Where the plans say so", Holds.NAME, needed=True),
                ),
                "From the plans.",
                rare=True,
            ),
        ),
        balance,
    ),
)
