"""Laid against asked: what counts where, and what remains owed."""

from dataclasses import replace

from support.ledgers import PRINT, kinds, laid, noted, tally

from plytally.core.entry import Place
from plytally.core.ledger import Ledger


def test_what_is_laid_is_no_longer_owed():
    ledger = Ledger(PRINT, noted(laid(2)))

    assert (tally(ledger, "E1").laid, tally(ledger, "E1").owed) == (2, 1)
    assert [dated.id for dated in tally(ledger, "E1").evidence] == ["n1"]


def test_the_other_side_still_owes_its_own():
    assert tally(Ledger(PRINT, noted(laid(3))), "E1", "left").owed == 3


def test_a_layer_over_the_whole_face_is_not_the_reinforcement_at_a_station():
    ledger = Ledger(PRINT, noted(laid(3), laid(7, station="hinge 1")))

    assert tally(ledger, "E1").owed == 0
    assert tally(ledger, "E2", station="hinge 1").owed == 0
    assert tally(ledger, "E2", station="hinge 2").owed == 7


def test_what_is_owed_at_a_station_is_its_own_and_what_goes_over_the_whole_face():
    owed = Ledger(PRINT).owed(Place("spar", "right", "fore", "", "hinge 2"))

    assert [(t.place.station, t.owed) for t in owed] == [("", 3), ("hinge 2", 7), ("", 2)]


def test_what_is_owed_on_a_face_leaves_out_the_other_face():
    assert [t.steps for t in Ledger(PRINT).owed(Place("spar", "right", "aft"))] == [("E3",)]


def test_the_total_at_a_station_counts_every_layer_there():
    ledger = Ledger(PRINT, noted(laid(3), laid(5, station="hinge 1")))

    totals = {
        total.place.station: total
        for total in ledger.totals(Place("spar", "right", "fore"))
        if not total.place.feature
    }

    assert (totals["hinge 1"].asked, totals["hinge 1"].laid) == (10, 8)
    assert (totals["hinge 2"].asked, totals["hinge 2"].laid) == (10, 3)


def test_plies_beyond_those_asked_are_over_and_owe_nothing():
    ledger = Ledger(PRINT, noted(laid(2), laid(3)))

    assert (tally(ledger, "E1").laid, tally(ledger, "E1").over, tally(ledger, "E1").owed) == (3, 2, 0)
    assert kinds(ledger) == [("over", "n2")]


def test_an_alternate_counts_and_is_named():
    ledger = Ledger(PRINT, noted(laid(3), laid(4, "carbon BID", "aft")))

    assert (tally(ledger, "E3").owed, tally(ledger, "E3").instead) == (0, ("carbon BID",))
    assert kinds(ledger) == []


def test_an_orientation_that_need_not_be_said_is_taken_as_asked():
    assert tally(Ledger(PRINT, noted(laid(3))), "E1").laid == 3


def test_two_orientations_on_one_face_are_counted_apart():
    ledger = Ledger(PRINT, noted(laid(1, part="post", orientation="45")))

    assert [(t.orientation, t.owed) for t in ledger.tallies(Place("post"))] == [("0", 2), ("45", 0), ("", 1)]


def test_names_count_whatever_their_capitals():
    ledger = Ledger(PRINT, noted(laid(3, "bid", "Fore", part="spar")))

    assert tally(ledger, "E1").owed == 0


def test_a_withdrawn_entry_counts_no_more():
    (first,) = noted(laid(3))
    ledger = Ledger(PRINT, [first])

    ledger.add(replace(first, withdrawn=True))

    assert tally(ledger, "E1").owed == 3
    assert ledger.left_off().last is None


def test_an_amended_entry_takes_the_place_of_what_it_was():
    (first,) = noted(laid(3))
    ledger = Ledger(PRINT, [first])

    ledger.add(replace(first, entry=laid(2, face="aft")))

    assert (tally(ledger, "E1").laid, tally(ledger, "E3").laid) == (0, 2)


def test_a_step_that_leaves_the_orientation_open_takes_any():
    assert tally(Ledger(PRINT, noted(laid(3), laid(4, face="aft", orientation="90"))), "E3").owed == 0
