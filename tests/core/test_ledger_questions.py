"""What a builder asks the ledger, what it asks back about a new entry, and how both are worded."""

import sys
from pathlib import Path

import pytest

from plytally.core.account import Answer
from plytally.core.asking import have_laid
from plytally.core.checking import check_new
from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
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
from plytally.schedule_file import read_schedule_file, schedule_from_yaml

QUILLWING = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
SPAR = Place("elevator spar", "right")
FORE, AFT = Place("elevator spar", "right", "fore"), Place("elevator spar", "right", "aft")
NOW = "2026-03-22T10:00:00+01:00"


def entry(kind="laid", part="elevator spar", side="right", **fields):
    given = {"part": part, "side": side, **fields}
    return Entry(kind, {name: value for name, value in given.items() if value != ""})


def laid(plies, face="fore", material="BID", **fields):
    return entry(face=face, plies=plies, material=material, **fields)


def ledger_of(*entries, doubts=()):
    """A log of one entry a day from 20 January 2025 on."""
    rows = enumerate(entries, 20)
    return Ledger(
        QUILLWING, [Dated(f"n{day}", f"2025-01-{day}T10:00:00+01:00", each, doubts) for day, each in rows]
    )


def doubts(ledger, new):
    return [(doubt.field, doubt.heard, doubt.runner_up) for doubt in check_new(ledger, new, NOW)]


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


TWO_STEPS = schedule_from_yaml("""\
aircraft: Quillwing
print revision: C
materials: BID
parts:
  rib:
    faces: fore, aft
    steps:
      - {step: R1, face: fore, plies: 2, material: BID, orientation: "0"}
      - {step: R2, face: fore, plies: 2, material: BID, orientation: "45", after: R4}
      - {step: R3, face: aft, plies: 2, material: BID}
      - {step: R4, face: aft, plies: 2, material: BID, after: R2b}
      - {step: R2b, do: cure}
""")


@pytest.mark.parametrize(("plies", "waited_for"), [(2, set()), (3, {"R2b"})])
def test_only_the_steps_that_an_entry_reaches_are_asked_about(plies, waited_for):
    new = entry(part="rib", side="", face="aft", plies=plies, material="BID")

    assert {doubt.runner_up for doubt in check_new(Ledger(TWO_STEPS), new, NOW)} == waited_for


def test_where_two_orientations_are_owed_each_is_told():
    rib = Place("rib", "", "fore")

    assert owed_told(Ledger(TWO_STEPS).owed(rib), rib) == (
        "rib, fore face: 0 of 2 BID at 0 laid, 2 owed.",
        "rib, fore face: 0 of 2 BID at 45 laid, 2 owed.",
    )


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
