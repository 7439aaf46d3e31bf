"""From operations to what the log says: noted, amended, doubted, settled, withdrawn."""

import pytest
from support.devices import HEARING, LAID, MORNING, Device, doubt, fold

from plytally.core.body import KIND, WITHDRAWN
from plytally.core.operation import Operation


def test_a_note_becomes_an_entry():
    note = Device().notes()
    logged = fold(note).entries[note.id]
    assert (logged.entry.kind, dict(logged.entry.fields)) == ("laid", LAID["fields"])
    assert (logged.author, logged.device, logged.wall) == ("builder", "phone", note.wall)


def test_an_amendment_changes_the_entry_and_keeps_the_old_value_with_who_and_when():
    phone, tablet = Device("phone"), Device("tablet")
    note = phone.notes()
    amended = tablet.amends(note.id, "plies", 3, over=[note.id], author="inspector", why="counted")
    logged = fold(note, amended).entries[note.id]
    assert logged.entry.fields["plies"] == 3
    assert [(c.value, c.author, c.device, c.wall, c.why) for c in logged.history("plies")] == [
        (2, "builder", "phone", note.wall, ""),
        (3, "inspector", "tablet", amended.wall, "counted"),
    ]


def test_an_amendment_to_nothing_takes_the_field_out():
    phone = Device()
    note = phone.notes()
    state = fold(note, phone.amends(note.id, "face", None, over=[note.id]))
    assert "face" not in state.entries[note.id].entry.fields
    assert state.entries[note.id].noted.fields["face"] == "aft face"


def concurrent():
    phone, tablet = Device("phone"), Device("tablet", now=MORNING + 60_000)
    note = phone.notes()
    three = phone.amends(note.id, "plies", 3, over=[note.id])
    four = tablet.amends(note.id, "plies", 4, over=[note.id])
    return note, three, four


def test_two_amendments_that_did_not_see_each_other_both_stand_and_the_field_is_in_doubt():
    note, three, four = concurrent()
    logged = fold(note, three, four).entries[note.id]
    assert logged.conflicts == ("plies",)
    assert [change.value for change in logged.standing["plies"]] == [3, 4]
    assert [(d.field, d.heard, d.runner_up) for d in logged.entry.doubts] == [("plies", "4", "3")]


def test_choosing_between_them_settles_it():
    note, three, four = concurrent()
    chosen = Device("desk").resolves(note.id, "plies", 3, over=[three.id, four.id])
    logged = fold(note, three, four, chosen).entries[note.id]
    assert (logged.entry.fields["plies"], logged.conflicts, logged.entry.doubts) == (3, (), ())


def test_a_third_value_that_saw_only_one_of_two_leaves_the_other_standing():
    note, three, four = concurrent()
    five = Device("desk").resolves(note.id, "plies", 5, over=[three.id])
    logged = fold(note, three, four, five).entries[note.id]
    assert {change.value for change in logged.standing["plies"]} == {4, 5}


def test_the_same_amendment_made_twice_is_no_conflict():
    note, three, _ = concurrent()
    again = Device("tablet").amends(note.id, "plies", 3, over=[note.id])
    assert fold(note, three, again).entries[note.id].conflicts == ()


def test_amendments_of_different_fields_do_not_disturb_each_other():
    phone, tablet = Device("phone"), Device("tablet")
    note = phone.notes()
    side = tablet.amends(note.id, "side", "left", over=[note.id])
    logged = fold(note, phone.amends(note.id, "plies", 3, over=[note.id]), side).entries[note.id]
    assert (logged.entry.fields["side"], logged.entry.fields["plies"], logged.conflicts) == ("left", 3, ())


def test_values_that_replace_one_another_in_a_ring_all_stand():
    phone = Device()
    note = phone.notes()
    one = phone.amends(note.id, "plies", 3, over=[note.id])
    other = phone.amends(note.id, "plies", 4, over=[one.id])
    raw = one.as_json()
    ring = Operation.from_json(raw | {"body": raw["body"] | {"over": [note.id, other.id]}})
    back = phone.amends(note.id, "plies", 2, over=[])
    state = fold(note, ring, other)
    assert {change.value for change in state.entries[note.id].standing["plies"]} == {2, 3, 4}
    assert len(fold(note, ring, other, back).entries[note.id].history("plies")) == 4


def test_a_value_that_claims_to_replace_itself_stands():
    phone = Device()
    note = phone.notes()
    raw = phone.amends(note.id, "plies", 3).as_json()
    itself = Operation.from_json(raw | {"body": raw["body"] | {"over": [note.id, raw["id"]]}})
    assert fold(note, itself).entries[note.id].heads("plies") == (itself.id,)


def test_the_doubts_of_a_note_are_open_until_the_field_is_confirmed():
    phone = Device()
    note = phone.notes(doubts=[doubt("plies"), doubt("side", "right", "left")])
    assert [d.field for d in fold(note).entries[note.id].entry.doubts] == ["plies", "side"]
    confirmed = phone.resolves(note.id, "plies", 2, over=[note.id])
    assert [d.field for d in fold(note, confirmed).entries[note.id].entry.doubts] == ["side"]


def test_an_amendment_heard_with_a_doubt_is_itself_in_doubt():
    phone = Device()
    note = phone.notes(doubts=[doubt()])
    heard = phone.amends(note.id, "plies", 9, over=[note.id], doubts=[doubt("plies", "9", "5")])
    assert [d.heard for d in fold(note, heard).entries[note.id].entry.doubts] == ["9"]
    sure = phone.resolves(note.id, "plies", 5, over=[heard.id])
    assert fold(note, heard, sure).entries[note.id].entry.doubts == ()


def test_a_doubt_about_a_field_that_was_not_filled_is_settled_by_filling_it():
    phone = Device()
    note = phone.notes(doubts=[doubt("station", "", "")])
    filled = phone.amends(note.id, "station", "2", over=[note.id])
    logged = fold(note, filled).entries[note.id]
    assert (logged.entry.fields["station"], logged.entry.doubts, logged.conflicts) == ("2", (), ())


def test_a_doubt_about_no_field_is_settled_by_an_answer():
    phone = Device()
    note = phone.notes(doubts=[doubt("repeat", "laid again", "")])
    assert [d.field for d in fold(note).to_settle[0].entry.doubts] == ["repeat"]
    state = fold(note, phone.resolves(note.id, "repeat", "yes, laid again", over=[note.id]))
    assert state.to_settle == ()
    assert "repeat" not in state.entries[note.id].entry.fields


def test_entries_with_something_to_settle_are_listed_until_it_is():
    note, three, four = concurrent()
    desk = Device("desk", now=MORNING + 120_000)
    other = desk.notes()
    state = fold(note, three, four, other)
    assert [logged.id for logged in state.to_settle] == [note.id]
    chosen = desk.resolves(note.id, "plies", 4, over=[three.id, four.id])
    assert state.with_operations([chosen]).to_settle == ()


def test_a_plain_note_can_become_another_kind_and_keeps_what_was_said():
    phone = Device()
    note = phone.notes({"kind": "note", "fields": {"text": "gauge says twenty two"}, "said": "gauge says"})
    steps = [
        phone.amends(note.id, KIND, "vacuum", over=[note.id]),
        phone.amends(note.id, "gauge", {"amount": "22", "unit": "inHg"}),
    ]
    logged = fold(note, *steps).entries[note.id]
    assert (logged.entry.kind, list(logged.entry.fields), logged.entry.said) == (
        "vacuum",
        ["gauge"],
        "gauge says",
    )
    assert logged.history("text")[0].value == "gauge says twenty two"
    assert [change.value for change in logged.history(KIND)] == ["note", "vacuum"]


def test_a_doubt_about_a_field_that_the_new_kind_has_not_goes_with_it():
    phone = Device()
    note = phone.notes(doubts=[doubt("plies")])
    changed = phone.amends(note.id, KIND, "bagged", over=[note.id])
    assert fold(note, changed).entries[note.id].entry.doubts == ()


def test_a_withdrawn_entry_stays_readable_and_can_be_brought_back():
    phone = Device()
    note = phone.notes()
    withdrawn = phone.withdraws(note.id, "wrong part")
    state = fold(note, withdrawn)
    assert state.entries[note.id].withdrawn == "wrong part"
    assert state.entries[note.id].entry.fields["plies"] == 2
    back = phone.amends(note.id, WITHDRAWN, None, over=[withdrawn.id])
    assert state.with_operations([back]).entries[note.id].withdrawn is None


def test_a_withdrawal_without_a_reason_still_withdraws():
    phone = Device()
    note = phone.notes()
    assert fold(note, phone.withdraws(note.id, "")).entries[note.id].withdrawn == ""


def test_a_recording_belongs_to_the_entry_it_was_attached_to():
    phone = Device()
    note = phone.notes()
    attached = phone.attaches(note.id)
    (sound,) = fold(note, attached).entries[note.id].attachments
    assert (sound.operation, sound.media, sound.role, sound.size) == (attached.id, "ab" * 32, "sound", 4000)


def test_what_was_heard_is_not_carried_in_the_state_but_told_by_the_log():
    note = Device().notes(hearing=HEARING)
    assert b"sphinx" not in fold(note).to_bytes()


def test_a_state_never_changes():
    note, three, four = concurrent()
    before = fold(note)
    spelt = before.to_bytes()
    after = before.with_operations([three, four])
    assert before.to_bytes() == spelt != after.to_bytes()
    assert (len(before), len(after), three.id in before, three.id in after) == (1, 3, False, True)


@pytest.mark.parametrize("act", ["amend", "resolve"])
def test_an_amendment_and_a_resolution_weigh_the_same(act):
    phone = Device()
    note = phone.notes()
    amended = phone.amends(note.id, "plies", 3, over=[note.id], act=act)
    assert fold(note, amended).entries[note.id].heads("plies") == (amended.id,)


def test_the_operations_to_name_in_over_are_those_that_stand():
    note, three, four = concurrent()
    logged = fold(note, three, four).entries[note.id]
    assert logged.heads("plies") == (three.id, four.id)
    assert logged.heads("side") == (note.id,)
    assert logged.heads("station") == ()
    assert (logged.shown("plies"), logged.shown("side"), logged.shown("station")) == (4, "right", None)
