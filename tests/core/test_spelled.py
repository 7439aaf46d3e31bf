"""Batch names, spoken and written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.numberwords import LETTERS, NumberError
from plytally.core.spelled import LONGEST_ROW, read_digits, say_digits

names = st.from_regex(r"[A-Z0-9]{1,4}([-/]?[A-Z0-9]){0,10}", fullmatch=True)


@given(names)
def test_a_batch_name_is_read_as_it_is_said(name):
    words = tuple(say_digits(name).split())

    assert read_digits(words) == (name, len(words))


@given(st.from_regex(r"[0-9]{1,24}", fullmatch=True))
def test_digits_keep_their_leading_zeros(name):
    assert read_digits(tuple(say_digits(name).split()))[0] == name


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("19", "one nine"),
        ("B12", "bravo one two"),
        ("b-7", "bravo dash seven"),
        ("10/3", "one zero slash three"),
    ],
)
def test_a_batch_name_is_said_one_by_one(name, words):
    assert say_digits(name) == words


@pytest.mark.parametrize("name", ["", "B 12", "Ä1", "1.5", "½", "٣"])
def test_what_cannot_be_spelt_is_refused(name):
    with pytest.raises(NumberError, match="cannot be spelt out: use letters, digits"):
        say_digits(name)


@given(
    st.lists(
        st.sampled_from([*LETTERS, "dash", "double", "oh", "two", "twelve", "spar", "-", "²"]), max_size=12
    )
)
def test_any_words_are_read_or_left(words):
    found = read_digits(tuple(words))

    assert found is None or (0 < found[1] <= len(words) and len(found[0]) <= LONGEST_ROW)
