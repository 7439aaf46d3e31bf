"""Laws of the desk: whatever is done there, in whatever order it arrives, nothing is lost or done twice."""

from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from support.devices import MORNING, Device, doubt

from plytally.core.clock import Stamp, tick, uuid7
from plytally.core.desk import acts
from plytally.core.desk.acts import Asker
from plytally.core.desk.answers import AnswerError, doubts_asked
from plytally.core.desk.days import Days, stands
from plytally.core.desk.rows import whole
from plytally.core.desk.typed_value import TypedValueError
from plytally.core.entry import Entry
from plytally.core.merge import State
from plytally.core.operation import Operation
from plytally.core.vocabulary import Vocabulary
from plytally.core.wall import Wall

WORDS = Vocabulary()
MEANT = Entry("bagged", {"part": "rudder post"}, "bagged the rudder post")
LAWS = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


class Desk:
    """The desk as a device in memory: does plans as `BuildLog.perform` does."""

    def __init__(self, state):
        self.state, self.made, self.number = state, [], 0
        self.stamp, self.now = Stamp(0, 0, "shop"), MORNING + 10_000_000

    def perform(self, planned):
        fresh = [act for act in planned if act.id not in self.state]
        for act in fresh:
            self.now += 1000
            self.number += 1
            self.stamp = tick(self.stamp, self.now)
            wall = act.wall or str(Wall(self.now, 60))
            made = Operation(act.id, "shop", self.number, self.stamp, wall, 0, act.act, act.target, act.body)
            self.made.append(made)
            self.state = self.state.with_operations([made], self.now)
        return fresh


def _answer(asker, state, logged, choice):
    doubts = doubts_asked(logged)
    field = doubts[0].doubt.field if doubts else "plies"
    return acts.answer(asker, logged, field, choice, "4", WORDS, None)


def _settle(asker, state, logged, choice):
    heads = logged.standing.get("plies", ())
    return acts.settle(asker, logged, "plies", heads[0].operation if heads else "")


def _join(asker, state, logged, choice):
    return acts.join(asker, [logged, *(each for each in state.order if each is not logged)][:2], MEANT)


PLANS = {
    "accept": lambda asker, state, logged, choice: acts.accept(asker, logged),
    "answer": _answer,
    "correct": lambda asker, state, logged, choice: acts.correct(asker, logged, "plies", "5", WORDS),
    "reword": lambda asker, state, logged, choice: acts.reword(asker, logged, MEANT, "other words"),
    "withdraw": lambda asker, state, logged, choice: acts.withdraw(asker, logged, "twice"),
    "bring_back": lambda asker, state, logged, choice: acts.bring_back(asker, logged, ""),
    "split": lambda asker, state, logged, choice: acts.split(
        asker, logged, [MEANT, replace(MEANT, kind="trimmed")]
    ),
    "join": _join,
    "settle": _settle,
}


def planned(state, deed, key):
    """The plan of one deed on one entry; none where the desk would refuse it."""
    name, which, choice = deed
    logged = state.order[which % len(state.order)]
    asker = Asker("builder", key, {"act": name, "entry": logged.id})
    try:
        return PLANS[name](asker, state, logged, choice)
    except (acts.ActError, AnswerError, TypedValueError):
        return []


deeds = st.tuples(
    st.sampled_from(sorted(PLANS)), st.integers(0, 7), st.sampled_from(["heard", "runner_up", "words"])
)


def phones_day():
    """Three entries of two phones: one in doubt, one that both changed apart, one plain."""
    one, other = Device("one"), Device("two")
    first = one.notes(doubts=[doubt()])
    second = one.notes()
    return [
        first,
        second,
        one.amends(second.id, "plies", 3, [second.id]),
        other.amends(second.id, "plies", 4, [second.id]),
        one.notes(),
        one.attaches(first.id),
    ]


@LAWS
@given(done=st.lists(deeds, max_size=8), seed=st.randoms())
def test_whatever_the_desk_does_arrives_in_any_order_and_says_the_same(done, seed):
    start = phones_day()
    desk = Desk(State().with_operations(start, MORNING))
    for number, deed in enumerate(done):
        key = uuid7(MORNING + number, number)
        plan = planned(desk.state, deed, key)
        desk.perform(plan)
        assert desk.perform(plan) == []
    assert desk.state.put_aside == ()
    everything = [(op, MORNING) for op in start] + [(op, op.stamp.millis) for op in desk.made]
    seed.shuffle(everything)
    again = State()
    for operation, received in everything:
        again = again.with_operations([operation], received)
    assert again.to_bytes() == desk.state.to_bytes()


@LAWS
@given(done=st.lists(deeds, max_size=8))
def test_nothing_that_was_ever_said_is_missing_from_what_the_desk_shows(done):
    start = phones_day()
    desk = Desk(State().with_operations(start, MORNING))
    days = Days()
    for number, deed in enumerate(done):
        desk.perform(planned(desk.state, deed, uuid7(MORNING + number, number)))
        days.catch_up(desk.state)
    days.catch_up(desk.state)
    told = {change["operation"] for e in desk.state.order for change in whole(e, [])["history"]}
    said = {op.id for op in [*start, *desk.made] if op.act != "attach"}
    assert told == said
    counts = days.counts()
    assert sum(sum(count.values()) for count in counts.values()) == len(desk.state.order)
    fresh = Days()
    fresh.catch_up(desk.state)
    assert fresh.counts() == counts


@LAWS
@given(done=st.lists(deeds, max_size=6), which=st.integers(0, 7), late=st.booleans())
def test_an_acceptance_holds_only_for_what_was_seen(done, which, late):
    desk = Desk(State().with_operations(phones_day(), MORNING))
    for number, deed in enumerate([*done, ("accept", which, "")]):
        desk.perform(planned(desk.state, deed, uuid7(MORNING + number, number)))
    for logged in desk.state.order:
        if stands(logged) == "accepted":
            change = Device("three", MORNING if late else 0).amends(logged.id, "plies", 9, [])
            after = desk.state.with_operations([change], MORNING).entries[logged.id]
            assert stands(after) != "accepted"
