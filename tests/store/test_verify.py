"""Looking at a data folder without touching it."""

import pytest
from support.clocks import SetClock
from support.devices import LAID

from plytally.core.entry import Entry
from plytally.core.operation import link
from plytally.store.errors import JournalDamaged, StoreLocked
from plytally.store.log import BuildLog, Recording
from plytally.store.making import Maker
from plytally.store.repair import repair
from plytally.store.verify import verify

ENTRY = Entry("laid", LAID["fields"], LAID["said"])


@pytest.fixture
def folder(tmp_path):
    folder = tmp_path / "data"
    with BuildLog(folder, SetClock()) as log:
        for n in range(5):
            log.record(ENTRY, recording=Recording(b"RIFF" + bytes([n])))
        with log.documents.table("phones") as phones:
            phones.insert({"name": "blue phone"})
    return folder


def journal_file(folder):
    return folder / "journal" / "2026-11.jsonl"


def change_line(folder, number, change):
    lines = journal_file(folder).read_bytes().splitlines(keepends=True)
    lines[number - 1] = change(lines[number - 1])
    journal_file(folder).write_bytes(b"".join(lines))


def everything(folder):
    return {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def mended(folder):
    return repair(folder, Maker(SetClock(seed=1)).new_id)


def test_a_sound_folder_is_sound_and_counted(folder):
    report = verify(folder)
    assert (report.sound, report.files, report.records, report.media) == (True, 1, 10, 5)
    assert (report.head.seq, report.unfinished, report.lacking) == (10, "", set())


def test_looking_changes_nothing(folder):
    journal_file(folder).write_bytes(journal_file(folder).read_bytes() + b"{")
    before = everything(folder)
    verify(folder)
    assert everything(folder) == before


def test_a_folder_without_a_log_is_sound_and_stays_empty(tmp_path):
    assert verify(tmp_path).sound
    assert list(tmp_path.iterdir()) == []


def test_it_may_run_while_the_log_is_in_use(folder):
    with BuildLog(folder, SetClock()):
        assert verify(folder).sound


def test_an_unfinished_end_is_told_and_is_no_damage(folder):
    journal_file(folder).write_bytes(journal_file(folder).read_bytes() + b'{"hash":"00')
    report = verify(folder)
    assert (report.sound, report.records) == (True, 10)
    assert "its last 11 bytes are not a finished line" in report.unfinished


def test_progress_goes_from_the_first_byte_to_the_last(folder):
    told = []
    verify(folder, lambda done, total: told.append((done, total)))
    assert told == sorted(told)
    assert told[-1][0] == told[-1][1] > 0


def rechained(line, change):
    """A line whose own hash is right although its content was changed: what a forger would write."""
    head, rest = line[: len('{"hash":"')], change(line[len('{"hash":"') + 64 :])
    operation, _, tail = rest[len('",') :].rpartition(b',"previous":"')
    previous, received = tail[:64].decode(), tail[64 + len('",') : -1]
    return head + link(previous, b"{" + operation + b"," + received).encode() + rest


@pytest.mark.parametrize(
    ("number", "change", "words"),
    [
        pytest.param(
            3, lambda line: line.replace(b'"plies":2', b'"plies":3'), ["line 3: its hash"], id="edited"
        ),
        pytest.param(4, lambda line: b"", ["line 4: it has number 5 where 4 belongs"], id="taken out"),
        pytest.param(4, lambda line: b"\n", ["line 4: it is not a line"], id="emptied"),
        pytest.param(
            5,
            lambda line: rechained(line, lambda rest: rest.replace(b'"plies":2', b'"plies":3')),
            ["line 6: it does not name the hash"],
            id="edited and its hash made right",
        ),
        pytest.param(
            10,
            lambda line: rechained(line, lambda rest: rest.replace(b'"number":10', b'"number":0')),
            ["line 10: its operation is not sound: 'number'"],
            id="made unsound and its hash made right",
        ),
        pytest.param(
            10,
            lambda line: rechained(line, lambda rest: rest.replace(b'"act":', b'"act": ')),
            ["line 10: its operation is not in canonical form"],
            id="respelt and its hash made right",
        ),
    ],
)
def test_each_damaged_line_is_told(folder, number, change, words):
    change_line(folder, number, change)
    report = verify(folder)
    assert len(report.damage) == len(words)
    assert all(word in str(damage) for word, damage in zip(words, report.damage, strict=True))


def test_every_damage_is_told_not_the_first_only(folder):
    for number in (2, 6, 8):
        change_line(folder, number, lambda line: line.replace(b'"size":5', b'"size":6'))
    assert [damage.line for damage in verify(folder).damage] == [2, 6, 8]


def test_damaged_sounds_and_documents_are_told(folder):
    sound = next(path for path in (folder / "media").rglob("*") if path.is_file())
    sound.write_bytes(b"other")
    (folder / "documents.json").write_bytes(b"other")
    assert {damage.file.name for damage in verify(folder).damage} == {sound.name, "documents.json"}


def test_a_sound_that_has_not_arrived_is_lacking_and_no_damage(folder):
    sound = next(path for path in (folder / "media").rglob("*") if path.is_file())
    sound.unlink()
    report = verify(folder)
    assert (report.sound, report.lacking) == (True, {sound.name})


def test_mending_a_sound_folder_changes_nothing(folder):
    before = everything(folder)
    assert mended(folder).sound
    after = everything(folder)
    assert {name: content for name, content in after.items() if name.name != "lock"} == {
        name: content for name, content in before.items() if name.name != "lock"
    }


def damaged_log(folder):
    change_line(folder, 3, lambda line: line.replace(b'"plies":2', b'"plies":3'))
    change_line(folder, 6, lambda line: b"")
    with pytest.raises(JournalDamaged):
        BuildLog(folder)


def test_a_mended_log_opens_with_all_that_was_sound_under_a_new_epoch(folder):
    with BuildLog(folder, SetClock()) as log:
        epoch, ids = log.journal.epoch, [record.operation.id for record in log.journal.read()]
    damaged_log(folder)
    assert len(mended(folder).damage) == 2
    assert verify(folder).sound
    with BuildLog(folder, SetClock()) as log:
        assert [record.operation.id for record in log.journal.read()] == ids[:2] + ids[3:5] + ids[6:]
        assert log.journal.epoch != epoch
        assert log.device != f"shop-{epoch[-12:]}"


def test_mending_deletes_nothing(folder):
    damaged_log(folder)
    before = set(everything(folder).values())
    mended(folder)
    assert before - set(everything(folder).values()) <= {(folder / "lock").read_bytes()}


def test_a_device_that_sends_what_the_mended_log_lacks_makes_it_whole(folder):
    with BuildLog(folder, SetClock()) as log:
        sent = [record.operation.as_json() for record in log.journal.read()]
        entries = set(log.state.entries)
    damaged_log(folder)
    mended(folder)
    with BuildLog(folder, SetClock()) as log:
        log.receive(sent, "phone")
        assert set(log.state.entries) == entries


def test_damaged_sounds_and_hopeless_documents_go_to_quarantine(folder):
    sound = next(path for path in (folder / "media").rglob("*") if path.is_file())
    sound.write_bytes(b"other")
    for name in ("documents.json", "documents.copy.json"):
        (folder / name).write_bytes(b"half")
    mended(folder)
    assert verify(folder).sound
    assert verify(folder).lacking == {sound.name}
    assert len(list((folder / "quarantine").iterdir())) == 3


def test_documents_with_one_good_copy_are_left_to_be_mended_by_opening(folder):
    (folder / "documents.json").write_bytes(b"half")
    mended(folder)
    with BuildLog(folder, SetClock()) as log, log.documents.table("phones") as phones:
        assert [phone["name"] for phone in phones] == ["blue phone"]


def test_a_log_in_use_is_not_mended(folder):
    with BuildLog(folder, SetClock()), pytest.raises(StoreLocked):
        mended(folder)


def test_mending_twice_is_no_harm(folder):
    damaged_log(folder)
    mended(folder)
    assert mended(folder).sound
