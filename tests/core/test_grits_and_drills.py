"""Grits and drills, spoken and read back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.grits_and_drills import (
    GRITS,
    LARGEST_NUMBER_DRILL,
    read_drill,
    read_grit,
    say_drill,
    say_grit,
)
from plytally.core.numbers import confusable, say_cardinal
from plytally.core.numberwords import LETTERS, NUMBER_WORDS, NumberError

INCHES = [f"{n}/{of} in" for of in (2, 4, 8, 16, 32, 64) for n in range(1, of, 2)]


@pytest.mark.parametrize("grit", sorted(GRITS))
def test_every_grit_is_read_as_it_is_said_and_as_a_plain_number(grit):
    words, plain = tuple(say_grit(grit).split()), tuple(say_cardinal(grit).split())

    assert read_grit(words) == (grit, len(words))
    assert read_grit(plain) == (grit, len(plain))


def test_numbers_that_are_no_grit_are_left_unread():
    read = {n for n in range(1, 5000) if read_grit(tuple(say_cardinal(n).split()))}

    assert read == GRITS


@pytest.mark.parametrize(
    ("grit", "words"), [(120, "one twenty grit"), (1500, "fifteen hundred grit"), (80, "eighty grit")]
)
def test_grits_are_said_as_in_the_shop(grit, words):
    assert say_grit(grit) == words


@pytest.mark.parametrize("grit", [sorted(GRITS)[i] for i in range(len(GRITS))])
def test_no_grit_sounds_like_another_by_teen_and_ty(grit):
    others = [read_grit(tuple(other.split())) for other in confusable(tuple(say_grit(grit).split()))]

    assert [other for other in others if other] == []


def test_a_grit_that_is_not_sold_cannot_be_said():
    with pytest.raises(NumberError, match="118 is not a grit that is sold; grits: 24, 30"):
        say_grit(118)


@pytest.mark.parametrize(
    "size",
    [
        *(f"#{n}" for n in range(1, LARGEST_NUMBER_DRILL + 1)),
        *sorted({letter for letter in LETTERS.values()}),
        *INCHES,
        "1-1/4 in",
        "0.1285 in",
        "4 mm",
        "2.5 mm",
    ],
)
def test_every_drill_is_read_as_it_is_said(size):
    words = tuple(say_drill(size).split())

    assert read_drill(words) == (size, len(words))


@pytest.mark.parametrize(
    ("size", "words"),
    [
        ("#30", "number thirty drill"),
        ("F", "letter f drill"),
        ("3/16 in", "three sixteenths inch drill"),
        ("2.5 mm", "two point five millimeter drill"),
    ],
)
def test_drills_are_said_as_in_the_shop(size, words):
    assert say_drill(size) == words


@pytest.mark.parametrize("size", ["", "30", "#", "#123", "3/16", "F in", "1/3 in", "4 cm", "in", " mm"])
def test_what_is_no_drill_size_cannot_be_said(size):
    with pytest.raises(NumberError):
        say_drill(size)


soup = st.lists(
    st.sampled_from(
        [*NUMBER_WORDS, "number", "letter", "f", "a", "inch", "drill", "grit", "#30", "#", "eighth"]
    )
    | st.text(max_size=4),
    max_size=8,
)


@given(soup)
def test_any_words_are_read_or_left(words):
    for found in (read_drill(tuple(words)), read_grit(tuple(words))):
        assert found is None or 0 < found[1] <= len(words)


@given(soup)
def test_what_is_read_as_a_drill_can_be_said(words):
    found = read_drill(tuple(words))

    assert found is None or read_drill(tuple(say_drill(found[0]).split()))[0] == found[0]
