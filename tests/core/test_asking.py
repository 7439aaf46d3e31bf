"""What a builder asks the ledger: have I laid so many, and where?"""

import pytest
from support.quillwing import FORE, entry, laid, ledger_of

from plytally.core.asking import have_laid
from plytally.core.entry import Place
from plytally.core.telling import (
    answer_told,
)


@pytest.mark.parametrize(
    ("plies", "material", "verdict"),
    [
        (3, "BID", "yes"),
        (2, "BID", "yes"),
        (None, "BID", "yes"),
        (4, "BID", "partly"),
        (3, "UNI", "no"),
        (3, "", "yes"),
    ],
)
def test_have_i_laid_so_many(plies, material, verdict):
    assert have_laid(ledger_of(laid(3)), FORE, plies, material).verdict == verdict


def test_without_a_number_all_that_the_print_asks_is_meant():
    answer = have_laid(ledger_of(laid(2)), FORE, None, "BID")

    assert (answer.verdict, answer.laid, answer.wanted) == ("partly", 2, 3)


def test_plies_in_doubt_make_no_yes():
    answer = have_laid(ledger_of(laid(3), doubts=("plies",)), FORE, 3, "BID")

    assert (answer.verdict, answer.laid, answer.in_doubt) == ("partly", 0, 3)


def test_a_question_without_a_side_is_answered_for_both():
    answer = have_laid(ledger_of(laid(3)), Place("elevator spar", "", "fore"), 3, "BID")

    assert answer.verdict == "partly"
    assert [(each.place.side, each.verdict) for each in answer.each] == [("left", "no"), ("right", "yes")]


@pytest.mark.parametrize(
    ("plies", "wanted", "counted", "verdict"),
    [(7, 7, 7, "yes"), (None, 7, 7, "yes"), (10, 10, 10, "yes"), (11, 11, 10, "partly")],
)
def test_a_question_about_a_station_counts_its_own_plies_and_beyond_those_all_of_them(
    plies, wanted, counted, verdict
):
    answer = have_laid(ledger_of(laid(3), laid(7, station="hinge 1")), Place(*SPAR_AT), plies, "BID")

    assert (answer.verdict, answer.wanted, answer.laid) == (verdict, wanted, counted)


SPAR_AT = ("elevator spar", "right", "fore", "", "hinge 1")


def test_the_whole_face_laid_is_no_answer_to_a_reinforcement():
    assert have_laid(ledger_of(laid(3)), Place(*SPAR_AT), None, "BID").verdict == "no"


def test_a_material_that_is_not_asked_for_is_found_all_the_same():
    assert have_laid(ledger_of(laid(2, material="UNI")), FORE, None, "UNI").verdict == "yes"


def test_an_entry_that_does_not_say_where_is_named_beside_the_answer():
    answer = have_laid(ledger_of(entry(plies=3, material="BID")), FORE, 3, "BID")

    assert answer.verdict == "no"
    assert [dated.id for dated in answer.unplaced] == ["n20"]
    assert answer_told(answer)[1].startswith("also noted, but not where: 3 BID laid on right elevator spar")


@pytest.mark.parametrize(
    "place", [Place("wing"), Place(), Place("elevator spar", "right", "upper"), Place("rudder post", "left")]
)
def test_a_question_about_what_is_not_on_the_print_says_so(place):
    assert answer_told(have_laid(ledger_of(), place, 1, "BID"))[0].startswith("I cannot say: ")
