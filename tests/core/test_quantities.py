"""Units, amounts and ratios: exact where they can be, refused where they cannot."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.quantities import (
    ALSO_WRITTEN,
    UNITS,
    Dimension,
    Quantity,
    Ratio,
    UnitError,
    format_quantity,
    parse_quantity,
    unit_named,
)

units = st.sampled_from(sorted(UNITS))
amounts = st.decimals(0, 9999, places=4)


def same_dimension(symbol: str) -> list[str]:
    return [unit.symbol for unit in UNITS.values() if unit.dimension is UNITS[symbol].dimension]


@given(units, amounts)
def test_what_is_written_is_read_back_to_the_last_digit(symbol, amount):
    quantity = Quantity(amount, UNITS[symbol])

    again = parse_quantity(format_quantity(quantity))

    assert (again, str(again.amount)) == (quantity, str(quantity.amount))


@given(units, amounts, st.data())
def test_a_conversion_there_and_back_is_off_by_less_than_a_part_in_ten_thousand_million(symbol, amount, data):
    quantity = Quantity(amount, UNITS[symbol])

    back = quantity.to(data.draw(st.sampled_from(same_dimension(symbol)))).to(symbol)

    scale = max(abs(quantity.si()), abs(quantity.unit.offset), abs(quantity.unit.factor) / 10_000)
    assert abs(back.si() - quantity.si()) <= scale / 10**10


@given(units, amounts, st.data())
def test_a_conversion_keeps_twelve_digits_and_no_idle_zeros(symbol, amount, data):
    target = data.draw(st.sampled_from(same_dimension(symbol)).filter(lambda other: other != symbol))

    written = format(Quantity(amount, UNITS[symbol]).to(target).amount, "f")

    assert len(written.replace(".", "").strip("-0")) <= 12
    assert "." not in written or not written.endswith("0")


@pytest.mark.parametrize("symbol", UNITS)
def test_a_quantity_in_its_own_unit_comes_back_untouched(symbol):
    quantity = Quantity(Decimal("300.1000"), UNITS[symbol])

    assert quantity.to(symbol) is quantity


@pytest.mark.parametrize("symbol", UNITS)
def test_every_unit_can_be_said_once_and_many_times(symbol):
    assert len(UNITS[symbol].spoken) >= 2


def test_no_two_units_are_said_alike():
    spoken = [form for unit in UNITS.values() for form in set(unit.spoken)]

    assert len(spoken) == len(set(spoken))


def test_units_keep_apart_when_case_is_lost():
    assert len({symbol.lower() for symbol in UNITS}) == len(UNITS)


def test_every_other_way_to_write_a_unit_names_one_that_exists():
    assert [unit_named(mark).symbol for mark in ALSO_WRITTEN] == list(ALSO_WRITTEN.values())


def test_every_dimension_has_a_unit():
    assert {unit.dimension for unit in UNITS.values()} == set(Dimension)


def test_equal_means_the_same_amount_in_the_same_unit():
    assert parse_quantity("2.50 in") == parse_quantity("2.5 in")
    assert parse_quantity("1000 mil") != parse_quantity("1 in")
    assert parse_quantity("1000 mil").si() == parse_quantity("1 in").si()


@pytest.mark.parametrize(
    ("text", "symbol", "amount"),
    [
        ("0.085 in", "mil", "85"),
        ("22inHg", "kPa", "74.5005500875"),
        ("90 °F", "degC", "32.2222222222"),
        ("-40 degC", "degF", "-40"),
        ("0.001 mil", "m", "0.0000000254"),
        ("2 h", "min", "120"),
        ("50 %", "%", "50"),
        ('.5"', "mm", "12.7"),
    ],
)
def test_amounts_convert(text, symbol, amount):
    assert format_quantity(parse_quantity(text).to(symbol)) == f"{amount} {unit_named(symbol)}"


def test_si_is_exact():
    assert (
        parse_quantity("1 psi").si() == Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2
    )


@pytest.mark.parametrize(
    ("wrong", "hint"),
    [
        ("inches", "did you mean in?"),
        ("PSI", "did you mean psi?"),
        ("inHG", "did you mean inHg?"),
        ("oz/yard2", "oz/yd2"),
        ("xyzzy", "units: in, mil"),
        ("", "units: in, mil"),
    ],
)
def test_an_unknown_unit_is_refused_with_what_was_likely_meant(wrong, hint):
    with pytest.raises(UnitError) as refusal:
        unit_named(wrong)

    assert repr(wrong) in str(refusal.value)
    assert hint in str(refusal.value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "in",
        "5",
        "five in",
        "1e5 in",
        "NaN in",
        "inf in",
        "1,5 in",
        "٣ in",
        "--5 in",
        "1/2 in",
        "5 in in",
        "5 in\n5",
    ],
)
def test_what_is_no_amount_with_a_unit_is_refused(text):
    with pytest.raises(UnitError):
        parse_quantity(text)


@pytest.mark.parametrize(
    "amount", ["NaN", "sNaN", "Infinity", "-Infinity", "1E+31", "1E-31", "1E+999999", "1" * 41]
)
def test_amounts_that_no_gauge_can_show_are_refused(amount):
    with pytest.raises(UnitError):
        Quantity(Decimal(amount), UNITS["in"])


@pytest.mark.parametrize("amount", [0.1, 1, "1", None])
def test_only_decimals_are_amounts(amount):
    with pytest.raises(UnitError, match="is a Decimal, found"):
        Quantity(amount, UNITS["in"])


@pytest.mark.parametrize("text", ["-460 degF", "-273.16 degC", "-0.01 K"])
def test_below_absolute_zero_is_refused(text):
    with pytest.raises(UnitError, match="below absolute zero"):
        parse_quantity(text)


def test_a_length_cannot_be_given_in_grams():
    with pytest.raises(UnitError, match="2 in is a length: it cannot be given in g, a unit of mass"):
        parse_quantity("2 in").to("g")


def test_a_ratio_keeps_its_parts_as_spoken():
    ratio = Ratio(Decimal(100), Decimal("27.50"))

    assert str(ratio) == "100:27.5"
    assert ratio.parts == (100, Decimal("27.5"))
    assert ratio != Ratio(Decimal(200), Decimal(55))


@pytest.mark.parametrize("part", [Decimal(0), Decimal(-1), Decimal("NaN"), Decimal("Infinity"), 0.25, 4])
def test_a_ratio_of_anything_but_positive_decimals_is_refused(part):
    with pytest.raises(UnitError):
        Ratio(Decimal(4), part)
    with pytest.raises(UnitError):
        Ratio(part, Decimal(4))
