"""The order of work: how early and how late a step can come."""

from itertools import pairwise, permutations

from hypothesis import given, settings
from hypothesis import strategies as st
from support.orders import a_print
from support.quillwing import QUILLWING

from plytally.core.entry import Place
from plytally.core.order_of_work import OrderOfWork, moment_told


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
