"""Spoken numbers against what others say and print.

Sources: inflect (PyPI), a general-purpose library for English; the transcripts in Debian's
pocketsphinx-testdata; the spelling alphabet of ICAO Annex 10 vol. II, figure 5-1 (from memory).
"""

from decimal import Decimal

import inflect
import pytest

from plytally.core.measures import read_quantity
from plytally.core.numbers import read_number, say_cardinal, say_number
from plytally.core.spelled import read_digits, say_digits

english = inflect.engine()


def spoken(text):
    return tuple(text.replace(",", "").split())


@pytest.mark.parametrize(
    "first", [pytest.param(n, id=f"inflect number_to_words from {n}") for n in range(0, 10_000, 1000)]
)
def test_a_thousand_numbers_as_inflect_says_them_are_read(first):
    said = {n: spoken(english.number_to_words(n)) for n in range(first, first + 1000)}

    assert [n for n, words in said.items() if read_number(words) != (n, len(words))] == []


@pytest.mark.parametrize(
    "first", [pytest.param(n, id=f"inflect number_to_words from {n}") for n in range(0, 10_000, 1000)]
)
def test_a_thousand_numbers_are_said_as_inflect_says_them_without_and(first):
    theirs = {
        n: english.number_to_words(n, andword="").replace(",", "").replace("-", " ")
        for n in range(first, first + 1000)
    }

    assert [n for n, text in theirs.items() if " ".join(text.split()) != say_cardinal(n)] == []


@pytest.mark.parametrize(
    "text", [pytest.param(text, id=f"inflect {text}") for text in ("0.082", "29.92", "2036.5", "0.0005")]
)
def test_decimals_are_said_and_read_as_inflect_says_them(text):
    theirs = english.number_to_words(text, andword="").replace(",", "").replace("-", " ")

    assert say_number(Decimal(text)).split() == theirs.split()
    assert read_number(spoken(theirs))[0] == Decimal(text)


@pytest.mark.parametrize(
    "digits", [pytest.param(text, id=f"inflect group=1 {text}") for text in ("742", "19", "29340")]
)
def test_digits_in_a_row_are_said_and_read_as_inflect_says_them(digits):
    theirs = spoken(english.number_to_words(digits, group=1))

    assert say_digits(digits).split() == list(theirs)
    assert read_digits(theirs) == (digits, len(theirs))


def test_the_spoken_digits_of_tidigits_dhd_2934z_are_one_number():
    """Debian pocketsphinx-testdata, tidigits/dhd.2934z.raw: "two nine three four zero"."""
    assert read_digits(spoken("two nine three four zero")) == ("29340", 5)


def test_the_distance_of_goforward_is_ten_meters():
    """Debian pocketsphinx-testdata, goforward.raw: "go forward ten meters"."""
    quantity, end = read_quantity(spoken("go forward ten meters"), 2)

    assert (str(quantity), end) == ("10 m", 4)


ICAO = (
    "alfa bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november oscar papa quebec"
    " romeo sierra tango uniform victor whiskey x-ray yankee zulu"
)


@pytest.mark.parametrize(
    "half",
    [pytest.param(0, id="ICAO Annex 10 fig. 5-1, A-M"), pytest.param(13, id="ICAO Annex 10 fig. 5-1, N-Z")],
)
def test_the_spelling_alphabet_is_read(half):
    words = spoken(ICAO)[half : half + 13]

    assert read_digits(words) == ("ABCDEFGHIJKLMNOPQRSTUVWXYZ"[half : half + 13], 13)
