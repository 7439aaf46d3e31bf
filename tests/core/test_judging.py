"""What a hearing is held against, and what comes of it, on paths made by hand."""

import math
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from plytally.core.judging import FURTHEST, Found, Judged, found_by, put_right, rivals_automaton, words_of
from plytally.core.leaning import MOST
from plytally.core.listening import Rival
from plytally.core.paths import BestPath, Piece, Sounded
from plytally.core.sound_fit import (
    LONGEST_WORD,
    STRANGE_NUMBER,
    STRANGE_STRETCH,
    UNSURE,
    UNSURE_LEARNT,
    strange_words,
    strangeness,
)

MASS = Rival(
    ("mass",),
    1,
    3,
    "mixed",
    "of flox",
    ("ninety grams", "nineteen ounces", "twelve grams"),
    ("nineteen", "grams"),
)
RESIN = Rival(("resin",), 4, 5, "mixed nineteen grams of", "", ("epoxy",))


def path(text, score=0.0):
    pieces = [Piece(word, at * 10, at * 10 + 10, 0.0) for at, word in enumerate(text.split())]
    return BestPath(tuple(pieces), score)


HEARD = path("mixed nineteen grams of flox")


def test_one_search_listens_for_every_rival_and_for_nothing_else():
    listened = rivals_automaton([MASS, RESIN])

    assert listened.accepts(tuple(["mixed", "ninety", "grams", "of", "flox"]))
    assert listened.accepts(tuple(["mixed", "nineteen", "grams", "of", "epoxy"]))
    assert not listened.accepts(HEARD.words)
    assert not listened.accepts(tuple(["mixed", "ninety", "grams", "of", "epoxy"]))


def test_the_path_tells_which_rival_it_is_of_and_how_far_behind_it_came():
    found = found_by([RESIN, MASS], HEARD, path("mixed ninety grams of flox", -12.0))

    assert found == Found(MASS, ("ninety", "grams"), 12.0)


def test_a_path_that_ends_in_mid_sentence_is_of_no_rival():
    assert found_by([MASS, RESIN], HEARD, path("mixed ninety grams")) is None


def test_where_nothing_else_fits_there_is_no_rival():
    assert found_by([MASS, RESIN], HEARD, None) is None


def test_a_close_rival_stands_beside_its_words_and_takes_their_confidence():
    tie = Judged(MASS, ("ninety", "grams"), 0.0)

    words = words_of(HEARD, [tie])

    assert [word.runner_up for word in words] == ["", "ninety", "", "", ""]
    assert [word.confidence for word in words] == [1.0, tie.trust, tie.trust, 1.0, 1.0]


def test_a_rival_far_behind_is_not_told():
    words = words_of(HEARD, [Judged(MASS, ("ninety", "grams"), FURTHEST + 40)])

    assert not any(word.runner_up for word in words)
    assert math.isclose(words[1].confidence, words[2].confidence)


def test_numbers_that_sound_alike_are_told_at_a_wider_margin_than_others():
    margin = next(m for m in range(200) if not Judged(MASS, ("twelve", "grams"), m).is_close)

    assert Judged(MASS, ("ninety", "grams"), margin).is_close


def test_a_rival_is_told_at_a_wider_margin_where_the_heard_words_fit_badly():
    margin = next(m for m in range(200) if not Judged(MASS, ("twelve", "grams"), m).is_close)

    assert Judged(MASS, ("twelve", "grams"), margin, misfit=2.0).is_close


def test_what_speaks_for_the_heard_words_makes_a_rival_far_but_none_that_the_sound_has_near():
    margin = next(m for m in range(200) if not Judged(MASS, ("twelve", "grams"), m).is_close)

    assert not Judged(MASS, ("twelve", "grams"), margin - 1, shift=-MOST).is_close
    assert Judged(MASS, ("twelve", "grams"), 5, shift=-MOST).is_close


def test_what_speaks_for_a_rival_makes_it_told_that_was_far():
    margin = next(m for m in range(200) if not Judged(MASS, ("twelve", "grams"), m).is_close)

    assert Judged(MASS, ("twelve", "grams"), margin + 1, shift=MOST).is_close


def test_a_likelier_rival_takes_the_place_and_what_was_heard_is_asked_about():
    found = [Judged(MASS, ("ninety", "grams"), 10.0, shift=12.0)]

    words = put_right(words_of(HEARD, found), found)

    assert " ".join(word.text for word in words) == "mixed ninety grams of flox"
    assert [word.runner_up for word in words] == ["", "nineteen", "", "", ""]


@given(st.floats(-50, 150), st.floats(0, 5), st.floats(-MOST, MOST))
def test_nothing_is_put_right_in_silence(margin, misfit, shift):
    found = [Judged(MASS, ("ninety", "grams"), margin, misfit, shift)]

    words = put_right(words_of(HEARD, found), found)

    changed = [word for word, heard in zip(words, HEARD.words, strict=True) if word.text != heard]
    assert all(word.runner_up for word in changed)


def test_by_sound_alone_nothing_is_put_right():
    found = [Judged(MASS, ("ninety", "grams"), -10.0)]

    assert put_right(words_of(HEARD, found), found) == words_of(HEARD, found)


def test_nothing_at_all_in_the_place_is_never_put_there():
    found = [Judged(RESIN, (), 0.0, shift=MOST)]

    assert put_right(words_of(HEARD, found), found) == words_of(HEARD, found)


def test_of_two_rivals_of_one_word_the_closer_is_told():
    far, near = Judged(MASS, ("nineteen", "ounces"), 20.0), Judged(MASS, ("ninety", "grams"), 5.0)

    assert words_of(HEARD, [far, near])[1].runner_up == "ninety"


def sounding(lost, *, words="mixed nineteen grams of flox"):
    """Words of 40 frames each, and phones that fit each of them so much better a frame."""
    spoken = [Piece(word, at * 40, at * 40 + 40, -40.0) for at, word in enumerate(words.split())]
    free = [Piece("AH", at * 40, at * 40 + 40, -40.0 + 40 * each) for at, each in enumerate(lost)]
    return Sounded(BestPath(tuple(spoken), 0.0), BestPath(tuple(free), 0.0))


def test_a_word_that_sounds_like_something_else_is_found_in_a_note_that_fits_on_the_whole():
    heard = sounding([0.0, 0.0, STRANGE_STRETCH + 1, 0.0, 0.0])

    assert strange_words(heard) == {2}
    assert strangeness(heard) < 2


def test_a_number_that_fits_badly_as_a_whole_is_strange_with_all_its_words():
    words = "mixed one hundred grams of flox"
    bad = STRANGE_NUMBER + 0.2

    assert strange_words(sounding([0.0, bad, bad, 0.0, 0.0, 0.0], words=words)) == {1, 2}
    assert strange_words(sounding([bad, 0.0, bad, 0.0, 0.0, 0.0], words=words)) == frozenset()


def test_a_phrase_that_fits_badly_on_the_whole_is_asked_about_at_the_first_word_that_says_something():
    words = "i mixed ninety grams of flox"
    bad = UNSURE + 0.1

    assert strange_words(sounding([bad] * 6, words=words)) == {1}
    assert strange_words(sounding([UNSURE - 0.1] * 6, words=words)) == frozenset()


def test_with_the_voice_learnt_a_phrase_must_fit_better():
    fits = [(UNSURE + UNSURE_LEARNT) / 2] * 5

    assert strange_words(sounding(fits)) == frozenset()
    assert strange_words(replace(sounding(fits), learnt=True)) == {0}


def test_a_strange_word_is_as_unsure_as_a_tie():
    words = words_of(HEARD, [], frozenset({1}))

    assert [word.confidence for word in words] == [1.0, 0.65, 1.0, 1.0, 1.0]


def test_a_steady_noise_heard_as_one_long_word_is_no_speech():
    length = int(LONGEST_WORD * 100) + 1
    path = BestPath((Piece("confirm", 0, length, 0.0),), 0.0)

    assert strangeness(Sounded(path, BestPath((Piece("SIL", 0, length, 0.0),), 0.0))) == math.inf
