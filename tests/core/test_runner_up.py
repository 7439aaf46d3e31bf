"""What else was said, word by word beside what was heard, and put together again."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plytally.core.hearing import Hearing, Word
from plytally.core.runner_up import NOTHING, beside, together
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary

WORDS = st.lists(st.sampled_from(["two", "twenty", "one", "hours"]), max_size=5)


@given(WORDS, WORDS)
def test_what_stands_beside_the_words_gives_the_other_sentence_again(heard, other):
    assume(heard and heard != other)

    assert together(heard, beside(heard, other)) == (" ".join(other) or NOTHING)


@given(WORDS.filter(bool), WORDS)
def test_every_heard_word_has_one_runner_up_or_none(heard, other):
    assert len(beside(heard, other)) == len(heard)


@given(WORDS)
def test_the_same_words_have_no_runner_up(heard):
    assert not any(beside(heard, heard))


@pytest.mark.parametrize(
    ("heard", "other", "runner_ups"),
    [
        ("nineteen grams", "ninety grams", ("ninety", "")),
        ("twenty one hours", "two hours", ("two", NOTHING, "")),
        ("left", "", (NOTHING,)),
    ],
)
def test_words_that_differ_stand_beside_one_another(heard, other, runner_ups):
    assert beside(heard.split(), other.split()) == runner_ups


def test_a_rival_with_the_same_words_in_the_field_is_no_second_candidate():
    """It differs in words around the field alone: "seven one four, or seven one four?" cannot be answered."""
    said = "mixed eighty grams of epoxy batch seven one four"
    same = {"seven", "one", "four"}
    words = tuple(Word(word, confidence=0.5, runner_up=word if word in same else "") for word in said.split())
    doubts = {each.field: each for each in understand(Hearing(words), Vocabulary()).doubts}
    assert (doubts["batch"].heard, doubts["batch"].runner_up) == ("seven one four", "")
    assert doubts["batch"].why == "not heard clearly"
