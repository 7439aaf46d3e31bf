"""Straight lines against certified data, a worked example and numerical libraries."""

import json
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

from plytally.core.quantities import parse_quantity
from plytally.core.shop.hinges import Hinge, Through, hinge_line
from plytally.core.shop.line import least_squares, narrowest, zone
from plytally.core.shop.straightness import Station, straightness

NORRIS = json.loads((Path(__file__).parent / "norris.json").read_text())
WORKED = [(1, 8), (4, 5), (4, 7), (6, 4), (9, 4)]


def exact(points):
    return [(Fraction(str(x)), Fraction(str(y))) for x, y in points]


def norris():
    return exact(zip(NORRIS["x"], NORRIS["y"], strict=True))


@pytest.mark.parametrize(
    ("name", "ours"),
    [
        pytest.param("slope", lambda line: line.slope, id="NIST StRD Norris, certified slope, R"),
        pytest.param("intercept", lambda line: line.level, id="NIST StRD Norris, certified intercept, R"),
    ],
)
def test_least_squares_give_the_certified_line_to_its_last_digit(name, ours):
    certified = NORRIS["certified"][name]

    assert float(ours(least_squares(norris()))) == pytest.approx(certified, rel=1e-14)


def test_least_squares_leave_the_certified_sum_of_squares():
    """NIST StRD Norris, certified residual sum of squares."""
    line = least_squares(norris())

    squares = sum(line.above(point) ** 2 for point in norris())

    assert float(squares) == pytest.approx(NORRIS["certified"]["residual_ss"], rel=1e-14)


def test_the_norris_residuals_reach_from_minus_2_352_to_1_790():
    """Residuals of NIST StRD Norris, our arithmetic, C."""
    line = least_squares(norris())

    above = [float(line.above(point)) for point in norris()]

    assert max(above) == pytest.approx(1.78978585, abs=5e-9)
    assert min(above) == pytest.approx(-2.35237813, abs=5e-9)


def test_straightness_is_the_range_of_the_distances_from_the_reference_line():
    """ISO 1101, minimum condition, S; on NIST StRD Norris."""
    stations = [
        Station(parse_quantity(f"{x} mm"), parse_quantity(f"{y} mm"))
        for x, y in zip(NORRIS["x"], NORRIS["y"], strict=True)
    ]

    found = straightness(stations)

    assert float(found.least_squares.value.amount) == pytest.approx(1.78978585 + 2.35237813, abs=1e-8)
    assert found.minimum_zone.value.amount < found.least_squares.value.amount


def test_the_worked_example_of_five_points_gives_its_line_and_both_sums_of_squares():
    """A worked example of least squares, R: vertical and perpendicular sums of squares."""
    points = exact(WORKED)

    line = least_squares(points)
    above = [line.above(point) for point in points]

    assert float(line.slope) == pytest.approx(-0.528735632183908, abs=1e-15)
    assert float(line.level) == pytest.approx(8.137931034482758, abs=1e-14)
    assert float(sum(one**2 for one in above)) == pytest.approx(3.471264367816092, rel=1e-14)
    square = sum(line.square(one) ** 2 for one in above)
    assert float(square) == pytest.approx(2.712854930304595, rel=1e-14)


@pytest.mark.parametrize("seed", [pytest.param(seed, id=f"scipy linprog, set {seed}") for seed in range(40)])
def test_the_minimum_zone_is_as_narrow_as_a_linear_programme_finds(seed):
    chance = np.random.default_rng(seed)
    x = chance.uniform(0, 100, chance.integers(3, 60)).round(3)
    y = (chance.normal(0, 1, x.size) + chance.uniform(-2, 2) * x).round(4)
    ones = np.ones_like(x)
    rows = np.vstack([np.column_stack([-x, -ones, -ones]), np.column_stack([x, ones, -ones])])
    theirs = linprog([0, 0, 1], A_ub=rows, b_ub=np.concatenate([-y, y]), bounds=[(None, None)] * 3)
    points = exact(zip(x, y, strict=True))

    ours = zone(narrowest(points), points)

    assert float(ours) == pytest.approx(2 * theirs.fun, abs=1e-7)


@pytest.mark.parametrize("seed", [pytest.param(seed, id=f"numpy lstsq, set {seed}") for seed in range(10)])
def test_hinges_are_off_the_least_squares_line_as_numpy_finds(seed):
    chance = np.random.default_rng(seed)
    span = np.sort(chance.uniform(0, 120, 5)).round(2)
    up, aft = chance.normal(0, 0.05, (2, 5)).round(4)
    system = np.column_stack([span, np.ones(5)])
    off = [side - system @ np.linalg.lstsq(system, side, rcond=None)[0] for side in (up, aft)]
    hinges = [
        Hinge(f"hinge {at}", *(parse_quantity(f"{one:f} in") for one in point))
        for at, point in enumerate(zip(span, up, aft, strict=True), 1)
    ]

    found = hinge_line(hinges, Through.LEAST_SQUARES)

    assert [float(one.up.value.amount) for one in found.hinges] == pytest.approx(list(off[0]), abs=1e-11)
    assert [float(one.aft.value.amount) for one in found.hinges] == pytest.approx(list(off[1]), abs=1e-11)
    assert [float(one.out.value.amount) for one in found.hinges] == pytest.approx(
        list(np.hypot(*off)), abs=1e-11
    )
