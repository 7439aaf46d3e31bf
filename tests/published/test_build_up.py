"""How far plies raise a surface, against what is printed of a layer, and the trade's figure."""

import pytest

from plytally.core.build_up import rise
from plytally.core.quantities import parse_quantity
from plytally.core.schedule import Material

LAYERS = "a resin maker's article, Determining laminate thickness"


@pytest.mark.parametrize(
    ("per_ply", "inches"), [pytest.param("9.6 mil", "0.096 in", id="common practice, no source")]
)
def test_ten_plies_under_a_hinge_raise_it_by_nearly_a_tenth_of_an_inch(per_ply, inches):
    assert rise(10, Material("BID", thickness=parse_quantity(per_ply))).value == parse_quantity(inches)


@pytest.mark.parametrize(
    ("weight", "mils"),
    [
        pytest.param("4 oz/yd2", 8, id=f"{LAYERS}: 4 oz"),
        pytest.param("6 oz/yd2", 10, id=f"{LAYERS}: 6 oz"),
        pytest.param("10 oz/yd2", 16, id=f"{LAYERS}: 10 oz"),
    ],
)
def test_a_ply_known_by_its_weight_alone_rises_within_a_fifth_of_the_printed_layer(weight, mils):
    cloth = Material("BID", areal_weight=parse_quantity(weight))

    assert float(rise(1, cloth).value.to("mil").amount) == pytest.approx(mils, rel=0.2)
