"""What changed between two states of a log, found without going over what they share."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.devices import Device

from plytally.clock import MachineClock
from plytally.core.answering import catch_up, dated
from plytally.core.entry import Entry
from plytally.core.findings import findings
from plytally.core.hearing import typed
from plytally.core.ledger import Ledger
from plytally.core.merge import Fold, State
from plytally.core.pocket import Pocket
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.sharing import SharedMap
from plytally.schedule_file import read_schedule_file
from plytally.workshop.bench import Bench
from plytally.workshop.demo import demo_folder

NOW = "2026-11-03T10:00:00+01:00"


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 2000), st.integers())),
    st.lists(st.tuples(st.integers(0, 2000), st.integers())),
)
def test_the_values_that_differ_are_those_put_since_the_copy(first, then):
    old: SharedMap[int, object] = SharedMap()
    for key, value in first:
        old.put(key, (value,))
    new = old.copy()
    for key, value in then:
        new.put(key, (value,))

    assert {id(value) for value in new.differing(old)} == {id(new[key]) for key, _ in then}
    assert list(old.copy().differing(old)) == []


SAID = (
    "laid two plies bid on the right elevator spar fore face",
    "laid four plies bid on the right elevator spar aft face",
    "laid seven plies bid on the right elevator spar fore face at hinge two",
    "mounted the hinge on the right elevator spar at hinge two",
    "laid two plies uni on the left elevator rib two inboard face",
    "scratch that",
    "confirm",
    "make it three",
)


@pytest.mark.parametrize("seed", range(4))
def test_the_ledger_kept_up_to_date_is_the_one_built_anew(tmp_path, seed):
    chance = random.Random(seed)
    with Bench.open(tmp_path, MachineClock()) as bench:
        bench.take_schedule(demo_folder() / "quillwing.yaml")
        for _ in range(25):
            bench.take(typed(chance.choice(SAID)))
            bench.ledger.tallies()

        anew = Ledger(bench.schedule, map(dated, bench.log.state.entries.values()))
        assert bench.ledger.tallies() == anew.tallies()
        assert findings(bench.ledger) == findings(anew)
        assert bench.ledger.left_off() == anew.left_off()


def test_an_entry_that_a_later_state_has_no_more_counts_no_more():
    entry = Entry("laid", {"part": "rib", "plies": 2, "material": "BID"})
    schedule = schedule_from_json(
        {
            "aircraft": "Quillwing",
            "print revision": "C",
            "materials": "BID",
            "parts": {"rib": {"steps": [{"step": "R1", "plies": 2, "material": "BID"}]}},
        }
    )
    fold = Fold()
    fold.apply(Device().notes(entry.as_json()), None)
    ledger, full = Ledger(schedule), fold.state()

    catch_up(ledger, full, State())
    assert ledger.owed() == ()

    catch_up(ledger, State(), full)
    assert [tally.owed for tally in ledger.owed()] == [2]


def test_a_phone_owes_less_with_each_operation_that_it_sees():
    schedule = read_schedule_file(demo_folder() / "quillwing.yaml")
    pocket, maker = Pocket(schedule.as_json()), Device()
    place = {"part": "elevator rib 2", "side": "right", "face": "inboard"}
    laid = Entry("laid", place | {"plies": 1, "material": "BID"}).as_json()

    def owed():
        (line,) = (line for line in pocket.board(NOW)["owed"] if line.startswith("right elevator rib 2"))
        return line

    seen = [owed()]
    for _ in range(2):
        assert pocket.saw([(maker.notes(laid).as_json(), None)]) == []
        seen.append(owed())

    assert seen == [f"right elevator rib 2: {count} plies owed." for count in (4, 3, 2)]


def test_one_more_entry_is_all_that_the_ledger_is_told(tmp_path, monkeypatch):
    with Bench.open(tmp_path, MachineClock()) as bench:
        bench.take_schedule(demo_folder() / "quillwing.yaml")
        for number in range(30):
            bench.log.record(Entry("note", {"text": str(number)}))
        ledger, added, add = bench.ledger, [], Ledger.add
        monkeypatch.setattr(Ledger, "add", lambda self, each: (added.append(each.id), add(self, each)))

        bench.log.record(Entry("note", {"text": "one more"}))

        assert bench.ledger is ledger
        assert len(added) == 1
