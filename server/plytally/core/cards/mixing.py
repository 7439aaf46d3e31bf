"""Cards about resin: batches and cups, misweighing, ratios."""

from __future__ import annotations

from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, CardError, Holds, Told
from plytally.core.cards.laying import STACK, Rows, stack_of, way_named
from plytally.core.quantities import Dimension, Quantity, Ratio
from plytally.core.shop.resin import (
    COMMON_POT,
    NO_WASTE,
    Batch,
    By,
    Spread,
    batch_for_area,
    batch_for_plies,
    batch_with,
    cups,
    ratio_by_volume,
    ratio_by_weight,
    split,
)
from plytally.core.shop.weighing import ALLOWED, dispensed, least_mix, scaled
from plytally.core.shop.weighing import weighed as held

_RATIO = Ask("ratio", "Ratio, resin to hardener", Holds.RATIO, "Like 4:1 or 100:45.", needed=True, first=True)
_CUPFUL = ("g", "oz", "lb", "mL", "fl_oz")
_BY_VOLUME = Ask(
    "by_volume",
    "The ratio counts volume",
    Holds.YES,
    "The ratio counts volume; amounts are then volumes. Else weight.",
    rare=True,
)


def mix(ratio: Ratio, by_volume: bool, cup: Quantity | None, **asked: Any) -> Told:
    """Resin and hardener for a mix, an area or plies; in several cups where a cup is given."""
    by = By.VOLUME if by_volume else By.WEIGHT
    batch = _batch(ratio, by, **asked)
    return [batch, *([cups(batch.mix.value, ratio, cup, by)] if cup else [])]


def _batch(
    ratio: Ratio,
    by: By,
    *,
    whole: Quantity | None,
    resin: Quantity | None,
    area: Quantity | None,
    each: tuple[Quantity, Quantity] | None,
    plies: Rows,
    fibre: str,
    density: Quantity | None,
    way: str,
    fibre_volume: Quantity | None,
    waste: Quantity,
) -> Batch:
    if [whole is None, resin is None, area is None].count(False) != 1:
        raise CardError("", "give one of whole, resin and area")
    if whole:
        return split(whole, ratio, by)
    if resin:
        return batch_with(resin, ratio, by)
    if area is None or bool(each) is bool(plies):
        raise CardError("", "an area goes with how much mix on how much area, or with plies of a cloth")
    if each:
        return batch_for_area(area, Spread(*each), ratio, by)
    if by is By.VOLUME:
        raise CardError("", "plies are reckoned by weight: give the ratio by weight (the card of ratios)")
    return batch_for_plies(stack_of(plies, fibre, density), area, ratio, way_named(way, fibre_volume), waste)


def weighed(ratio: Ratio, resin: Quantity, hardener: Quantity, by_volume: bool, allowed: Quantity) -> Told:
    """What is wrong with what was weighed into a cup, and what to add before mixing."""
    found = held(ratio, resin, hardener, By.VOLUME if by_volume else By.WEIGHT, allowed)
    verdict = "within" if found.within else "OUT OF"
    return [f"the cup is {verdict} the {allowed} allowed", found]


def scale(
    ratio: Ratio, step: Quantity, mix: Quantity | None, allowed: Quantity, tolerance: Quantity | None
) -> Told:
    """The smallest mix that a scale weighs well enough; how far off a mix, or a dispenser, can be."""
    told: list[Any] = [least_mix(ratio, step, allowed), *([scaled(mix, ratio, step)] if mix else [])]
    return [*told, *([dispensed(tolerance)] if tolerance else [])]


def ratio(ratio: Ratio, resin_density: Quantity, hardener_density: Quantity, by_weight: bool) -> Told:
    """A ratio by volume told by weight, or the other way round."""
    return [(ratio_by_volume if by_weight else ratio_by_weight)(ratio, resin_density, hardener_density)]


MIXING = (
    Card(
        "mix",
        "Resin and hardener for a mix",
        "Resin",
        "Resin and hardener for a mix, an area or plies; in several cups where a cup is given.",
        'mix 4:1 --area "240 in2" --each "2 g" "1 in2" --cup "100 g"',
        (
            _RATIO,
            _BY_VOLUME,
            Ask("whole", "So much mix", Dimension.MASS, "Resin and hardener together.", units=_CUPFUL),
            Ask(
                "resin",
                "Or: with so much resin",
                Dimension.MASS,
                "Then also the hardener that goes with it.",
                units=_CUPFUL,
            ),
            Ask(
                "area",
                "Or: for an area",
                Dimension.AREA,
                "With so much on so much, or with plies of a cloth.",
            ),
            Asks(
                "each",
                "Area: so much mix on so much",
                (
                    Ask("mix", "Mix", Dimension.MASS, units=("g", "oz", "mL", "fl_oz"), needed=True),
                    Ask("area", "On", Dimension.AREA, units=("in2", "ft2", "cm2", "m2"), needed=True),
                ),
                "Like 2 g on 1 in2.",
            ),
            *STACK,
            Ask("waste", "Left in cup and brush", Dimension.FRACTION, usual=str(NO_WASTE), rare=True),
            Ask(
                "cup",
                "Most in a cup",
                Dimension.MASS,
                f"{COMMON_POT} is a common pot.",
                units=("g", "oz", "mL", "fl_oz"),
            ),
        ),
        mix,
    ),
    Card(
        "weighed",
        "Check what was weighed out",
        "Resin",
        "What is wrong with what was weighed into a cup, and what to add before mixing.",
        'weighed 4:1 "400 g" "104 g"',
        (
            _RATIO,
            Ask(
                "resin",
                "Resin in the cup",
                Dimension.MASS,
                needed=True,
                first=True,
                units=_CUPFUL,
            ),
            Ask(
                "hardener",
                "Hardener in the cup",
                Dimension.MASS,
                needed=True,
                first=True,
                units=_CUPFUL,
            ),
            _BY_VOLUME,
            Ask("allowed", "Allowed error", Dimension.FRACTION, usual=str(ALLOWED), rare=True),
        ),
        weighed,
    ),
    Card(
        "scale",
        "Smallest mix for a scale",
        "Resin",
        "The smallest mix that a scale with such steps weighs well enough.",
        'scale 4:1 "1 g" --mix "200 g"',
        (
            _RATIO,
            Ask("step", "Step of the scale", Dimension.MASS, needed=True, first=True),
            Ask("mix", "A mix", Dimension.MASS, "Then also how far off this mix can be."),
            Ask(
                "tolerance",
                "Dispenser: each part within ±",
                Dimension.FRACTION,
                "Then also how far off the hardener can be at worst.",
            ),
            Ask("allowed", "Allowed error", Dimension.FRACTION, usual=str(ALLOWED), rare=True),
        ),
        scale,
    ),
    Card(
        "ratio",
        "Ratio by volume or by weight",
        "Resin",
        "A ratio by volume told by weight, or the other way round.",
        'ratio 2:1 "1.15 g/cm3" "0.97 g/cm3"',
        (
            _RATIO,
            Ask("resin_density", "Density of the resin", Dimension.DENSITY, needed=True, first=True),
            Ask("hardener_density", "Density of the hardener", Dimension.DENSITY, needed=True, first=True),
            Ask(
                "by_weight",
                "The ratio is by weight",
                Holds.YES,
                "The ratio given is by weight: tell it by volume.",
            ),
        ),
        ratio,
    ),
)
