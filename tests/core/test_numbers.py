"""Numbers to words and back, and what must never be read as a number."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from plytally.core import numberwords
from plytally.core.measures import SMALLER, UNSAID, read_quantity, say_quantity
from plytally.core.numbers import (
    LARGEST_CARDINAL,
    confusable,
    read_number,
    read_ratio,
    say_cardinal,
    say_number,
    say_ratio,
)
from plytally.core.numberwords import NumberError
from plytally.core.quantities import UNITS, Dimension, Quantity, Ratio, UnitError

decimals = st.decimals(-9999, 9999, places=4)


def spoken(text):
    return tuple(text.split())


def test_every_whole_number_to_9999_is_read_as_it_is_said():
    wrong = [
        n for n in range(10_000) if read_number(spoken(say_cardinal(n))) != (n, len(spoken(say_cardinal(n))))
    ]

    assert wrong == []


def test_every_whole_number_to_9999_is_read_with_an_and_and_with_hyphens():
    def british(n):
        said = say_cardinal(n)
        return said.replace("hundred ", "hundred and ") if n % 100 else said

    assert [n for n in range(10_000) if read_number(spoken(british(n)))[0] != n] == []
    assert [n for n in range(10_000) if read_number(("-".join(spoken(say_cardinal(n))),)) != (n, 1)] == []


def test_no_two_whole_numbers_are_said_alike():
    assert len({say_cardinal(n) for n in range(10_000)}) == 10_000


@given(st.integers(0, LARGEST_CARDINAL))
def test_larger_whole_numbers_are_read_as_they_are_said(n):
    assert read_number(spoken(say_cardinal(n)))[0] == n


@given(decimals)
@example(Decimal("-0.0000"))
@example(Decimal("0.0800"))
def test_decimals_are_read_as_they_are_said(number):
    words = spoken(say_number(number))

    assert read_number(words) == (number, len(words))


@pytest.mark.parametrize("symbol", UNITS)
@given(amount=st.decimals(0, 9999, places=4))
def test_amounts_in_every_unit_are_read_as_they_are_said(symbol, amount):
    quantity = Quantity(amount, UNITS[symbol])
    words = spoken(say_quantity(quantity))

    assert read_quantity(words) == (quantity, len(words))
    assert read_quantity(words, 0, quantity.unit.dimension) == (quantity, len(words))


@pytest.mark.parametrize("symbol", UNITS)
def test_every_way_to_say_a_unit_means_that_unit(symbol):
    dimension = UNITS[symbol].dimension
    found = {form: read_quantity(("two", *form.split()), 0, dimension) for form in UNITS[symbol].spoken}

    assert {form: str(quantity) for form, (quantity, _) in found.items()} == dict.fromkeys(
        found, f"2 {symbol}"
    )


@pytest.mark.parametrize("larger", SMALLER)
def test_an_amount_in_two_units_is_their_sum(larger):
    smaller, count = SMALLER[larger]
    one, many = UNITS[larger].spoken[0], UNITS[smaller].spoken[1]

    quantity, _ = read_quantity(spoken(f"one {one} and three {many}"))

    assert quantity.si() == UNITS[larger].factor + 3 * UNITS[smaller].factor
    assert quantity == Quantity(Decimal(count + 3), UNITS[smaller])


@given(st.decimals("0.1", 999, places=1), st.decimals("0.1", 999, places=1))
def test_ratios_are_read_as_they_are_said(first, second):
    words = spoken(say_ratio(Ratio(first, second)))

    assert read_ratio(words) == (Ratio(first, second), len(words))


@pytest.mark.parametrize("denominator", [2, 4, 8, 16, 32, 64])
def test_every_proper_fraction_of_an_inch_is_exact(denominator):
    ways = [" ".join(way) for way, parts in numberwords.DENOMINATORS.items() if parts == denominator]
    plural = next(way for way in ways if way.endswith("s"))

    read = [read_number(spoken(f"{say_cardinal(n)} {plural}")) for n in range(1, denominator)]

    assert [Fraction(value) for value, _ in read] == [Fraction(n, denominator) for n in range(1, denominator)]


@pytest.mark.parametrize(
    ("number", "words"),
    [
        ("0", "zero"),
        ("122", "one hundred twenty two"),
        ("2005", "two thousand five"),
        ("0.0820", "zero point zero eight two"),
        ("-10.5", "minus ten point five"),
        ("1E+3", "one thousand"),
    ],
)
def test_numbers_are_said_plainly(number, words):
    assert say_number(Decimal(number)) == words


@pytest.mark.parametrize(
    ("quantity", "words"),
    [
        (Quantity(Decimal(82), UNITS["mil"]), "eighty two thousandths"),
        (Quantity(Decimal(1), UNITS["in"]), "one inch"),
        (Quantity(Decimal("0.5"), UNITS["in"]), "zero point five inches"),
        (Quantity(Decimal(22), UNITS["inHg"]), "twenty two inches of mercury"),
        (Quantity(Decimal(90), UNITS["degF"]), "ninety degrees fahrenheit"),
        (Quantity(Decimal(40), UNITS["%"]), "forty percent"),
    ],
)
def test_amounts_are_said_with_their_unit(quantity, words):
    assert say_quantity(quantity) == words


@pytest.mark.parametrize("number", ["1000000", "-1E+9", "NaN", "Infinity"])
def test_what_cannot_be_said_is_refused_with_its_value(number):
    with pytest.raises(NumberError, match=r"cannot be said: numbers go up to 999999"):
        say_number(Decimal(number))


@pytest.mark.parametrize("number", [-1, 1_000_000])
def test_whole_numbers_that_cannot_be_said_are_refused(number):
    with pytest.raises(NumberError, match=f"{number} cannot be said"):
        say_cardinal(number)


@pytest.mark.parametrize(
    ("heard", "others"),
    [
        ("fifteen", ("fifty",)),
        ("thirty", ("thirteen",)),
        ("one fifteen", ("one fifty",)),
        ("one hundred nineteen", ("one hundred ninety",)),
        ("five", ("nine",)),
        ("point oh nine", ("point oh five",)),
        ("fifteen to five", ("fifty to five", "fifteen to nine")),
        ("twenty-nine", ("twenty five",)),
        ("thirty two", ()),
        ("fifty five", ("fifty nine",)),
        ("two plies", ()),
        ("", ()),
    ],
)
def test_numbers_that_sound_alike_are_named(heard, others):
    assert confusable(spoken(heard)) == others


@given(st.integers(0, 9999))
def test_a_number_that_sounds_alike_is_another_number_and_the_ear_errs_both_ways(n):
    heard = spoken(say_cardinal(n))

    for other in confusable(heard):
        assert read_number(spoken(other))[0] != n
        assert " ".join(heard) in confusable(spoken(other))


NUMBER_WORDS = [*numberwords.NUMBER_WORDS, *numberwords.UNREAD_AFTER, "a", "an", "and", "to", "of", "minus"]
UNIT_WORDS = sorted(
    {word for unit in UNITS.values() for form in unit.spoken for word in form.split()} | {"degrees"}
)
ODD_WORDS = [
    "plies",
    "",
    "-",
    "--",
    "4:1",
    ":",
    "1/2",
    "1/0",
    "0/0",
    "22in",
    "°f",
    "1e9",
    "٣",
    "²",
    "½",
    "on",
    "below",
]
soup = st.lists(
    st.sampled_from(NUMBER_WORDS + UNIT_WORDS + ODD_WORDS) | st.text(max_size=6), max_size=12
).map(tuple)


@given(soup, st.integers(-2, 14), st.sampled_from([None, *Dimension]))
def test_any_words_at_all_are_read_or_left_and_never_raise(words, at, expecting):
    for found in (read_number(words, at), read_ratio(words, at), read_quantity(words, at, expecting)):
        assert found is None or max(at, 0) < found[1] <= len(words)
    assert isinstance(confusable(words), tuple)


@given(soup, st.sampled_from([None, *Dimension]))
def test_what_was_read_depends_on_the_words_used_alone(words, expecting):
    number, amount = read_number(words), read_quantity(words, 0, expecting)

    assert number is None or read_number(words[: number[1]]) == number
    assert amount is None or read_quantity(words[: amount[1]], 0, expecting) == amount


@given(soup, st.sampled_from(list(Dimension)))
def test_nothing_but_the_expected_dimension_is_read(words, expecting):
    found = read_quantity(words, 0, expecting)

    assert found is None or found[0].unit.dimension is expecting


@pytest.mark.parametrize("going_on", ["point", "thousand", "million", "thirds", "and a third", "sixteenths"])
@given(n=st.integers(1000, 9999))
def test_a_number_that_goes_on_unread_is_not_read_in_part(n, going_on):
    found = read_number(spoken(f"{say_cardinal(n)} {going_on}"))

    assert found is None


@pytest.mark.parametrize("dimension", [dimension for dimension in Dimension if dimension not in UNSAID])
def test_a_bare_number_is_no_amount_where_no_unit_goes_without_saying(dimension):
    assert read_quantity(("twenty",), 0, dimension) is None


@pytest.mark.parametrize("table", ["UNITS_WORDS", "TEENS", "TENS", "SCALES"])
def test_every_word_of_the_public_tables_is_read(table):
    words = getattr(numberwords, table)

    assert {word: read_number(("a", word) if table == "SCALES" else (word,))[0] for word in words} == words


def test_word_tables_run_without_a_gap():
    assert list(numberwords.UNITS_WORDS.values()) + list(numberwords.TEENS.values()) == list(range(1, 20))
    assert list(numberwords.TENS.values()) == list(range(20, 100, 10))


def test_an_amount_that_cannot_be_is_left_unread_rather_than_raised():
    with pytest.raises(UnitError):
        Quantity(Decimal(-500), UNITS["degF"])

    assert read_quantity(spoken("minus five hundred degrees"), 0, Dimension.TEMPERATURE) is None
