"""What is to be done next, with the clocks of cure."""

from support.orders import HINGED, a_print, log_of
from support.quillwing import NOW, entry, laid

from plytally.core.entry import Entry, Place
from plytally.core.quantities import parse_quantity
from plytally.core.readiness import bench_told, cure_of, on_the_bench
from plytally.core.schedule_reading import schedule_from_json

SPAR = Place("elevator spar", "right")


def bench(ledger, now=NOW, where=SPAR):
    return {step.next.step.id: step.waits and step.waits.until for step in on_the_bench(ledger, now, where)}


def test_a_face_that_was_laid_less_than_its_cure_ago_is_not_ready():
    ledger = log_of(("2026-03-22T08:00:00+01:00", laid(3)))

    assert set(bench(ledger).items()) == {
        ("E2", "2026-03-23T08:00:00.000+01:00"),
        ("E3", "2026-03-23T08:00:00.000+01:00"),
        ("E5", "2026-03-23T08:00:00.000+01:00"),
        ("E6", "2026-03-23T08:00:00.000+01:00"),
    }
    assert set(bench(ledger, "2026-03-23T08:00:00+01:00").values()) == {None}


def test_a_face_called_cured_is_ready_at_once():
    cured = entry("cured")
    ledger = log_of(("2026-03-22T08:00:00+01:00", laid(3)), ("2026-03-22T09:00:00+01:00", cured))

    assert set(bench(ledger).values()) == {None}


def test_the_other_side_and_the_other_part_do_not_wait():
    ledger = log_of(("2026-03-22T08:00:00+01:00", laid(3)))

    assert bench(ledger, where=Place("elevator spar", "left")) == {"E1": None}


def test_what_cures_at_one_station_holds_up_work_at_another_no_longer_than_needed():
    schedule = a_print(
        {"step": "L1", "face": "fore", "at": ["hinge 1", "hinge 2"], "plies": 2},
        {"step": "L2", "face": "fore", "at": "hinge 1", "plies": 1, "orientation": "0"},
        **HINGED,
    )
    row = Entry("laid", {"part": "spar", "face": "fore", "station": "hinge 2", "plies": 1, "material": "BID"})

    waiting = bench(log_of(("2026-03-22T09:00:00+01:00", row), schedule=schedule), where=Place("spar"))

    assert (bool(waiting["L1"]), bool(waiting["L2"])) == (True, False)


def test_the_print_s_own_cure_counts_before_the_usual_one():
    schedule = a_print(
        {"step": "A"}, {"step": "B", "do": "sand", "after": "A"}, materials={"BID": {"cure": "36 h"}}
    )
    row = Entry("laid", {"part": "spar", "plies": 1, "material": "bid"})

    assert cure_of(schedule, "BID") == (parse_quantity("36 h"), "by the print")
    assert cure_of(schedule, "") == (parse_quantity("24 h"), "common practice, no source")
    assert bench(log_of(("2026-03-21T09:00:00+01:00", row), schedule=schedule), where=Place()) == {
        "B": "2026-03-22T21:00:00.000+01:00"
    }


def test_the_part_worked_last_comes_first_and_what_cures_comes_last():
    rows = (
        ("2026-03-01T09:00:00+01:00", laid(2, "inboard", part="elevator rib 2")),
        ("2026-03-05T09:00:00+01:00", laid(2, "inboard", part="elevator rib 3")),
        ("2026-03-22T09:00:00+01:00", laid(3)),
    )

    steps = on_the_bench(log_of(*rows), NOW)

    assert [str(step.next.step) for step in steps][:2] == ["right ET2", "right ES2"]
    assert [str(step.next.step) for step in steps if not step.is_ready] == [
        "right E2",
        "right E3",
        "right E5",
        "right E6",
    ]


def test_a_step_that_waits_is_told_with_its_reason():
    first, *_ = on_the_bench(log_of(("2026-03-22T08:00:00+01:00", laid(3))), NOW, SPAR)

    assert bench_told(first, NOW) == (
        "right elevator spar, E2: 7 BID at 45 on the fore face at hinge 1, hinge 2, hinge 3: not before "
        "23 March 2026, 08:00, unless you go on wet on wet: 3 BID laid on right elevator spar, fore face "
        "2 hours ago cures 24 h (epoxy, by the print)"
    )


def test_a_skin_waits_for_the_cure_of_what_it_closes_in():
    schedule = schedule_from_json(
        {
            "aircraft": "Quillwing",
            "print revision": "C",
            "materials": "BID",
            "parts": {
                "rib": {"steps": [{"step": "R", "plies": 1, "material": "BID"}]},
                "skin": {"steps": [{"step": "K", "do": "bond", "after": "R"}]},
            },
        }
    )
    row = Entry("laid", {"part": "rib", "plies": 1, "material": "BID"})

    assert bench(log_of(("2026-03-22T09:00:00+01:00", row), schedule=schedule), where=Place()) == {
        "K": "2026-03-23T09:00:00.000+01:00"
    }
