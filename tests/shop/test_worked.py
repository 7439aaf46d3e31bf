"""Each answer shows its working, in both systems of units, on paper and as JSON."""

import importlib
import json
import pkgutil
from decimal import Decimal
from pathlib import Path

import pytest

from plytally.core import shop
from plytally.core.quantities import UNITS, Dimension, Quantity, Ratio, parse_quantity
from plytally.core.shop.hinges import Hinge, hinge_line
from plytally.core.shop.laminate import Cloth, Plies, ply_thickness, wet_out
from plytally.core.shop.straightness import Against
from plytally.core.shop.worked import Formula, also, answers, as_given, as_json, lines_of, shown

q = parse_quantity
PLY = ply_thickness(Cloth("BID", q("6 oz/yd2")))
NOTES = Path(__file__).parents[2] / "docs/shop-arithmetic.md"


def _formulas():
    for module in pkgutil.iter_modules(shop.__path__):
        found = vars(importlib.import_module(f"plytally.core.shop.{module.name}"))
        for name, one in found.items():
            if isinstance(one, Formula):
                yield pytest.param(one, id=f"{module.name}.{name}")


FORMULAS = list(_formulas())


@pytest.mark.parametrize("unit", list(UNITS.values()), ids=str)
def test_every_shop_unit_has_its_si_unit_beside_it_and_the_other_way_round(unit):
    other = also(Quantity(Decimal(300), unit))

    if unit.dimension in (Dimension.TIME, Dimension.FRACTION):
        assert other is None
    else:
        assert other.unit.dimension is unit.dimension
        assert other.unit is not unit


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (q("0.105571 in"), "0.1056 in (2.682 mm)"),
        (q("480 g"), "480 g (16.93 oz)"),
        (q("12346 lb"), "12350 lb (5600 kg)"),
        (q("0 mil"), "0 mil (0 mm)"),
        (q("72 degF"), "72 °F (22.22 °C)"),
        (q("30.00001 min"), "30 min"),
        (Ratio(Decimal(100), Decimal("42.173913")), "100:42.17"),
        (Decimal("1.458333"), "1.458"),
        (8, "8"),
        ("hand-laid", "hand-laid"),
    ],
    ids=str,
)
def test_an_answer_is_shown_at_four_digits_in_both_systems(value, written):
    assert shown(value) == written


def test_what_was_given_is_shown_as_it_was_given():
    assert as_given(q("0.0850 in")) == "0.0850 in (2.159 mm)"
    assert as_given(q("0.0103666666667 in")) == "0.0103667 in (0.2633 mm)"


def test_the_lines_tell_answer_formula_inputs_source_and_caution():
    lines = lines_of(PLY)

    assert [line.split(":")[0].strip() for line in lines] == [
        "thickness of one ply",
        "formula",
        "from",
        "source",
        "caution",
    ]
    assert "6 oz/yd² (203.4 g/m²)" in lines[2]


def test_json_carries_every_digit_and_the_whole_working():
    told = json.loads(json.dumps(as_json(PLY)))

    assert told["value"] == str(PLY.value)
    assert told["shown"] == PLY.shown
    assert told["formula"] == PLY.formula
    assert {"name": "areal weight of BID", "value": "6 oz/yd2"} in told["inputs"]
    assert told["source"]
    assert told["caution"]


def test_a_result_of_several_answers_gives_them_in_order_and_as_json():
    result = wet_out([Plies(2, Cloth("BID", q("6 oz/yd2")))], q("4 ft2"))

    assert [one.what for one in answers(result)] == [
        "thickness of the stack",
        "dry cloth",
        "resin to wet it out",
        "finished weight",
    ]
    assert list(as_json(result)) == ["thickness", "cloth", "resin", "finished"]


def test_answers_are_found_in_rows_and_where_some_are_missing():
    line = hinge_line([Hinge(f"hinge {x}", q(f"{x} in"), q("0 in")) for x in (0, 10, 20)])

    assert len(answers(line)) == 6
    assert as_json(line)["hinges"][0]["aft"] is None
    assert as_json((Against.ENDS, Decimal("1.5"))) == ["the two ends", "1.5"]


@pytest.mark.parametrize("formula", FORMULAS)
def test_every_formula_has_its_row_in_the_notes_with_its_source(formula):
    row = f"| {formula.name} | {formula.words} | {formula.source} |".replace("\n", " ")

    assert row in NOTES.read_text()


@pytest.mark.parametrize("formula", FORMULAS)
def test_every_sentence_of_every_caution_is_in_the_notes(formula):
    notes = NOTES.read_text()

    assert [one for one in formula.caution.split(". ") if one.removesuffix(".") not in notes] == []


@pytest.mark.parametrize("formula", FORMULAS)
def test_every_formula_says_where_it_comes_from(formula):
    assert formula.words
    assert formula.source
