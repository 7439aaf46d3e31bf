"""The append-only log in its files."""

import json
from contextlib import closing

import pytest
from support.clocks import SetClock
from support.devices import HEARING, LAID, MORNING, Device, note_body
from support.disks import FullDisk, IllDisk

from plytally.core.operation import GENESIS, Operation
from plytally.store.errors import JournalDamaged, StoreBroken, StoreFull
from plytally.store.journal import OTHER_CONTENT, FileJournal
from plytally.store.making import Maker

MONTH_MS = 31 * 86_400_000
NOVEMBER = "2026-11.jsonl"


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "journal"


def opened(folder, **more):
    return FileJournal(folder, Maker(SetClock()).new_id, **more)


def notes(count, phone=None):
    phone = phone or Device()
    return [phone.notes(hearing=HEARING) for _ in range(count)]


def written(folder, count=3):
    operations = notes(count)
    with closing(opened(folder)) as journal:
        journal.append(operations, MORNING)
    return operations


def kept(folder, **more):
    with closing(opened(folder, **more)) as journal:
        return [record.operation for record in journal.read()]


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


def torn(content, how):
    whole, last = content[: content[:-1].rindex(b"\n") + 1], content[content[:-1].rindex(b"\n") + 1 :]
    return {
        "half a line": whole + last[: len(last) // 2],
        "one byte": whole + last[:1],
        "zeros": whole + b"\0" * len(last),
        "zeros with a line end": whole + b"\0" * len(last) + b"\n",
        "a hole": whole + last[:20] + b"\0" * 40 + last[60:],
        "half a line, then zeros": whole + last[:50] + b"\0" * 4000,
    }[how]


TORN = ["half a line", "one byte", "zeros", "zeros with a line end", "a hole", "half a line, then zeros"]


@pytest.mark.parametrize("how", TORN)
def test_a_torn_last_line_is_cut_back_to_the_last_whole_one_and_its_bytes_are_kept(folder, how):
    operations = written(folder)
    path = folder / NOVEMBER
    content = torn(path.read_bytes(), how)
    path.write_bytes(content)
    with closing(opened(folder)) as journal:
        assert [record.operation for record in journal.read()] == operations[:2]
        assert "never finished" in journal.remarks[0]
    (quarantined,) = (folder / "quarantine").iterdir()
    assert path.read_bytes() + quarantined.read_bytes() == content


@pytest.mark.parametrize("how", TORN)
def test_after_a_torn_line_the_log_goes_on(folder, how):
    operations = written(folder)
    (folder / NOVEMBER).write_bytes(torn((folder / NOVEMBER).read_bytes(), how))
    with closing(opened(folder)) as journal:
        journal.append(operations, MORNING)
    assert kept(folder) == operations


def test_a_last_line_that_lacks_only_its_end_is_kept(folder):
    operations = written(folder)
    (folder / NOVEMBER).write_bytes((folder / NOVEMBER).read_bytes()[:-1])
    with closing(opened(folder)) as journal:
        journal.append(notes(1, Device("tablet")), MORNING)
    assert kept(folder)[:3] == operations
    assert len(kept(folder)) == 4


def test_a_second_tear_at_the_same_place_does_not_overwrite_the_first_in_quarantine(folder):
    written(folder)
    path = folder / NOVEMBER
    content = path.read_bytes()
    for end in (b"first", b"second"):
        path.write_bytes(content + end)
        opened(folder).close()
    assert sorted(file.read_bytes() for file in (folder / "quarantine").iterdir()) == [b"first", b"second"]


def edited(folder, number, change):
    path = folder / NOVEMBER
    lines = path.read_bytes().splitlines(keepends=True)
    lines[number] = change(lines[number])
    path.write_bytes(b"".join(lines))


@pytest.mark.parametrize(
    ("number", "change", "words"),
    [
        pytest.param(
            1, lambda line: line.replace(b'"plies":2', b'"plies":3'), "line 2: its hash", id="edited"
        ),
        pytest.param(
            2, lambda line: line.replace(b'"plies":2', b'"plies":3'), "line 3: its hash", id="last edited"
        ),
        pytest.param(1, lambda line: b"", "line 2: it has number 3 where 2 belongs", id="line taken out"),
        pytest.param(
            1, lambda line: line + line, "line 3: it has number 2 where 3 belongs", id="line doubled"
        ),
        pytest.param(1, lambda line: line[:90] + b"\n", "line 2: it is not a line of the log", id="line cut"),
        pytest.param(
            0, lambda line: line.replace(b"laid", b"\0\0\0\0", 1), "line 1: it holds zero", id="zeros"
        ),
        pytest.param(
            0, lambda line: b"\xef\xbb\xbf" + line, "line 1: it is not a line", id="byte order mark"
        ),
        pytest.param(
            1, lambda line: line.replace(b"\n", b"\r\n"), "line 2: it is not a line", id="DOS line end"
        ),
        pytest.param(2, lambda line: b"{}\n", "line 3: it is not a line of the log", id="last replaced"),
    ],
)
def test_any_other_damage_stops_the_opening_and_says_where_and_what_to_do(folder, number, change, words):
    written(folder)
    edited(folder, number, change)
    before = (folder / NOVEMBER).read_bytes()
    with pytest.raises(JournalDamaged) as told:
        opened(folder)
    assert words in str(told.value)
    assert "plytally verify" in str(told.value)
    assert (folder / NOVEMBER).read_bytes() == before


def test_a_line_from_another_log_in_the_right_place_is_damage(folder, tmp_path):
    written(folder)
    other = tmp_path / "other"
    with closing(opened(other)) as journal:
        journal.append(notes(3, Device("tablet")), MORNING)
    foreign = (other / NOVEMBER).read_bytes().splitlines(keepends=True)[1]
    edited(folder, 1, lambda line: foreign)
    with pytest.raises(JournalDamaged, match="does not name the hash of the line before it"):
        opened(folder)


def test_a_missing_month_is_damage(folder):
    with closing(opened(folder)) as journal:
        for month, operation in enumerate(notes(3)):
            journal.append([operation], MORNING + month * MONTH_MS)
    (folder / "2026-12.jsonl").unlink()
    with pytest.raises(JournalDamaged, match=r"2027-01.jsonl, line 1: it has number 3 where 2 belongs"):
        opened(folder)


def test_a_torn_end_in_an_older_month_is_damage(folder):
    with closing(opened(folder)) as journal:
        for month, operation in enumerate(notes(2)):
            journal.append([operation], MORNING + month * MONTH_MS)
    path = folder / NOVEMBER
    path.write_bytes(path.read_bytes()[:-9])
    with pytest.raises(JournalDamaged, match=r"2026-11.jsonl, line 1: it was not written to its end"):
        opened(folder)


def test_a_line_that_rots_while_the_log_is_open_is_not_handed_out(folder):
    written(folder)
    with closing(opened(folder)) as journal:
        edited(folder, 1, lambda line: line.replace(b'"plies":2', b'"plies":3'))
        with pytest.raises(JournalDamaged, match="line 2"):
            list(journal.read())


@pytest.mark.parametrize("room", [0, 1, 700, 1300])
def test_a_full_disk_keeps_nothing_of_the_batch_and_all_from_before(folder, room):
    operations = written(folder)
    before = (folder / NOVEMBER).read_bytes()
    disk = FullDisk(room=10_000)
    with closing(opened(folder, disk=disk)) as journal:
        disk.room = room
        with pytest.raises(StoreFull, match="make room, then try again"):
            journal.append(notes(3, Device("tablet")), MORNING)
        assert (folder / NOVEMBER).read_bytes() == before
        assert [record.operation for record in journal.read()] == operations


def test_when_there_is_room_again_the_same_batch_is_kept(folder):
    operations = written(folder)
    later = notes(3, Device("tablet"))
    disk = FullDisk(room=100)
    with closing(opened(folder, disk=disk)) as journal:
        with pytest.raises(StoreFull):
            journal.append(later, MORNING)
        disk.room = 100_000
        assert len(journal.append(later, MORNING).records) == 3
    assert kept(folder) == operations + later


def test_after_a_disk_error_nothing_is_taken_until_the_log_is_opened_again(folder):
    operations = written(folder)
    disk = IllDisk("sync")
    with closing(opened(folder, disk=disk)) as journal:
        with pytest.raises(StoreBroken, match="check the disk"):
            journal.append(notes(1, Device("tablet")), MORNING)
        disk.ill.clear()
        with pytest.raises(StoreBroken, match="until the log is opened again"):
            journal.append(notes(1, Device("tablet")), MORNING)
    assert kept(folder) == operations


def test_a_write_that_cannot_be_taken_back_is_cut_when_the_log_is_opened(folder):
    operations = written(folder)
    disk = IllDisk()
    with closing(opened(folder, disk=disk)) as journal:
        disk.ill = {"sync", "truncate"}
        with pytest.raises(StoreBroken):
            journal.append(notes(1, Device("tablet")), MORNING)
    assert kept(folder)[:3] == operations


def test_a_closed_log_takes_nothing(folder):
    journal = opened(folder)
    journal.close()
    with pytest.raises(StoreBroken, match="was closed"):
        journal.append(notes(1), MORNING)
