"""Thickness, fibre volume and resin of a laminate against print.

Tags: S seen in the source · R seen and recomputed · C our arithmetic, not published.
"""

from decimal import Decimal

import pytest

from plytally.core.quantities import parse_quantity
from plytally.core.shop.laminate import (
    BAGGED,
    EPOXY_DENSITY,
    GLASS,
    HAND,
    Cloth,
    Plies,
    fibre_volume,
    fibre_volume_by_mass,
    ply_thickness,
    resin_to_fibre,
    way_of,
    wet_out,
)


def test_a_published_carbon_ply_of_225_gsm_is_0_143_mm_thick():
    """A published worked example, R: 225 g/m² in all, fibre 67.78 % by weight, 1.79 and 1.25 g/cm³."""
    carbon, epoxy = parse_quantity("1.79 g/cm3"), parse_quantity("1.25 g/cm3")
    volume = fibre_volume_by_mass(parse_quantity("67.78 g"), parse_quantity("32.22 g"), carbon, epoxy).value
    cloth = Cloth("carbon", parse_quantity(f"{225 * Decimal('0.6778')} g/m2"), carbon)

    thickness = ply_thickness(cloth, way_of(volume)).value.to("mm").amount

    assert thickness.quantize(Decimal("0.001")) == Decimal("0.143")


def test_a_panel_of_6_29_g_with_4_24_g_of_fibre_has_2_05_g_of_resin_and_56_percent_of_fibre():
    """Notes on the theory of composites, R: density ratio 1.6."""
    fibre, resin = parse_quantity("4.24 g"), parse_quantity(f"{Decimal('6.29') - Decimal('4.24')} g")

    volume = fibre_volume_by_mass(fibre, resin, parse_quantity("1.6 g/cm3"), parse_quantity("1 g/cm3")).value

    assert resin.amount == Decimal("2.05")
    assert volume.amount.quantize(Decimal(1)) == 56


@pytest.mark.parametrize(
    ("volume", "printed"),
    [
        pytest.param(volume, printed, id=f"notes on the theory of composites, {volume} %, R")
        for volume, printed in zip(
            (30, 35, 40, 45, 50, 55, 60, 65, 70),
            ("1.46", "1.16", "0.94", "0.76", "0.63", "0.51", "0.42", "0.34", "0.27"),
            strict=True,
        )
    ],
)
def test_resin_to_fibre_at_a_density_ratio_of_1_6_is_the_one_printed(volume, printed):
    way = way_of(parse_quantity(f"{volume} %"))

    ratio = resin_to_fibre(way, parse_quantity("1.6 g/cm3"), parse_quantity("1 g/cm3")).value

    # 0.625 and 0.9375 are printed rounded up and to even alike: within half a unit of the last digit.
    assert abs(ratio - Decimal(printed)) <= Decimal("0.005")


@pytest.mark.parametrize(
    ("weight", "mils", "implied"),
    [
        pytest.param("4", "8", "0.26", id="Determining laminate thickness, 4 oz; implied fibre volume, C"),
        pytest.param("6", "10", "0.32", id="Determining laminate thickness, 6 oz; implied fibre volume, C"),
        pytest.param("10", "16", "0.33", id="Determining laminate thickness, 10 oz; implied fibre volume, C"),
    ],
)
def test_a_printed_hand_laid_layer_implies_its_fibre_volume_and_that_gives_the_layer_back(
    weight, mils, implied
):
    cloth = Cloth("fabric", parse_quantity(f"{weight} oz/yd2"))
    printed = parse_quantity(f"{mils} mil")

    volume = fibre_volume([Plies(1, cloth)], printed).value

    assert abs(volume.amount / 100 - Decimal(implied)) <= Decimal("0.005")
    assert ply_thickness(cloth, way_of(volume)).value.to("mil").amount == pytest.approx(printed.amount)


@pytest.mark.parametrize(
    ("weight", "mils"),
    [
        pytest.param("4", 8, id="Determining laminate thickness, 4 oz fabric, S"),
        pytest.param("6", 10, id="Determining laminate thickness, 6 oz fabric, S"),
        pytest.param("10", 16, id="Determining laminate thickness, 10 oz fabric, S"),
        pytest.param("9", 17, id="Determining laminate thickness, 9 oz tape, S"),
        pytest.param("17", 35, id="Determining laminate thickness, 17 oz biax, S"),
        pytest.param("23.9", 42, id="Determining laminate thickness, 23.9 oz biax and mat, S"),
    ],
)
def test_our_hand_laid_default_comes_within_a_fifth_of_every_printed_layer(weight, mils):
    ours = ply_thickness(Cloth("fabric", parse_quantity(f"{weight} oz/yd2")), HAND).value.to("mil").amount

    assert float(ours) == pytest.approx(mils, rel=0.2)


def test_equal_weights_of_glass_and_resin_make_our_hand_laid_default():
    """FAA AC 43.13-1B p.3-3, S: resin weight equals cloth weight, a ratio of 50 %; 30.2 % is C."""
    volume = fibre_volume_by_mass(parse_quantity("100 g"), parse_quantity("100 g")).value

    assert volume.amount.quantize(Decimal("0.1")) == Decimal("30.2")
    assert abs(volume.amount - HAND.fibre_volume.amount) < 1


def test_glass_to_resin_of_100_to_70_needs_70_g_for_100_g_of_cloth():
    """DA20-C1 AMM 51-00-00 p.10, S: glass cloth to resin 100:70 by weight."""
    way = way_of(fibre_volume_by_mass(parse_quantity("100 g"), parse_quantity("70 g")).value)
    stack = [Plies(1, Cloth("glass", parse_quantity("100 g/m2"), GLASS))]

    taken = wet_out(stack, parse_quantity("1 m2"), way)

    assert float(taken.cloth.value.amount) == pytest.approx(100)
    assert float(taken.resin.value.amount) == pytest.approx(70)
    assert float(taken.finished.value.amount) == pytest.approx(170)


def test_carbon_to_resin_of_100_to_85_needs_85_g_for_100_g_of_cloth():
    """DA20-C1 AMM 51-00-00 p.10, S: carbon cloth to resin 100:85 by weight."""
    carbon = parse_quantity("1.79 g/cm3")
    way = way_of(fibre_volume_by_mass(parse_quantity("100 g"), parse_quantity("85 g"), carbon).value)
    stack = [Plies(1, Cloth("carbon", parse_quantity("100 g/m2"), carbon))]

    assert float(wet_out(stack, parse_quantity("1 m2"), way).resin.value.amount) == pytest.approx(85)


def test_more_fibre_than_any_form_of_cloth_reaches_is_cautioned():
    """Lecture slides on fibre volume, S: unidirectional cloth, the fullest form, reaches 60 to 70 %."""
    cloth = Cloth("UNI", parse_quantity("9 oz/yd2"))

    full = ply_thickness(cloth, way_of(parse_quantity("70 %")))
    over = ply_thickness(cloth, way_of(parse_quantity("71 %")))

    assert "Over 70 %" not in full.caution
    assert "Over 70 %" in over.caution


def test_the_bagged_default_is_among_what_woven_cloth_reaches_and_over_the_hand_laid_one():
    """Lecture slides on fibre volume, S: woven cloth 40 to 55 %."""
    assert 40 <= BAGGED.fibre_volume.amount <= 55
    assert HAND.fibre_volume.amount < 40


def test_the_densities_of_glass_and_epoxy_are_those_printed():
    """Notes on the theory of composites, S: E-glass 2.54 (elsewhere 2.6), epoxy 1.1 (elsewhere to 1.25)."""
    assert parse_quantity("2.54 g/cm3") == GLASS
    assert parse_quantity("1.1 g/cm3") == EPOXY_DENSITY
