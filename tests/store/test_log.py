"""One builder's log, as the command line and the web use it."""

import re

import pytest
from support.clocks import SetClock
from support.devices import HEARING, LAID, MORNING, Device, note_body
from support.disks import FullDisk

from plytally.core.clock import MAX_DRIFT_MS
from plytally.core.entry import Doubt, Entry
from plytally.core.hearing import typed
from plytally.core.merge import State
from plytally.core.operation import Operation, OperationError
from plytally.core.quantities import parse_quantity
from plytally.store.errors import StoreFull, StoreLocked, UnknownEntry
from plytally.store.log import MOST_UNFOLDED, BuildLog, Recording

DOUBT = Doubt("plies", "2", "3", "two and three sound alike here")
TWO_PLIES = Entry("laid", LAID["fields"], LAID["said"])
NOBODY = "01a21213-6eb6-700c-b262-baf32fb5fa48"


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "deep" / "data"


@pytest.fixture
def log(folder):
    with BuildLog(folder, SetClock()) as opened:
        yield opened


def test_a_recorded_entry_is_in_the_state_with_its_doubts_and_sound(log):
    note = log.record(Entry("laid", LAID["fields"], doubts=(DOUBT,)), recording=Recording(b"RIFF"))
    logged = log.entry(note.id)
    assert logged.entry.doubts == (DOUBT,)
    assert log.media.read(logged.attachments[0].media) == b"RIFF"
    assert logged.author == "builder"


def test_everything_is_as_it_was_after_opening_again(folder):
    with BuildLog(folder, SetClock()) as log:
        note = log.record(TWO_PLIES, recording=Recording(b"RIFF"))
        log.amend(note.id, "plies", 3)
        log.withdraw(note.id, "said by mistake")
        before = log.state.to_bytes()
    with BuildLog(folder, SetClock()) as log:
        assert log.state.to_bytes() == before


def test_what_was_heard_can_be_read_back(log):
    note = log.record(TWO_PLIES, hearing=typed("laid two plies"))
    assert log.hearing(note.id).text == "laid two plies"
    assert log.hearing(log.record(TWO_PLIES).id) is None


def test_operations_are_numbered_from_one_without_a_gap_also_after_opening_again(folder):
    for _ in range(2):
        with BuildLog(folder, SetClock()) as log:
            log.record(TWO_PLIES, recording=Recording(b"RIFF"))
            log.record(TWO_PLIES)
    with BuildLog(folder, SetClock()) as log:
        assert log.state.devices[log.device].as_json() == {"runs": [[1, 6]], "twice": []}


def test_stamps_go_on_growing_when_the_clock_was_set_back_while_closed(folder):
    with BuildLog(folder, SetClock(MORNING)) as log:
        early = log.record(TWO_PLIES)
    with BuildLog(folder, SetClock(MORNING - 10**11)) as log:
        assert log.record(TWO_PLIES).stamp > early.stamp


def test_a_shop_computer_that_starts_in_1970_still_puts_things_in_order(folder):
    with BuildLog(folder, SetClock(MORNING)) as log:
        early = Device("phone").notes()
        log.receive([early.as_json()], "phone")
    with BuildLog(folder, SetClock(0)) as log:
        later = Device("tablet", now=MORNING + 86_400_000).notes()
        log.receive([later.as_json()], "tablet")
        own = log.record(TWO_PLIES)
        assert log.state.order[0].id == early.id
        assert {logged.id for logged in log.state.order} == {early.id, later.id, own.id}
        assert own.stamp.millis >= MORNING


def test_what_is_done_here_comes_after_what_a_phone_sent(log):
    phone = Device("phone", now=MORNING + 5000)
    sent = phone.notes()
    log.receive([sent.as_json()], "phone")
    assert log.record(TWO_PLIES).stamp > sent.stamp


def test_a_phone_years_ahead_does_not_take_this_clock_with_it(log):
    log.receive([Device("phone", now=MORNING + 10**11).notes().as_json()], "phone")
    assert log.record(TWO_PLIES).stamp.millis < MORNING + MAX_DRIFT_MS
    assert len(log.state.ahead) == 1


def test_the_time_on_the_wall_is_written_with_the_local_offset(log):
    assert re.fullmatch(r"2026-11-03T08:20:00\.\d{3}\+01:00", log.record(TWO_PLIES).wall)


def test_an_amendment_names_what_it_replaces(log):
    note = log.record(TWO_PLIES)
    three = log.amend(note.id, "plies", 3, author="inspector", why="counted")
    four = log.amend(note.id, "plies", 4)
    assert (three.body["over"], four.body["over"]) == ([note.id], [three.id])
    assert (log.entry(note.id).entry.fields["plies"], log.entry(note.id).conflicts) == (4, ())


def test_a_doubt_is_settled_by_confirming_the_field(log):
    note = log.record(Entry("laid", LAID["fields"], doubts=(DOUBT,)))
    log.confirm(note.id, "plies", author="builder")
    assert log.entry(note.id).entry == Entry("laid", LAID["fields"])
    assert log.state.to_settle == ()


def test_two_values_are_settled_by_choosing(log):
    note = log.record(TWO_PLIES)
    for name, plies in (("phone", 3), ("tablet", 4)):
        log.receive([Device(name).amends(note.id, "plies", plies, over=[note.id]).as_json()], name)
    assert log.entry(note.id).conflicts == ("plies",)
    log.resolve(note.id, "plies", 3)
    assert (log.entry(note.id).conflicts, log.entry(note.id).entry.fields["plies"]) == ((), 3)


def test_an_amendment_heard_with_a_doubt_waits_for_confirmation(log):
    note = log.record(TWO_PLIES)
    log.amend(note.id, "plies", 9, doubts=[Doubt("plies", "9", "5", "nine and five sound alike")])
    assert [doubt.heard for doubt in log.entry(note.id).entry.doubts] == ["9"]
    log.confirm(note.id, "plies")
    assert log.entry(note.id).entry.doubts == ()


def test_an_amount_keeps_its_unit(log):
    note = log.record(Entry("vacuum", {"gauge": parse_quantity("22 inHg")}))
    log.amend(note.id, "gauge", parse_quantity("22.5 inHg"))
    assert str(log.entry(note.id).entry.fields["gauge"]) == "22.5 inHg"


def test_withdrawing_and_bringing_back(log):
    note = log.record(TWO_PLIES)
    log.withdraw(note.id, "wrong part")
    assert log.entry(note.id).withdrawn == "wrong part"
    log.bring_back(note.id)
    assert log.entry(note.id).withdrawn is None
    log.withdraw(note.id, "wrong part after all")
    assert (log.entry(note.id).withdrawn, log.entry(note.id).conflicts) == ("wrong part after all", ())


def test_a_photo_can_be_attached_later(log):
    note = log.record(TWO_PLIES)
    log.attach(note.id, Recording(b"\xff\xd8", "image/jpeg", "photo", "aft face"))
    (photo,) = log.entry(note.id).attachments
    assert (photo.mime, photo.role, photo.name, photo.size) == ("image/jpeg", "photo", "aft face", 2)


@pytest.mark.parametrize(
    "act",
    [
        pytest.param(lambda log: log.amend(NOBODY, "plies", 3), id="amend"),
        pytest.param(lambda log: log.confirm(NOBODY, "plies"), id="confirm"),
        pytest.param(lambda log: log.withdraw(NOBODY, ""), id="withdraw"),
        pytest.param(lambda log: log.attach(NOBODY, Recording(b"")), id="attach"),
        pytest.param(lambda log: log.entry("nonsense"), id="entry"),
    ],
)
def test_an_entry_that_is_not_there_is_told(log, act):
    with pytest.raises(UnknownEntry, match="the log has no entry"):
        act(log)
    assert log.journal.head.seq == 0


def test_a_value_that_does_not_fit_is_refused_before_it_is_kept(log):
    note = log.record(TWO_PLIES)
    with pytest.raises(OperationError, match="field 'plies' holds a whole number"):
        log.amend(note.id, "plies", "three")
    assert log.journal.head.seq == 1


def test_the_state_is_the_latest_however_many_operations_came_in_one_batch(log):
    phone = Device()
    for count in (1, MOST_UNFOLDED, MOST_UNFOLDED + 1, 3):
        before = len(log.state)
        log.receive([phone.notes().as_json() for _ in range(count)], "phone")
        assert len(log.state) == before + count


def test_what_a_phone_sends_is_kept_known_or_refused_each_with_its_reason(log):
    phone = Device()
    note, other = phone.notes(hearing=HEARING), phone.notes()
    log.receive([note.as_json()], "phone")
    clash = other.as_json() | {"id": note.id}
    told = log.receive([note.as_json(), other.as_json(), clash, {"id": "7"}, "nonsense"], "phone")
    assert [record.operation for record in told.records] == [other]
    assert told.known == (note.id,)
    assert [refusal.id for refusal in told.refused] == ["7", "", note.id]


def test_what_was_refused_is_kept_aside_as_it_came(log):
    note = Device().notes()
    log.receive([note.as_json()], "phone")
    clash = note.as_json() | {"number": 9}
    log.receive([{"mass": 1.5}, clash], "phone")
    assert [one.raw for one in log.aside] == [{"mass": 1.5}, clash]


def test_a_note_that_is_no_entry_is_in_the_log_and_put_aside_in_the_state(log):
    strange = Device().does("note", None, note_body(LAID | {"kind": "sung"}))
    assert len(log.receive([strange.as_json()], "phone").records) == 1
    assert [aside.operation.id for aside in log.state.put_aside] == [strange.id]


def test_the_same_request_a_hundred_times_changes_nothing(log):
    request = [operation.as_json() for operation in (Device().notes(), Device("tablet").notes())]
    log.receive(request, "phone")
    before = log.journal.head, log.state.to_bytes()
    for _ in range(100):
        log.receive(request, "phone")
    assert (log.journal.head, log.state.to_bytes()) == before


def test_the_state_of_the_log_is_that_of_its_operations(log):
    note = log.record(TWO_PLIES)
    log.amend(note.id, "plies", 3)
    state = State()
    for record in log.journal.read():
        state = state.with_operations([record.operation], record.received_millis)
    assert log.state.to_bytes() == state.to_bytes()


def test_a_state_taken_earlier_stays_as_it_was(log):
    note = log.record(TWO_PLIES)
    before = log.state
    log.amend(note.id, "plies", 3)
    assert (before.entries[note.id].shown("plies"), log.state.entries[note.id].shown("plies")) == (2, 3)


def test_a_full_disk_refuses_the_new_keeps_the_old_and_leaves_no_gap(folder):
    disk = FullDisk(10**6)
    with BuildLog(folder, SetClock(), disk=disk) as log:
        log.record(TWO_PLIES)
        disk.room = 40
        with pytest.raises(StoreFull):
            log.record(TWO_PLIES)
        disk.room = 10**6
        log.record(TWO_PLIES)
        assert len(log.state.entries) == 2
        assert log.state.devices[log.device].as_json() == {"runs": [[1, 2]], "twice": []}


def test_a_second_opening_is_refused(log, folder):
    with pytest.raises(StoreLocked):
        BuildLog(folder)


def test_a_log_that_could_not_be_opened_lets_the_folder_go(folder):
    with BuildLog(folder, SetClock()) as log:
        log.record(TWO_PLIES)
    path = next((folder / "journal").glob("*.jsonl"))
    content = path.read_bytes()
    path.write_bytes(b"{}\n" + content)
    with pytest.raises(Exception, match="line 1"):
        BuildLog(folder)
    path.write_bytes(content)
    BuildLog(folder).close()


def test_what_was_mended_on_opening_is_told(folder):
    with BuildLog(folder, SetClock()) as log:
        log.record(TWO_PLIES)
    path = next((folder / "journal").glob("*.jsonl"))
    path.write_bytes(path.read_bytes() + b'{"hash":')
    with BuildLog(folder, SetClock()) as log:
        assert "never finished" in log.remarks[0]


def test_the_machines_own_clock_makes_sound_operations(tmp_path):
    with BuildLog(tmp_path) as log:
        note = log.record(TWO_PLIES)
        assert Operation.from_json(note.as_json()) == note
        assert dict(log.state.ahead) == {}
