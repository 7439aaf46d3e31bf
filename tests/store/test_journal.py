"""The append-only log in its files."""

import json
from contextlib import closing

import pytest
from support.clocks import SetClock
from support.devices import LAID, MORNING, Device, note_body
from support.journals import MONTH_MS, NOVEMBER, kept, notes, opened, written

from plytally.core.operation import GENESIS, Operation
from plytally.store.errors import StoreBroken
from plytally.store.journal import OTHER_CONTENT, FileJournal
from plytally.store.making import Maker


def test_what_was_appended_is_read_back_in_order_after_opening_again(folder):
    operations = written(folder)
    assert kept(folder) == operations


def test_each_record_has_its_number_time_and_link(folder):
    with closing(opened(folder)) as journal:
        appended = journal.append(notes(2), MORNING)
        first, second = journal.read()
        assert (first, second) == appended.records
        assert (first.seq, first.previous, second.seq, second.previous) == (1, GENESIS, 2, first.hash)
        assert (second.received_millis, journal.head) == (MORNING, second.head)


def test_a_line_is_json_that_anyone_can_read(folder):
    (operation,) = written(folder, 1)
    line = json.loads((folder / NOVEMBER).read_text())
    assert sorted(line) == ["hash", "operation", "previous", "received", "seq"]
    assert Operation.from_json(line["operation"]) == operation
    assert line["received"] == "2026-11-03T07:20:00.000+00:00"


def test_reading_starts_behind_the_cursor_and_stops_at_the_limit(folder):
    written(folder, 10)
    with closing(opened(folder)) as journal:
        assert [record.seq for record in journal.read(after=4, limit=3)] == [5, 6, 7]
        assert [record.seq for record in journal.read(after=8)] == [9, 10]
        assert list(journal.read(after=10)) == []
        assert list(journal.read(after=99)) == []


def test_the_chain_goes_on_over_the_months_one_file_each(folder):
    with closing(opened(folder)) as journal:
        for month, operation in enumerate(notes(3)):
            journal.append([operation], MORNING + month * MONTH_MS)
        assert [path.name for path, _ in journal.extent()] == [NOVEMBER, "2026-12.jsonl", "2027-01.jsonl"]
        assert [record.seq for record in journal.read(after=1)] == [2, 3]
    assert len(kept(folder)) == 3


def test_a_clock_that_runs_back_goes_on_in_the_newest_file_at_the_last_time_written(folder):
    phone = Device()
    with closing(opened(folder)) as journal:
        journal.append(notes(1, phone), MORNING)
        (record,) = journal.append(notes(1, phone), MORNING - 120 * MONTH_MS).records
        assert [path.name for path, _ in journal.extent()] == [NOVEMBER]
        assert record.received_millis == MORNING
    with closing(opened(folder)) as journal:
        journal.append(notes(1, phone), MORNING - 120 * MONTH_MS)
        assert journal.head.seq == 3


def test_a_repeat_of_the_same_batch_changes_nothing(folder):
    operations = notes(3)
    with closing(opened(folder)) as journal:
        journal.append(operations, MORNING)
        before = (folder / NOVEMBER).read_bytes()
        again = journal.append(operations, MORNING + 5000)
        assert (again.records, again.known, again.refused) == ((), tuple(o.id for o in operations), ())
        assert (folder / NOVEMBER).read_bytes() == before


def test_an_operation_twice_in_one_batch_is_kept_once(folder):
    (operation,) = notes(1)
    with closing(opened(folder)) as journal:
        appended = journal.append([operation, operation], MORNING)
        assert (len(appended.records), appended.known) == (1, (operation.id,))


@pytest.mark.parametrize(
    "together", [pytest.param(True, id="one batch"), pytest.param(False, id="two batches")]
)
def test_the_same_id_with_other_content_is_refused_and_the_first_stays(folder, together):
    (operation,) = notes(1)
    other = Operation.from_json(operation.as_json() | {"body": note_body(LAID | {"said": "other words"})})
    with closing(opened(folder)) as journal:
        batches = [[operation, other]] if together else [[operation], [other]]
        refused = [refusal for batch in batches for refusal in journal.append(batch, MORNING).refused]
        assert [(refusal.id, refusal.why) for refusal in refused] == [(operation.id, OTHER_CONTENT)]
        assert [record.operation for record in journal.read()] == [operation]


def test_an_operation_is_found_by_its_id(folder):
    operations = written(folder, 5)
    with closing(opened(folder)) as journal:
        assert journal.find(operations[3].id).seq == 4
        assert journal.find("01a21213-6eb6-700c-b262-baf32fb5fa48") is None


def test_whoever_watches_the_opening_sees_every_record(folder):
    operations = written(folder)
    seen = []
    opened(folder, watch=seen.append).close()
    assert [record.operation for record in seen] == operations


def test_a_log_keeps_its_epoch(folder):
    with closing(opened(folder)) as first, closing(opened(folder)) as second:
        assert first.epoch == second.epoch


@pytest.mark.parametrize(
    "spoil", [pytest.param(b"", id="empty"), pytest.param(b"nonsense\xff", id="nonsense")]
)
def test_a_log_whose_epoch_is_lost_gets_another_and_says_so(folder, spoil):
    operations = written(folder)
    (folder / "epoch").write_bytes(spoil)
    with closing(FileJournal(folder, Maker(SetClock(seed=1)).new_id)) as journal:
        assert "the log has a new id" in journal.remarks[0]
        assert [record.operation for record in journal.read()] == operations


def test_a_closed_log_takes_nothing(folder):
    journal = opened(folder)
    journal.close()
    with pytest.raises(StoreBroken, match="was closed"):
        journal.append(notes(1), MORNING)
