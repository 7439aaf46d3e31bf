"""How tallies, findings and answers are worded."""

import pytest
from support.quillwing import AFT, FORE, NOW, QUILLWING, TWO_STEPS, entry, laid, ledger_of

from plytally.core.account import Answer
from plytally.core.asking import have_laid
from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.telling import (
    ago_told,
    answer_told,
    day_told,
    entry_told,
    finding_told,
    left_off_told,
    owed_told,
    place_told,
    step_told,
    tally_told,
)

SPAR = Place("elevator spar", "right")


def test_where_two_orientations_are_owed_each_is_told():
    rib = Place("rib", "", "fore")

    assert owed_told(Ledger(TWO_STEPS).owed(rib), rib) == (
        "rib, fore face: 0 of 2 BID at 0 laid, 2 owed.",
        "rib, fore face: 0 of 2 BID at 45 laid, 2 owed.",
    )


def test_owed_is_told_line_by_line():
    ledger = ledger_of(laid(3), laid(2, "aft"))

    assert owed_told(ledger.owed(AFT), AFT)[0] == "right elevator spar, aft face: 2 of 4 BID laid, 2 owed."


def test_nothing_owed_is_said_too():
    rib = Place("elevator rib 2", "left")
    done = ledger_of(*(laid(2, face, part="elevator rib 2", side="left") for face in ("inboard", "outboard")))

    assert owed_told(done.owed(rib), rib) == ("nothing is owed on the left elevator rib 2.",)


def test_a_tally_tells_doubt_and_what_is_over():
    over = ledger_of(laid(5))
    doubtful = ledger_of(laid(2), doubts=("plies",))

    assert tally_told(over.tallies(FORE)[0]) == "right elevator spar, fore face: 3 of 3 BID laid, 2 over."
    assert tally_told(doubtful.tallies(FORE)[0]).endswith("0 of 3 BID laid, 2 more in doubt, 3 owed.")


def test_an_alternate_is_told():
    tab = Place("trim tab", "right", "upper")
    (told,) = map(tally_told, ledger_of(laid(1, "upper", part="trim tab")).tallies(tab))

    assert told == "right trim tab, upper face: 1 of 1 carbon BID laid (BID in its place)."


def test_where_you_left_off_is_told_with_what_comes_next():
    told = left_off_told(ledger_of(laid(3)).left_off(SPAR), SPAR)

    assert told[0] == "last: 3 BID laid on right elevator spar, fore face, on 20 January 2025."
    assert (
        told[1] == "next: right elevator spar, E2: 7 BID at 45 on the fore face at hinge 1, hinge 2, hinge 3."
    )
    assert told[-1] == "and 1 more can be worked."


def test_no_work_at_all_is_told():
    assert (
        left_off_told(ledger_of().left_off(SPAR), SPAR)[0] == "no work is noted on the right elevator spar."
    )


def test_a_finding_is_told_with_its_entry_and_day():
    (over,) = findings(ledger_of(laid(5)))

    assert finding_told(over) == (
        "over: 5 BID laid on right elevator spar, fore face, 20 January 2025: "
        "the print asks for 3 BID here, this is 2 more."
    )


def test_a_finding_that_asks_ends_with_its_question():
    (asked,) = findings(ledger_of(laid(5, face="")))

    assert finding_told(asked).endswith("which face of the elevator spar: fore or aft?")


def test_an_answer_is_told_with_its_evidence():
    assert answer_told(have_laid(ledger_of(laid(2)), FORE, 3, "BID")) == (
        "partly: right elevator spar, fore face: 2 of 3 BID laid, last on 20 January 2025.",
    )
    assert answer_told(Answer("no", FORE, "", 3, 0, 0)) == (
        "no: right elevator spar, fore face: 0 of 3 plies laid.",
    )


@pytest.mark.parametrize(
    ("place", "told"),
    [
        (Place("rudder skin", "left", "inside"), "left rudder skin, inside"),
        (
            Place("elevator spar", "", "fore", "upper cap", "3"),
            "elevator spar, fore face, upper cap, at station 3",
        ),
        (Place(), ""),
    ],
)
def test_a_place_is_told_as_it_is_said(place, told):
    assert place_told(place) == told


def test_a_step_that_lays_nothing_is_told_by_what_it_does():
    (drill,) = QUILLWING.with_id("TF6")

    assert step_told(drill) == "drill fitting at center"


def test_other_work_is_told_by_its_kind():
    mounted = Dated("x", NOW, entry("mounted", item="hinge", station="hinge 1"))

    assert entry_told(mounted) == "hinge mounted or fitted on right elevator spar, at hinge 1"


@pytest.mark.parametrize(
    ("when", "told"),
    [
        ("2026-03-22T09:59:40+01:00", "0 minutes"),
        ("2026-03-22T09:59:00+01:00", "1 minute"),
        ("2026-03-22T09:00:00+01:00", "60 minutes"),
        ("2026-03-22T01:00:00+01:00", "9 hours"),
        ("2026-03-20T10:00:00+01:00", "2 days"),
        ("2026-01-23T10:00:00+01:00", "58 days"),
        ("2026-01-22T10:00:00+01:00", "2 months"),
        ("2025-01-22T10:00:00+01:00", "14 months"),
        ("2024-03-23T10:00:00+01:00", "23 months"),
        ("2024-03-22T10:00:00+01:00", "2 years"),
        ("2027-01-01T00:00:00Z", "0 minutes"),
    ],
)
def test_how_long_ago_is_told_in_the_largest_unit_that_fits_twice(when, told):
    assert ago_told(when, NOW) == told


def test_a_day_is_the_one_on_the_shop_wall():
    assert day_told("2025-12-31T23:30:00-08:00") == "31 December 2025"
