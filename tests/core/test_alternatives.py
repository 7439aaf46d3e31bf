"""What whole sentences beside the heard one make of its words, by the sound and by the shop's order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.alternatives import (
    CLOSE_MARGIN,
    MOST_LOG_ODDS,
    NEAR_MARGIN,
    by_alternatives,
    with_runner_ups,
)
from plytally.core.automaton import automaton
from plytally.core.grammar import words_of
from plytally.core.hearing import Alternative, Word
from plytally.core.jsgf import phrase
from plytally.core.listening import Grammar

TREE = phrase("mixed (nineteen | ninety | twenty [one] | ten) grams [of (flox | micro)]", {})
HEARD = "mixed nineteen grams of flox"
SAYABLE = [
    "mixed ninety grams of flox",
    "mixed twenty one grams of flox",
    "mixed nineteen grams",
    "mixed ten grams",
]
SECONDS = 2.0


def words(text):
    return tuple(Word(each, at, at + 1.0) for at, each in enumerate(text.split()))


def shop(**likelier):
    """A shop in which a sentence with such a word is so much likelier, in log odds, than one without."""

    def lean(heard, other):
        return sum(odds * ((name in other) - (name in heard)) for name, odds in likelier.items())

    return Grammar(automaton(TREE), "few", words_of(TREE), lean=lean)


def told(*others, by=None, heard=HEARD):
    alternatives = [Alternative(text, margin) for text, margin in others]
    found = by_alternatives(words(heard), alternatives, SECONDS, by or shop())
    return " ".join(word.text for word in found), [word.runner_up for word in found]


NINETY = "mixed ninety grams of flox"


@pytest.mark.parametrize(
    ("other", "runner_ups"),
    [
        ("mixed ninety grams", ["", "ninety", ""]),
        ("mixed nineteen one grams", ["", "nineteen one", ""]),
        ("i mixed nineteen grams", ["i mixed", "", ""]),
        ("mixed grams", ["", "nothing", ""]),
    ],
)
def test_a_close_sentence_becomes_the_runner_up_of_the_words_it_differs_in(other, runner_ups):
    found = with_runner_ups(words("mixed nineteen grams"), [other])

    assert [word.runner_up for word in found] == runner_ups


def test_without_a_shop_the_sound_alone_decides():
    assert told((NINETY, CLOSE_MARGIN - 0.1)) == (HEARD, ["", "ninety", "", "", ""])
    assert told((NINETY, CLOSE_MARGIN + 0.1)) == (HEARD, [""] * 5)


def test_what_the_shop_makes_likelier_is_told_though_it_was_far():
    assert told((NINETY, CLOSE_MARGIN + 1), by=shop(ninety=3.0)) == (HEARD, ["", "ninety", "", "", ""])


def test_what_the_shop_makes_unlikely_is_not_told_unless_the_sound_has_it_near():
    assert told((NINETY, CLOSE_MARGIN - 1), by=shop(nineteen=3.0)) == (HEARD, [""] * 5)
    assert told((NINETY, NEAR_MARGIN - 0.1), by=shop(nineteen=3.0)) == (HEARD, ["", "ninety", "", "", ""])


def test_what_shop_and_sound_together_have_ahead_is_put_in_the_place_and_asked_about():
    assert told((NINETY, 1.0), by=shop(ninety=3.0)) == (NINETY, ["", "nineteen", "", "", ""])


def test_no_shop_brings_to_the_front_what_lies_further_behind_than_its_bound():
    behind = MOST_LOG_ODDS / SECONDS + 0.1

    assert told((NINETY, behind), by=shop(ninety=1000.0))[0] == HEARD


def test_a_sentence_that_is_none_of_the_phrasebook_is_never_put_in_the_place():
    assert told(("mixed ninety ninety", 0.1), by=shop(ninety=3.0))[0] == HEARD


@given(
    st.sampled_from([HEARD, "mixed twenty grams"]),
    st.lists(st.tuples(st.sampled_from(SAYABLE), st.floats(0, 8)), max_size=4),
    st.dictionaries(st.sampled_from(["ninety", "twenty", "one", "flox", "ten"]), st.floats(-50, 50)),
)
def test_nothing_is_put_right_in_silence(heard, others, likelier):
    text, runner_ups = told(*others, by=shop(**likelier), heard=heard)

    assert len(text.split()) == len(runner_ups)
    assert text == heard or any(runner_ups)
