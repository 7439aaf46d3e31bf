"""The order of the print held against the log, where the work left off, and what comes next."""

from support.ledgers import FITTINGS, HINGES, PRINT, box, entry, found, kinds, laid, mounted, noted

from plytally.core.account import NextStep
from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger


def test_a_step_before_what_it_needs_is_out_of_order_until_what_it_needs_is_done():
    ledger = Ledger(PRINT, noted(laid(4, face="aft")))

    (finding,) = findings(ledger)

    assert (finding.kind, finding.entry.id) == ("out of order", "n1")
    assert "step E1 comes first (3 BID at 45 on the fore face); it is still open" in finding.why


def test_a_step_done_too_late_stays_out_of_order_and_says_when():
    ledger = Ledger(PRINT, noted(laid(4, face="aft"), laid(3)))

    (finding,) = findings(ledger)

    assert finding.why.endswith("it was done only on 2 January 2025")


def test_steps_in_the_order_of_the_print_leave_nothing_to_find():
    done = noted(laid(3), laid(7, station="hinge 1"), laid(4, face="aft"), mounted("hinge 1"))

    assert kinds(Ledger(PRINT, done)) == []


def test_order_is_held_station_by_station():
    done = noted(
        laid(3), laid(7, station="hinge 1"), laid(4, face="aft"), mounted("hinge 1"), mounted("hinge 2")
    )

    (finding,) = findings(Ledger(PRINT, done))

    assert finding.entry.id == "n5"
    assert "7 BID on the fore face at hinge 2), and would spoil step E5" in finding.why


def test_the_side_does_not_mix_up_the_order():
    assert kinds(Ledger(PRINT, noted(laid(3, side="left"), laid(4, face="aft")))) == [("out of order", "n2")]


def test_work_that_is_no_step_of_the_print_is_only_log():
    assert kinds(Ledger(PRINT, noted(entry("sanded", side=""), entry("mixed", part="")))) == []


def test_what_was_only_looked_at_or_asked_is_no_work():
    ledger = Ledger(PRINT, noted(entry("photo"), entry("to_do"), entry("note", part="", text="cold")))

    assert ledger.left_off().last is None


def test_you_left_off_at_the_latest_work_there():
    ledger = Ledger(PRINT, noted(laid(3), laid(1, face="aft"), laid(3, side="left")))

    assert ledger.left_off(Place("spar", "right")).last.id == "n2"
    assert ledger.left_off(Place("spar")).last.id == "n3"
    assert ledger.left_off(Place("spar", "right", "fore")).last.id == "n1"
    assert ledger.left_off(Place("post")).last is None
    assert ledger.left_off().last.id == "n3"


def test_the_latest_is_by_the_instant_whatever_the_offset():
    early = Dated("a", "2025-01-01T23:30:00-08:00", laid(1))
    late = Dated("b", "2025-01-02T07:00:00+00:00", laid(1))

    assert Ledger(PRINT, [late, early]).left_off().last.id == "a"


def test_the_next_steps_wait_for_nothing():
    ledger = Ledger(PRINT, noted(laid(3), laid(7, station="hinge 1"), laid(1, face="aft")))
    right = {step.id: step for step in PRINT.steps if step.side == "right"}

    assert ledger.left_off(Place("spar", "right")).next == (
        NextStep(right["E2"], ("hinge 2",), 7),
        NextStep(right["E3"], (), 3),
        NextStep(right["E4"], (), 2),
    )


def test_what_would_be_spoilt_is_not_next():
    ledger = Ledger(PRINT, noted(laid(3), laid(4, face="aft"), laid(7, station="hinge 2")))

    ready = {next_.step.id: next_.stations for next_ in ledger.next_steps(Place("spar", "right"))}

    assert ready["E5"] == ("hinge 2",)


def test_the_whole_print_done_owes_nothing_and_has_nothing_next():
    done = [
        each
        for side in ("left", "right")
        for each in (
            laid(3, side=side),
            *(laid(7, side=side, station=hinge) for hinge in HINGES),
            laid(4, face="aft", side=side),
            laid(2, "UNI", side=side, feature="cap"),
            *(mounted(hinge, side=side) for hinge in HINGES),
        )
    ]
    post = [
        laid(2, part="post", orientation="0"),
        laid(1, part="post", orientation="45"),
        laid(1, "UNI", part="post"),
    ]
    ledger = Ledger(PRINT, noted(*done, *post, entry("bonded", part="fin")))

    assert ledger.owed() == ()
    assert ledger.next_steps() == ()
    assert findings(ledger) == ()


def test_one_entry_before_one_step_is_one_finding_however_many_stations_it_has():
    assert found(box("bonded")) == [("out of order", "")]


def test_a_step_both_needed_and_spoiling_is_told_once_and_as_spoiling():
    (finding,) = findings(Ledger(FITTINGS, noted(box("mounted", station="hinge 1", item="hinge"))))

    assert "would spoil step B4" in finding.why
