"""The air outside the bag against printed tables and two reference libraries.

Tags: S seen in the source · R seen and recomputed · C our arithmetic, not published.
"""

from decimal import Decimal

import ambiance
import fluids
import numpy as np
import pytest

from plytally.core.quantities import Quantity, parse_quantity, unit_named
from plytally.core.shop.atmosphere import Height, geopotential, pressure_height, standard_pressure
from plytally.core.shop.vacuum import reachable


@pytest.mark.parametrize(
    ("height", "printed"),
    [
        pytest.param("0 ft", "29.92 inHg", id="altitude-pressure table, sea level, S"),
        pytest.param("1000 ft", "28.86 inHg", id="altitude-pressure table, 1000 ft, S"),
        pytest.param("2000 ft", "27.82 inHg", id="altitude-pressure table, 2000 ft, S"),
        pytest.param("5000 ft", "24.89 inHg", id="altitude-pressure table, 5000 ft, S"),
        pytest.param("8000 ft", "22.22 inHg", id="altitude-pressure table, 8000 ft, S"),
        pytest.param("10000 ft", "20.57 inHg", id="altitude-pressure table, 10000 ft, S"),
        pytest.param("0 ft", "1013.25 hPa", id="our arithmetic, sea level, C"),
        pytest.param("1000 ft", "977.17 hPa", id="our arithmetic, 1000 ft, C"),
        pytest.param("2000 ft", "942.13 hPa", id="our arithmetic, 2000 ft, C"),
        pytest.param("5000 ft", "843.07 hPa", id="our arithmetic, 5000 ft, C"),
        pytest.param("8000 ft", "752.62 hPa", id="our arithmetic, 8000 ft, C"),
        pytest.param("10000 ft", "696.82 hPa", id="our arithmetic, 10000 ft, C"),
        pytest.param("8000 ft", "22.225 inHg", id="our arithmetic, 8000 ft in inHg, C"),
        pytest.param("-1000 ft", "1050.41 hPa", id="US Std Atm 1976 geopotential table, -1000 ft, R"),
        pytest.param("-1000 ft", "31.018 inHg", id="US Std Atm 1976 geopotential table, -1000 ft inHg, R"),
        pytest.param("-2000 ft", "1088.66 hPa", id="US Std Atm 1976 geopotential table, -2000 ft, R"),
        pytest.param("-2000 ft", "32.148 inHg", id="US Std Atm 1976 geopotential table, -2000 ft inHg, R"),
        pytest.param("-5000 ft", "1210.23 hPa", id="US Std Atm 1976 geopotential table, -5000 ft, R"),
        pytest.param("-5000 ft", "35.738 inHg", id="US Std Atm 1976 geopotential table, -5000 ft inHg, R"),
    ],
)
def test_standard_pressure_at_a_geopotential_height_is_the_one_printed(height, printed):
    wanted = parse_quantity(printed)
    last_digit = Decimal(1).scaleb(wanted.amount.as_tuple().exponent)

    ours = standard_pressure(parse_quantity(height)).value.to(wanted.unit).amount

    # The printed tables cut their last digit off or round it: within one unit of it.
    assert abs(ours - wanted.amount) < last_digit


@pytest.mark.parametrize(
    ("height", "pascals"),
    [
        pytest.param("1000 m", "89876.3", id="ICAO Doc 7488-3 by ambiance, 1000 m geometric, S"),
        pytest.param("2000 m", "79501.4", id="ICAO Doc 7488-3 by ambiance, 2000 m geometric, S"),
        pytest.param("5000 m", "54048.28614576141", id="fluids test_atmosphere, 5000 m geometric"),
    ],
)
def test_standard_pressure_at_a_geometric_height_is_the_one_printed(height, pascals):
    ours = standard_pressure(parse_quantity(height), Height.GEOMETRIC).value.to("Pa").amount

    assert float(ours) == pytest.approx(float(pascals), abs=0.05)


@pytest.mark.parametrize("metres", [pytest.param(m, id=f"fluids {m} m") for m in range(-1000, 20_000, 1500)])
def test_standard_pressure_agrees_with_fluids_over_all_heights_of_a_shop(metres):
    theirs = fluids.ATMOSPHERE_1976(metres).P

    ours = standard_pressure(parse_quantity(f"{metres} m"), Height.GEOMETRIC).value.si()

    assert float(ours) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(
    "metres", [pytest.param(m, id=f"ambiance {m} m") for m in range(-4500, 20_000, 3500)]
)
def test_standard_pressure_and_geopotential_height_agree_with_ambiance(metres):
    height = parse_quantity(f"{metres} m")
    theirs = ambiance.Atmosphere(np.array([float(metres)]))

    ours = float(standard_pressure(height, Height.GEOMETRIC).value.si())

    # From 11 km up theirs starts at 22632.0 Pa, as ICAO prints it, ours at the 22632.06 that follow.
    assert ours == pytest.approx(float(theirs.pressure[0]), rel=5e-6)
    assert float(geopotential(height).value.amount) == pytest.approx(float(theirs.H[0]), abs=1e-6)


def test_the_two_heights_differ_by_0_13_hpa_at_10_000_ft():
    """Our arithmetic, C; the libraries take geometric, the aviation tables geopotential height."""
    height = parse_quantity("10000 ft")

    one = standard_pressure(height, Height.GEOPOTENTIAL).value.to("hPa").amount
    other = standard_pressure(height, Height.GEOMETRIC).value.to("hPa").amount

    assert float(other - one) == pytest.approx(0.13, abs=0.005)


def test_22_inhg_stops_being_possible_a_little_above_8000_ft():
    """Our arithmetic, C: US Standard Atmosphere 1976, standard day, perfect pump."""
    wanted = parse_quantity("22 inHg")

    highest = pressure_height(wanted).value

    assert highest.unit == unit_named("ft")
    assert 8000 < highest.amount < 8500
    assert reachable(wanted, standard_pressure(parse_quantity("8000 ft")).value).possible
    above = Quantity(highest.amount + 1, highest.unit)
    assert not reachable(wanted, standard_pressure(above).value).possible
