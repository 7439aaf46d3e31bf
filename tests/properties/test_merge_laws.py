"""Merging is commutative, associative and idempotent, whatever the devices did."""

from hypothesis import given, settings
from hypothesis import strategies as st
from support.devices import LAID, MORNING, Device, doubt, note_body

from plytally.core.merge import Fold, State
from plytally.core.operation import Operation

FIELDS = ["plies", "side", "kind", "withdrawn", "station"]
VALUES = {"plies": [2, 3, None, "two"], "side": ["left", "right"], "kind": ["laid", "bagged", "sung"]}
HONEST = ("note", "amend", "resolve", "withdraw", "attach", "spoil", "see", "jump")
ACTS = (*HONEST, "retell")
DAY_MS = 86_400_000
RECEIVED = st.sampled_from([None, MORNING, MORNING + DAY_MS])


def an_amendment(device, act, known, choice, other):
    target = known[choice % len(known)].id
    field = FIELDS[other % len(FIELDS)]
    over = [known[(choice + n) % len(known)].id for n in range(other % 3)]
    value = VALUES.get(field, ["2", None])[choice % len(VALUES.get(field, ["2", None]))]
    return device.amends(target, field, value, over, act=act)


def retold(operation, choice):
    """Another operation that claims the same id."""
    raw = operation.as_json()
    changes = [{"number": choice + 1}, {"wall": "2026-11-03T08:20:01.000+01:00"}, {"skew_ms": choice}]
    if operation.act != "note":
        changes.append({"target": operation.id})
    return Operation.from_json(raw | changes[choice % len(changes)])


def does(devices, known, step):
    """What one step adds, None where the device only looks or its clock jumps."""
    which, act, choice, other = step
    device, some = devices[which], known[choice % len(known)]
    if act == "see":
        return device.sees(some)
    if act == "jump":
        device.now += (choice - 500) * 10 * DAY_MS
        return None
    made = {
        "note": lambda: device.notes(LAID, [doubt(FIELDS[other % 2])] * (choice % 2)),
        "withdraw": lambda: device.withdraws(some.id, over=[known[other % len(known)].id]),
        "attach": lambda: device.attaches(some.id),
        "spoil": lambda: device.does("note", None, note_body() | {"author": choice}),
        "retell": lambda: retold(some, other),
    }
    return made[act]() if act in made else an_amendment(device, act, known, choice, other)


@st.composite
def logs(draw, acts=ACTS):
    """What four devices did, one ten years ahead, two under one name; with times of receipt or none."""
    devices = [
        Device("phone", MORNING, "a"),
        Device("tablet", MORNING + 3650 * DAY_MS),
        Device("shop", MORNING),
        Device("phone", MORNING, "b"),
    ]
    known = [devices[0].notes(LAID, [doubt()])]
    choice = st.integers(0, 1000)
    step = st.tuples(st.integers(0, 3), st.sampled_from(acts), choice, choice)
    for taken in draw(st.lists(step, max_size=30)):
        made = does(devices, known, taken)
        if made is not None:
            known.append(made)
    return [(operation, draw(RECEIVED)) for operation in known]


def fold(deliveries):
    merged = Fold()
    for operation, received in deliveries:
        merged.apply(operation, received)
    return merged.state()


@given(logs(), st.randoms(use_true_random=False))
def test_any_order_gives_the_same_bytes(log, chance):
    shuffled = log.copy()
    chance.shuffle(shuffled)
    assert fold(shuffled).to_bytes() == fold(log).to_bytes()


@given(logs(), st.randoms(use_true_random=False))
def test_any_repetition_gives_the_same_bytes(log, chance):
    again = log + [chance.choice(log) for _ in range(len(log))]
    chance.shuffle(again)
    assert fold(again).to_bytes() == fold(log).to_bytes()


@given(logs(), st.lists(RECEIVED, min_size=5), st.randoms(use_true_random=False))
def test_any_order_of_several_times_of_receipt_gives_the_same_bytes(log, times, chance):
    several = log + [(chance.choice(log)[0], received) for received in times]
    shuffled = several.copy()
    chance.shuffle(shuffled)
    assert fold(shuffled).to_bytes() == fold(several).to_bytes()


@given(logs(), st.integers(1, 5), st.randoms(use_true_random=False))
def test_any_split_into_deliveries_gives_the_same_bytes(log, size, chance):
    shuffled = log.copy()
    chance.shuffle(shuffled)
    state = State()
    for start in range(0, len(shuffled), size):
        merged = Fold(state)
        for operation, received in shuffled[start : start + size]:
            merged.apply(operation, received)
        state = merged.state()
    assert state.to_bytes() == fold(log).to_bytes()


@given(logs(), st.integers(0, 40))
def test_the_earlier_state_is_what_it_was_after_more_is_merged(log, place):
    before = fold(log[: place % len(log)])
    spelt = before.to_bytes()
    goes_on = Fold(before)
    states = []
    for operation, received in log:
        goes_on.apply(operation, received)
        states.append((goes_on.state(), goes_on.state().to_bytes()))
    assert all(state.to_bytes() == bytes_then for state, bytes_then in [(before, spelt), *states])


@given(logs(), st.randoms(use_true_random=False))
def test_two_devices_that_exchange_all_they_have_agree(log, chance):
    mine = [delivery for delivery in log if chance.random() < 0.7]
    theirs = [delivery for delivery in log if chance.random() < 0.7]
    assert fold(mine + theirs).to_bytes() == fold(theirs + mine).to_bytes()


@given(logs())
def test_nothing_is_lost_each_operation_is_in_an_entry_or_put_aside(log):
    state = fold(log)
    found = {aside.operation.to_bytes() for aside in state.put_aside}
    told = {aside.operation.id for aside in state.put_aside}
    for logged in state.entries.values():
        told |= {
            logged.id,
            *(c.operation for c in logged.changes),
            *(a.operation for a in logged.attachments),
        }
    assert told == {operation.id for operation, _ in log}
    variants = {operation.to_bytes() for operation, _ in log}
    assert len(found) == len(state.put_aside)
    assert len(variants) == len(found) + _used(state)


def _used(state):
    return sum(1 + len(logged.changes) + len(logged.attachments) for logged in state.entries.values())


@settings(max_examples=40)
@given(logs(HONEST))
def test_a_state_says_the_same_of_each_entry_as_the_operations_about_it_alone(log):
    whole = fold(log)
    for entry_id, logged in whole.entries.items():
        about = [delivery for delivery in log if delivery[0].entry_id == entry_id]
        assert fold(about).entries.get(entry_id) == logged
