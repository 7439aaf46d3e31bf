"""Whole sums in mixed units against pint, which carries the units through on its own."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Quantity, Ratio
from plytally.core.shop.balance import Item, moment_of
from plytally.core.shop.laminate import Cloth, Plies, stack_thickness, way_of, wet_out
from plytally.core.shop.resin import Spread, batch_for_area
from plytally.core.shop.vacuum import clamping

THEIRS = pint.UnitRegistry()
NAMES = {"oz/yd2": "oz / yard ** 2", "g/m2": "g / m ** 2", "lb/ft3": "lb / ft ** 3", "g/cm3": "g / cm ** 3"}
NAMES |= {
    "in2": "inch ** 2",
    "m2": "m ** 2",
    "yd2": "yard ** 2",
    "inHg": "inch_Hg",
    "in": "inch",
    "%": "percent",
}
PLAIN = settings(max_examples=40, deadline=None)


def amounts(low, high, *symbols):
    number = st.decimals(low, high, places=2)
    return st.builds(Quantity, number, st.sampled_from([UNITS[symbol] for symbol in symbols]))


def theirs(amount):
    return THEIRS.Quantity(float(amount.amount), NAMES.get(amount.unit.symbol, amount.unit.symbol))


def agrees(ours, reference, unit):
    return float(ours.value.to(unit).amount) == pytest.approx(
        reference.to(NAMES.get(unit, unit)).magnitude, rel=1e-9
    )


WEIGHTS = amounts(1, 600, "oz/yd2", "g/m2")
DENSITIES = st.one_of(amounts(1, 3, "g/cm3"), amounts(60, 190, "lb/ft3"))
AREAS = amounts(1, 500, "in2", "m2", "yd2")


@PLAIN
@given(WEIGHTS, DENSITIES, amounts(10, 69, "%"), st.integers(1, 40))
def test_the_thickness_of_a_stack_agrees_with_pint(weight, density, volume, number):
    ours = stack_thickness([Plies(number, Cloth("cloth", weight, density))], way_of(volume))

    assert agrees(ours, number * theirs(weight) / (theirs(density) * theirs(volume)), "in")


@PLAIN
@given(WEIGHTS, DENSITIES, DENSITIES, amounts(10, 69, "%"), AREAS)
def test_the_resin_over_an_area_agrees_with_pint(weight, density, resin_density, volume, area):
    ours = wet_out([Plies(1, Cloth("cloth", weight, density))], area, way_of(volume), resin_density)

    depth = theirs(weight) / (theirs(density) * theirs(volume))
    resin = theirs(area) * depth * (1 - theirs(volume)) * theirs(resin_density)
    assert agrees(ours.resin, resin, "g")
    assert agrees(ours.finished, resin + theirs(area) * theirs(weight), "g")


@PLAIN
@given(AREAS, amounts(1, 9, "g", "oz"), AREAS, st.decimals(1, 9, places=1))
def test_a_batch_for_an_area_agrees_with_pint(area, mix, on, parts):
    ours = batch_for_area(area, Spread(mix, on), Ratio(parts, Decimal(1)))

    assert agrees(ours.hardener, theirs(area) / theirs(on) * theirs(mix) / (float(parts) + 1), "g")


@PLAIN
@given(st.one_of(amounts(1, 29, "inHg", "kPa"), amounts(1, 14, "psi")), AREAS)
def test_the_force_of_a_bag_agrees_with_pint(gauge, area):
    ours = clamping(gauge, area)

    assert agrees(ours.force, theirs(gauge) * theirs(area), "lbf")


@PLAIN
@given(amounts(1, 900, "g", "lb", "oz"), amounts(-30, 30, "in", "mm", "ft"))
def test_a_moment_agrees_with_pint(mass, arm):
    ours = moment_of(Item("part", mass, arm)).value.to("N-m").amount

    reference = (
        (theirs(mass) * THEIRS.Quantity(1, "standard_gravity") * theirs(arm)).to("newton * meter").magnitude
    )
    assert float(ours) == pytest.approx(reference, rel=1e-9, abs=1e-9)
