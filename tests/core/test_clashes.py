"""What a step would cover: found in the print alone, and told when it is noted."""

import pytest
from support.orders import HINGED, a_print, log_of
from support.quillwing import NOW, QUILLWING, entry, laid

from plytally.core.build_up import ply_of, raised_told, rise
from plytally.core.checking import check_new
from plytally.core.clashes import clashes
from plytally.core.findings import findings
from plytally.core.order_of_work import OrderOfWork
from plytally.core.quantities import parse_quantity
from plytally.core.schedule import Material

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


def mounted(station="hinge 1"):
    return entry("mounted", item="hinge", station=station)


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
