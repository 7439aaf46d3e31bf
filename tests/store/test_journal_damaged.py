"""The log when its lines are torn, changed or lost, and when the disk is full or ill."""

from contextlib import closing

import pytest
from support.devices import MORNING, Device
from support.disks import FullDisk, IllDisk
from support.journals import MONTH_MS, NOVEMBER, kept, notes, opened, written

from plytally.store.errors import JournalDamaged, StoreBroken, StoreFull


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
