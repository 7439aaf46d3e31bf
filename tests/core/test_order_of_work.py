"""The order of work: how early and late a step can come, what it covers, and what is to be done next."""

from itertools import pairwise, permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.build_up import ply_of, raised_told, rise
from plytally.core.checking import check_new
from plytally.core.clashes import clashes
from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.order_of_work import OrderOfWork, moment_told
from plytally.core.quantities import parse_quantity
from plytally.core.readiness import bench_told, cure_of, on_the_bench
from plytally.core.schedule import Material
from plytally.core.schedule_reading import schedule_from_json
from plytally.schedule_file import read_schedule_file

QUILLWING = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
SPAR = Place("elevator spar", "right")
NOW = "2026-03-22T10:00:00+01:00"


def a_print(*steps, materials=("BID",), **part):
    rows = [{"plies": 1, "material": "BID"} | step if "do" not in step else step for step in steps]
    return schedule_from_json(
        {
            "aircraft": "Quillwing",
            "print revision": "C",
            "materials": dict.fromkeys(materials) if isinstance(materials, tuple) else materials,
            "parts": {"spar": {**part, "steps": rows}},
        }
    )


def told(schedule, step_id, side=""):
    order = OrderOfWork(schedule)
    (step,) = (step for step in order.steps() if (step.id, step.side) == (step_id, side))
    return moment_told(order.moment(step), len(schedule.steps))


@st.composite
def small_orders(draw):
    """Up to six steps, each waiting for some of those before it or spoiling some after it."""
    number = draw(st.integers(1, 6))
    shuffled = draw(st.permutations(range(number)))
    rows = {}
    for at in range(number):
        earlier = st.lists(st.sampled_from(range(at)), unique=True, max_size=2) if at else st.just([])
        later = st.lists(st.sampled_from(range(at + 1, number)), unique=True, max_size=1)
        row = {"step": f"S{at}", "after": [f"S{first}" for first in draw(earlier)]}
        rows[at] = row | {"disturbs": [f"S{then}" for then in draw(later)] if at + 1 < number else []}
    return a_print(*(rows[at] for at in shuffled))


@settings(max_examples=60, deadline=None)
@given(small_orders())
def test_no_order_of_all_that_are_allowed_has_a_step_earlier_or_later_than_told(schedule):
    order = OrderOfWork(schedule)
    before = {m.step.id: {s.id for s in m.needs} for m in order.moments()}
    allowed = [
        line
        for line in permutations(before)
        if all(before[step_id] <= set(line[:at]) for at, step_id in enumerate(line))
    ]

    for moment in order.moments():
        places = [line.index(moment.step.id) + 1 for line in allowed]
        assert (moment.earliest, moment.latest) == (min(places), max(places))
    assert tuple(step.id for step in order.steps()) in allowed


@settings(max_examples=60, deadline=None)
@given(small_orders())
def test_the_critical_chain_is_one_of_the_longest(schedule):
    order = OrderOfWork(schedule)
    needs = {m.step.id: [s.id for s in m.needs] for m in order.moments()}

    def longest(step_id):
        return max((longest(first) + 1 for first in needs[step_id]), default=0)

    for moment in order.moments():
        chain = [*(step.id for step in moment.critical), moment.step.id]
        assert len(chain) - 1 == longest(moment.step.id)
        assert all(first in needs[then] for first, then in pairwise(chain))


def test_a_step_tells_what_it_needs_what_it_spoils_and_when_it_can_come():
    assert told(QUILLWING, "E4", "right") == (
        "right E4 (2 BID at 45 on the aft face at hinge 1, hinge 2, hinge 3): 3 to 112 of 115; after E3; "
        "would spoil E9; longest way here: E1 > E3"
    )


def test_steps_that_wait_for_nothing_keep_the_order_of_the_print():
    schedule = a_print({"step": "S1"}, {"step": "S2", "after": "S4"}, {"step": "S3"}, {"step": "S4"})

    assert [step.id for step in OrderOfWork(schedule).steps()] == ["S1", "S3", "S4", "S2"]


def test_a_step_for_both_sides_names_the_side_of_what_it_waits_for():
    assert "after RA2, left RK3, right RK3" in told(QUILLWING, "RA3")


def test_the_order_of_one_place_leaves_the_others_out():
    at = Place("elevator spar", "left", "aft", "", "hinge 1")

    assert [step.id for step in OrderOfWork(QUILLWING).steps(at)] == ["E3", "E4"]


# ---- what would be covered -----------------------------------------------------------------------

HINGED = {"faces": ["fore", "aft"], "stations": ["hinge 1", "hinge 2"], "features": ["cap"]}
MOUNT = {"step": "M", "do": "mount", "item": "hinge", "at": "hinge 1"}
THICK = {"BID": {"thickness": "9.6 mil"}}


def found(*steps):
    schedule = a_print(*steps, materials=THICK, **HINGED)
    return [
        (clash.kind, clash.step.id, [o.id for o in clash.others]) for clash in clashes(OrderOfWork(schedule))
    ]


@pytest.mark.parametrize(
    ("layup", "other", "expected"),
    [
        pytest.param({"at": "hinge 1"}, MOUNT, [("thickens", "L", ["M"])], id="order left open"),
        pytest.param({"at": "hinge 1", "after": "M"}, MOUNT, [("thickens", "L", ["M"])], id="plies last"),
        pytest.param({"at": "hinge 1"}, MOUNT | {"after": "L"}, [], id="plies first"),
        pytest.param({"at": "hinge 1", "disturbs": "M"}, MOUNT, [], id="plies first, as it would spoil"),
        pytest.param({"at": "hinge 2"}, MOUNT, [], id="another station"),
        pytest.param({}, MOUNT, [], id="over the face, mounted who knows on which"),
        pytest.param({}, MOUNT | {"face": "fore"}, [("thickens", "L", ["M"])], id="over the face it sits on"),
        pytest.param({}, MOUNT | {"face": "aft"}, [], id="over the other face"),
        pytest.param(
            {"at": "hinge 1"},
            MOUNT | {"feature": "cap"},
            [("thickens", "L", ["M"])],
            id="feature of one only",
        ),
        pytest.param({"at": "hinge 1"}, MOUNT | {"do": "drill"}, [("hides", "L", ["M"])], id="over holes"),
        pytest.param({"at": "hinge 1"}, MOUNT | {"do": "sand"}, [], id="over what was sanded"),
    ],
)
def test_plies_over_what_is_fitted_are_found_before_anything_is_laid(layup, other, expected):
    assert found({"step": "L", "face": "fore"} | layup, other) == expected


def test_the_clash_says_how_far_the_surface_rises():
    schedule = a_print(
        {"step": "L", "face": "fore", "at": "hinge 1", "plies": 10}, MOUNT, materials=THICK, **HINGED
    )
    (clash,) = clashes(OrderOfWork(schedule))

    assert str(clash) == (
        "thickens: step L of the spar (10 BID on the fore face at hinge 1) may come before or after "
        "step M of the spar (mount hinge at hinge 1): 10 BID go under the hinge that is mounted: the surface "
        "rises 0.096 in (2.438 mm), flush is lost by that much; lay first, or build up the other side by 10 "
        "plies of BID"
    )


def test_what_a_bond_closes_in_and_does_not_wait_for_is_found_in_the_demo_print():
    told_ = {(clash.kind, str(clash.step), str(*clash.others)) for clash in clashes(OrderOfWork(QUILLWING))}

    assert told_ == {("closes in", "left RK3", "RS2"), ("closes in", "right RK3", "RS2")}


@pytest.mark.parametrize(
    ("material", "shown"),
    [
        ({"thickness": "9.6 mil"}, "0.096 in (2.438 mm)"),
        ({"areal weight": "8.8 oz/yd2"}, "0.1542 in (3.916 mm)"),
    ],
)
def test_ten_plies_rise_by_the_prints_thickness_else_by_the_cloths_weight(material, shown):
    (bid,) = a_print({"step": "S"}, materials={"BID": material}).materials

    assert rise(10, bid).shown == shown


def test_carbon_by_its_weight_is_taken_as_carbon():
    weight = parse_quantity("5.8 oz/yd2")
    carbon, glass = Material("Carbon BID", areal_weight=weight), Material("BID", areal_weight=weight)

    ratio = ply_of(carbon).thickness.si() / ply_of(glass).thickness.si()

    assert float(ratio) == pytest.approx(2.54 / 1.79)


def test_a_rise_that_is_not_known_is_said_to_be_so():
    schedule = a_print({"step": "L", "at": "hinge 1", "face": "fore"}, MOUNT, **HINGED)
    layup, fitted = schedule.steps

    assert rise(0, None) is None
    assert raised_told(schedule, layup, fitted) == (
        "1 BID goes under the hinge that is mounted: the print does not say how thick a ply of BID is, "
        "so the rise is not known"
    )


# ---- held against the log ------------------------------------------------------------------------


def entry(kind="laid", part="elevator spar", side="right", **fields):
    return Entry(kind, {n: v for n, v in {"part": part, "side": side, **fields}.items() if v != ""})


def laid(plies, face="fore", **fields):
    return entry(face=face, plies=plies, material="BID", **fields)


def mounted(station="hinge 1"):
    return entry("mounted", item="hinge", station=station)


def log_of(*rows, schedule=QUILLWING):
    return Ledger(schedule, [Dated(f"n{at}", when, each) for at, (when, each) in enumerate(rows)])


def test_plies_that_come_too_late_are_told_with_their_rise_when_they_are_noted():
    ledger = log_of(("2026-03-01T10:00:00Z", laid(3)), ("2026-03-02T10:00:00Z", mounted()))

    (doubt,) = check_new(ledger, laid(5, station="hinge 1"), NOW)

    assert "5 BID go under the hinge that is mounted: the surface rises 0.048 in (1.219 mm)" in doubt.why


def test_a_hinge_that_is_noted_too_early_is_told_what_goes_under_it_still():
    ledger = log_of(("2026-03-01T10:00:00Z", laid(3)), ("2026-03-02T10:00:00Z", laid(5, station="hinge 1")))

    whys = {doubt.runner_up: doubt.why for doubt in check_new(ledger, mounted(), NOW)}

    assert "2 BID go under the hinge that is mounted: the surface rises 0.0192 in" in whys["E2"]
    assert "rises" not in whys["E8"]


def test_a_finding_says_what_the_hinge_will_stand_off():
    rows = [
        laid(3),
        laid(4, "aft"),
        laid(2, "aft", station="hinge 1"),
        entry("drilled", station="hinge 1"),
        mounted(),
    ]
    days = enumerate(rows, 1)

    told_ = [f.why for f in findings(log_of(*((f"2026-03-{day:02}T10:00:00Z", each) for day, each in days)))]

    assert any(
        "7 BID go under the hinge that is mounted: the surface rises 0.0672 in" in why for why in told_
    )


def test_plies_that_lay_there_before_the_hinge_do_not_raise_it():
    rows = [laid(3), laid(5, station="hinge 1"), mounted(), laid(2, station="hinge 1")]
    ledger = log_of(*((f"2026-03-{day:02}T10:00:00Z", each) for day, each in enumerate(rows, 1)))

    (why,) = [f.why for f in findings(ledger) if "step E2 comes first" in f.why]

    assert "it was done only on 4 March 2026; 2 BID go under the hinge" in why


# ---- next, with the clocks of cure ---------------------------------------------------------------


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
        "2 hours ago cures 24 h (common practice, no source)"
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
