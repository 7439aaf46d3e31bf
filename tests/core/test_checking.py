"""What the ledger asks back about a new entry."""

import sys

import pytest
from support.quillwing import NOW, QUILLWING, TWO_STEPS, entry, laid, ledger_of

from plytally.core.checking import check_new
from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger


def doubts(ledger, new):
    return [(doubt.field, doubt.heard, doubt.runner_up) for doubt in check_new(ledger, new, NOW)]


def test_a_new_entry_that_fits_raises_no_doubt():
    assert check_new(ledger_of(laid(3)), laid(4, "aft"), NOW) == ()


def test_a_repeat_is_doubted_and_told_since_when():
    repeat = laid(2, part="rudder post", side="")

    (doubt,) = check_new(ledger_of(repeat), repeat, NOW)

    assert (doubt.field, doubt.heard) == ("plies", "2")
    assert doubt.why == "rudder post, fore face has its 2 BID since 14 months (20 January 2025)"


def test_more_than_is_owed_is_doubted_with_what_is():
    ledger = ledger_of(laid(1, "inboard", part="elevator rib 2"))

    assert doubts(ledger, laid(2, "inboard", part="elevator rib 2")) == [("plies", "2", "1")]


def test_a_repeat_of_plies_still_in_doubt_is_doubted():
    ledger = ledger_of(laid(2, "inboard", part="elevator rib 2"), doubts=("plies",))

    (doubt,) = check_new(ledger, laid(2, "inboard", part="elevator rib 2"), NOW)

    assert "has 0 of its 2 BID and 2 more in doubt" in doubt.why


def test_too_many_for_the_face_asks_for_the_station_where_some_are_owed():
    ledger = ledger_of(laid(3), *(laid(7, station=f"hinge {n}") for n in (1, 2)))

    assert doubts(ledger, laid(7)) == [("station", "", "hinge 3")]


def test_what_the_print_does_not_ask_is_doubted_with_what_it_asks():
    assert doubts(ledger_of(laid(3)), laid(4, "aft", "UNI")) == [("material", "UNI", "BID")]
    assert doubts(ledger_of(laid(3)), laid(4, "aft", orientation="90")) == [("orientation", "90", "45")]


@pytest.mark.parametrize(
    ("new", "expected"),
    [
        (laid(2, part="elevator spare"), ("part", "elevator spare", "elevator spar")),
        (laid(2, side=""), ("side", "", "")),
        (laid(2, part="trim tab", side="left", face="upper"), ("side", "left", "right")),
        (laid(2, face=""), ("face", "", "")),
        (laid(2, face="four"), ("face", "four", "fore")),
        (laid(2, station="hinge 7"), ("station", "hinge 7", "hinge 3")),
        (laid(0), ("plies", "0", "")),
        (entry("mounted", item="hinge"), ("station", "", "")),
    ],
    ids=lambda each: each[0] if isinstance(each, tuple) else "",
)
def test_an_unclear_or_unknown_place_is_doubted(new, expected):
    assert doubts(ledger_of(), new)[0] == expected


def test_a_step_before_its_time_is_doubted_about_the_order():
    found = check_new(ledger_of(), laid(4, "aft"), NOW)

    assert [(doubt.field, doubt.heard, doubt.runner_up) for doubt in found] == [("order", "E3", "E1")]


def test_a_repeat_of_what_others_rest_on_is_no_question_of_order():
    assert doubts(ledger_of(laid(3), laid(4, "aft")), laid(2)) == [("station", "", "")]


def test_a_step_completed_after_what_rests_on_it_is_doubted_about_the_order():
    (doubt,) = check_new(ledger_of(laid(2), laid(4, "aft")), laid(1), NOW)

    assert doubt.why == "step E3 (4 BID at 45 on the aft face) is noted already, and comes after step E1"


def test_kinds_of_entry_that_no_step_asks_for_raise_no_doubt():
    assert check_new(ledger_of(), entry("sanded"), NOW) == ()
    assert check_new(ledger_of(), entry("checked", part="wing"), NOW) == ()


@pytest.mark.parametrize(("plies", "waited_for"), [(2, set()), (3, {"R2b"})])
def test_only_the_steps_that_an_entry_reaches_are_asked_about(plies, waited_for):
    new = entry(part="rib", side="", face="aft", plies=plies, material="BID")

    assert {doubt.runner_up for doubt in check_new(Ledger(TWO_STEPS), new, NOW)} == waited_for


def test_plies_under_a_hinge_that_is_mounted_are_doubted():
    ledger = ledger_of(laid(3), entry("mounted", item="hinge", station="hinge 1"))

    (doubt,) = check_new(ledger, laid(7, station="hinge 1"), NOW)

    assert doubt.why == (
        "step E9 (mount hinge at hinge 1) is noted already, and step E2 would spoil it; "
        "7 BID go under the hinge that is mounted: the surface rises 0.0672 in (1.707 mm), flush is lost by "
        "that much; lay first, or build up the other side by 7 plies of BID"
    )


def test_a_hinge_over_plies_still_owed_is_doubted():
    new = entry("mounted", item="hinge", station="hinge 1")

    found = check_new(ledger_of(laid(3), laid(7, station="hinge 1")), new, NOW)

    assert {doubt.runner_up for doubt in found} == {"E8", "E4"}


def test_checking_changes_nothing():
    ledger = ledger_of(laid(2))
    before = (ledger.tallies(), findings(ledger))

    check_new(ledger, laid(3), NOW)

    assert (ledger.tallies(), findings(ledger)) == before


def calls_made(act):
    """How many Python functions run: the work done, whatever the machine."""
    count = 0

    def counted(frame, event, arg):
        nonlocal count
        count += event == "call"

    before = sys.getprofile()
    sys.setprofile(counted)
    try:
        act()
    finally:
        sys.setprofile(before)
    return count


def one_more(entries):
    """The work of one more entry, on a log of so many, until its place is counted anew."""
    log = [
        Dated(
            f"n{at:05}",
            f"2025-01-{1 + at * 27 // entries:02}T10:00:00Z",
            laid(1, "aft" if at % 2 else "fore"),
        )
        for at in range(entries)
    ]
    ledger = Ledger(QUILLWING, log)
    ledger.tallies(), findings(ledger)
    new = laid(2, "inboard", part="elevator rib 2")

    def act():
        check_new(ledger, new, NOW)
        ledger.add(Dated("z", "2026-01-01T10:00:00Z", new))
        ledger.tallies(Place("elevator rib 2", "right"))

    return calls_made(act)


def test_one_more_entry_costs_the_same_however_long_the_log():
    assert one_more(4000) <= 1.1 * one_more(40)
