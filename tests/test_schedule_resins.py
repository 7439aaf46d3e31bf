"""The resins of a print: read with located mistakes, the same from YAML and a table, compared and used."""

from dataclasses import replace

import pytest
from support.devices import Device

from plytally.core.checking import check_new
from plytally.core.clocks import ClockBook
from plytally.core.entry import Entry
from plytally.core.hearing import typed
from plytally.core.ledger import Ledger
from plytally.core.merge import State
from plytally.core.pot_life import ResinTimes
from plytally.core.quantities import parse_quantity
from plytally.core.readiness import cure_of
from plytally.core.revisions import changes
from plytally.core.schedule import ScheduleError
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.shop.cure import timed
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import schedule_from_yaml
from plytally.schedule_table import csv_from_schedule, schedule_from_csv

MIN, H = 60_000, 3_600_000
HEAD = "aircraft: Quillwing\nprint revision: C\nmaterials: {BID: {cure: 12 h}, UNI: }\n"
PARTS = "parts:\n  rudder post:\n    steps:\n      - {step: R1, plies: 2, material: BID}\n"
EPOXY = (
    "{said as: [epoxy, laminating resin], pot life: [50 min at 59 degF, 25 min at 77 degF], cup: 150 g,"
    " cure: 24 h at 77 degF, ratio by weight: 100 to 44, ratio by volume: '2:1', note: slow hardener}"
)
LONE = f"resins:\n  epoxy: {EPOXY}\n"
TWO = f"{LONE}  fast epoxy: {{pot life: 8 min at 77 degF, cure: 6 h, ratio by weight: 4 to 1}}\n"


def a_print(resins=LONE):
    return schedule_from_yaml(HEAD + resins + PARTS)


def test_a_resin_is_read_with_all_that_its_sheet_says():
    (resin,) = a_print().resins
    assert [(str(row.time), str(row.temperature)) for row in resin.pot.rows] == [
        ("50 min", "59 degF"),
        ("25 min", "77 degF"),
    ]
    assert (str(resin.cup), str(resin.cure_time)) == ("150 g", "24 h")
    assert (str(resin.by_weight), str(resin.by_volume)) == ("100:44", "2:1")


@pytest.mark.parametrize("resins", [LONE, TWO, "resins: {epoxy: }\n"])
def test_it_comes_back_the_same_from_a_table_and_from_json(resins):
    schedule = a_print(resins)
    assert schedule_from_json(schedule.as_json()) == schedule
    assert schedule_from_csv(csv_from_schedule(schedule)) == schedule


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("pot life: 25 min", "needs its temperature"),
        ("pot life: soon at 77 degF", "pot life of epoxy"),
        ("pot life: 25 min at 77 g", "temperature"),
        ("pot life: 25 g at 77 degF", "given as a time"),
        ("pot life: 0 min at 77 degF", "above zero"),
        ("pot life: [25 min at 77 degF, 50 min at 59 degF]", "coldest first"),
        ("pot life: {a: b}", "written like"),
        ("cup: 100 ml", "the cup of epoxy"),
        ("cure: a day", "the cure of epoxy"),
        ("cure: 24 h at noon", "the cure of epoxy"),
        ("ratio by weight: four", "written like"),
        ("ratio by volume: 4 to 0", "written like"),
        ("ratio: 4 to 1", "did you mean 'ratio by weight'"),
    ],
)
def test_a_mistake_is_told_with_its_line(written, told):
    with pytest.raises(ScheduleError, match=told) as problem:
        a_print(f"resins:\n  epoxy:\n    {written}\n")
    assert problem.value.line == 6


def test_a_new_revision_tells_what_changed_in_a_resin():
    lines = [str(each) for each in changes(a_print(), a_print(TWO.replace("24 h at 77 degF", "36 h")))]
    assert lines == ["changed: resin epoxy: cure becomes 36 h", "added: resin fast epoxy"]


@pytest.mark.parametrize("said", ["epoxy", "laminating resin"])
def test_its_names_are_heard_and_the_usual_ones_give_way(said):
    words = from_schedule(a_print(TWO.replace("  epoxy:", "  slow epoxy:")))
    assert understand(typed(f"mixed 80 grams of {said}"), words).fields["resin"] == "slow epoxy"
    assert understand(typed("mixed 80 grams of fast epoxy"), words).fields["resin"] == "fast epoxy"


def book_of(times, *operations):
    book = ClockBook(times)
    book.take(State().with_operations(operations).entries.values())
    return book


def noted(device, kind, **fields):
    return device.notes({"kind": kind, "fields": fields, "said": "", "unused": []})


GRAMS = {"amount": "80", "unit": "g"}
F77 = {"amount": "77", "unit": "degF"}


def minutes_of(times, mass=GRAMS, air=F77, **resin):
    device = Device()
    warm, cup = noted(device, "shop_air", temperature=air), noted(device, "mixed", mass=mass, **resin)
    (clock,) = book_of(times, warm, cup).running(cup.stamp.millis)
    return (clock.due - cup.stamp.millis) / MIN, clock.why


def test_a_cup_runs_the_prints_pot_life_for_its_resin():
    times = ResinTimes().with_print(a_print(TWO))
    assert minutes_of(times, resin="epoxy", air={"amount": "59", "unit": "degF"})[0] == 50
    assert minutes_of(times, resin="fast epoxy")[0] == 8


def test_a_cup_without_a_resin_takes_a_lone_one_and_of_several_the_usual_time():
    assert minutes_of(ResinTimes().with_print(a_print()))[0] == 25
    minutes, why = minutes_of(ResinTimes().with_print(a_print(TWO)))
    assert minutes < 20
    assert "usual" in why


def test_what_the_builder_gave_for_the_same_resin_comes_before_the_print():
    own = {"epoxy": timed(parse_quantity("77 degF"), parse_quantity("33 min"))}
    times = ResinTimes(own).with_print(a_print(TWO))
    assert minutes_of(times, resin="epoxy")[0] == 33
    assert minutes_of(times, resin="fast epoxy")[0] == 8


@pytest.mark.parametrize(("grams", "sooner"), [("140", False), ("160", True)])
def test_a_cup_above_the_sheets_own_says_that_it_goes_sooner(grams, sooner):
    why = minutes_of(ResinTimes().with_print(a_print()), mass={"amount": grams, "unit": "g"})[1]
    assert ("150 g that the print gives it for" in why) == sooner


def cure_hours(times, air, *more):
    device = Device()
    warm = noted(device, "shop_air", temperature=air)
    before = [noted(device, kind, **fields) for kind, fields in more]
    cure = noted(device, "clock", clock="cure")
    running = book_of(times, warm, *before, cure).running(cure.stamp.millis)
    (clock,) = [each for each in running if each.id == cure.id]
    return round((clock.due - cure.stamp.millis) / H, 2), clock.why


def test_a_cure_clock_without_a_time_takes_the_cure_of_the_last_cups_resin_at_the_shops_air():
    times = ResinTimes().with_print(a_print(TWO))
    slow, fast = (("mixed", {"mass": GRAMS, "resin": name}) for name in ("epoxy", "fast epoxy"))
    assert cure_hours(times, F77, fast, slow)[0] == 24
    assert cure_hours(times, {"amount": "59", "unit": "degF"}, slow)[0] == 48
    assert cure_hours(times, F77, slow, fast)[0] == 6
    assert "usual" in cure_hours(ResinTimes(), F77, slow)[1]


def test_a_layup_waits_as_long_as_the_resin_cures_where_its_cloth_says_nothing():
    schedule = a_print(TWO)
    assert [str(part) for part in cure_of(schedule, "BID")] == ["12 h", "by the print"]
    assert [str(part) for part in cure_of(schedule, "UNI")] == ["24 h", "epoxy, by the print"]
    assert str(cure_of(replace(schedule, resins=()), "UNI")[0]) == "24 h"


@pytest.mark.parametrize(
    ("words", "runner_up", "why"),
    [
        ("mixed 80 grams of epoxy at 100 to 44", None, ""),
        ("mixed 80 grams of epoxy at 50 to 22", None, ""),
        ("mixed 80 grams of epoxy at 2 to 1", "100:44", "by volume"),
        ("mixed 80 grams of epoxy at 4 to 1", "100:44", "the print gives 100:44 by weight for epoxy"),
        ("mixed 80 grams of fast epoxy at 4 to 1", None, ""),
        ("mixed 80 grams of fast epoxy at 3 to 1", "4:1", "the print gives 4:1"),
        ("mixed 80 grams at 3 to 1", None, ""),
        ("mixed 80 grams of epoxy", None, ""),
    ],
)
def test_a_ratio_that_the_sheet_does_not_give_is_asked_about(words, runner_up, why):
    schedule = a_print(TWO)
    meant = understand(typed(words), from_schedule(schedule))
    doubts = check_new(Ledger(schedule), Entry(meant.name, meant.fields), "2026-11-03T09:00:00.000+01:00")
    assert [doubt.runner_up for doubt in doubts] == ([runner_up] if runner_up else [])
    assert all(why in doubt.why for doubt in doubts)


def test_without_resins_on_the_print_nothing_is_asked():
    bare = replace(a_print(), resins=())
    meant = understand(typed("mixed 80 grams of epoxy at 9 to 1"), from_schedule(bare))
    now = "2026-11-03T09:00:00.000+01:00"
    assert check_new(Ledger(bare), Entry(meant.name, meant.fields), now) == ()
