"""Operations that come early, malformed, twice, from the future or with a gap before them."""

from support.devices import LAID, MORNING, Device, fold, note_body

from plytally.core.clock import MAX_DRIFT_MS
from plytally.core.merge import SAME_ID, State
from plytally.core.operation import Operation

YEARS_MS = 10 * 365 * 86_400_000


def test_what_is_about_an_entry_that_has_not_come_waits_and_then_counts():
    phone = Device()
    note = phone.notes()
    amended = phone.amends(note.id, "plies", 3, over=[note.id])
    early = fold(amended)
    assert [(a.operation.id, a.waiting) for a in early.put_aside] == [(amended.id, True)]
    assert "has not arrived" in early.put_aside[0].why[0]
    late = early.with_operations([note])
    assert (late.put_aside, late.entries[note.id].entry.fields["plies"]) == ((), 3)


def test_a_malformed_note_is_put_aside_with_every_reason_and_so_is_what_is_about_it():
    phone = Device()
    note = phone.does("note", None, note_body() | {"author": 5, "hearing": 5})
    state = fold(note, phone.amends(note.id, "plies", 3))
    malformed, waiting = state.put_aside
    assert (malformed.operation.id, malformed.waiting, len(malformed.why)) == (note.id, False, 2)
    assert waiting.waiting
    assert waiting.why[0].endswith("which is itself put aside")
    assert len(state.entries) == 0


def test_what_is_about_something_that_is_no_entry_says_so():
    phone = Device()
    note = phone.notes()
    amended = phone.amends(note.id, "plies", 3, over=[note.id])
    lost = phone.amends(amended.id, "plies", 4)
    for order in ([note, amended, lost], [lost, amended, note]):
        (aside,) = fold(*order).put_aside
        assert "is no entry but the act 'amend'" in aside.why[0]


def test_the_same_id_with_other_content_is_put_aside_whichever_came_first():
    note = Device().notes()
    raw = note.as_json()
    other = Operation.from_json(raw | {"body": note_body(LAID | {"said": "something else"})})
    state = fold(note, other)
    assert [aside.why for aside in state.put_aside] == [(SAME_ID,)]
    assert state.to_bytes() == fold(other, note).to_bytes()


def test_an_operation_stamped_years_ahead_counts_is_flagged_and_does_not_come_last_for_ever():
    ahead = Device("tablet", now=MORNING + YEARS_MS).notes()
    later = Device("phone", now=MORNING + 2 * MAX_DRIFT_MS).notes()
    state = State().with_operations([ahead], MORNING).with_operations([later], MORNING + 2 * MAX_DRIFT_MS)
    assert [logged.id for logged in state.order] == [ahead.id, later.id]
    assert dict(state.ahead) == {ahead.id: YEARS_MS + 1000}
    assert state.entries[ahead.id].ahead_ms == YEARS_MS + 1000


def test_without_a_time_of_receipt_nothing_is_flagged():
    ahead = Device("tablet", now=MORNING + YEARS_MS).notes()
    assert dict(fold(ahead).ahead) == {}


def test_the_time_of_receipt_may_become_known_later():
    ahead = Device("tablet", now=MORNING + YEARS_MS).notes()
    state = fold(ahead).with_operations([ahead], MORNING)
    assert state.to_bytes() == State().with_operations([ahead], MORNING).to_bytes()


def test_two_devices_under_one_name_and_in_one_moment_still_have_one_order():
    note = Device("phone").notes()
    three = Device("tablet", seed="a").amends(note.id, "plies", 3, over=[note.id])
    four = Device("tablet", seed="b").amends(note.id, "plies", 4, over=[note.id])
    assert three.stamp == four.stamp
    assert fold(note, three, four).to_bytes() == fold(note, four, three).to_bytes()


def test_a_gap_in_a_devices_numbers_shows():
    phone = Device()
    first, _, third = phone.notes(), phone.notes(), phone.notes()
    assert fold(first, third).devices["phone"].gaps == ((2, 2),)


def test_a_number_used_twice_shows():
    assert fold(Device("phone").notes(), Device("phone", now=MORNING + 5).notes()).devices["phone"].twice == (
        1,
    )
