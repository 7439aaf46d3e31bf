"""A backup is a data folder that grows with the log; a log made from one is whole and has a new epoch."""

import shutil
import threading

import pytest

from plytally.core.clock import uuid7
from plytally.core.entry import Entry
from plytally.store.backup import backup, restore
from plytally.store.errors import BackupRefused
from plytally.store.log import BuildLog, Recording
from plytally.store.verify import verify

EPOCH = uuid7(1_770_000_000_000, 7)


def note(log, text, sound=None):
    recording = None if sound is None else Recording(sound)
    return log.record(Entry("note", {"text": text}, text), recording=recording).id


@pytest.fixture
def log(tmp_path):
    with BuildLog(tmp_path / "log") as made:
        yield made


def test_a_backup_of_a_log_in_use_is_whole_and_verified(log, tmp_path):
    note(log, "one", b"RIFFone")

    added = backup(log.folder, tmp_path / "copy")

    assert (added.report.sound, added.report.records, added.media) == (True, 2, 1)
    assert added.report.head == log.journal.head


def test_the_next_run_adds_only_what_is_new(log, tmp_path):
    note(log, "one", b"RIFFone")
    first = backup(log.folder, tmp_path / "copy")
    note(log, "two", b"RIFFtwo")

    second = backup(log.folder, tmp_path / "copy")
    third = backup(log.folder, tmp_path / "copy")

    assert (first.media, second.media, third.media) == (1, 1, 0)
    assert second.lines_bytes > 0
    assert third.lines_bytes == 0


def test_a_log_made_from_a_backup_says_the_same_under_a_new_epoch(log, tmp_path):
    note(log, "one", b"RIFFone")
    backup(log.folder, tmp_path / "copy")

    restore(tmp_path / "copy", tmp_path / "again", lambda: EPOCH)

    with BuildLog(tmp_path / "again") as again:
        assert again.state.to_bytes() == log.state.to_bytes()
        assert again.journal.epoch == EPOCH != log.journal.epoch
        assert [again.media.read(address) for address in again.media] == [b"RIFFone"]


def test_a_backup_holds_no_keys_and_no_lock(log, tmp_path):
    (log.folder / "keys").mkdir()
    (log.folder / "keys/authority.key").write_text("secret")

    backup(log.folder, tmp_path / "copy")

    names = {path.name for path in (tmp_path / "copy").rglob("*")}
    assert not names & {"keys", "authority.key", "lock"}


def test_a_backup_made_while_the_log_is_written_is_a_true_beginning_of_it(log, tmp_path):
    stop = threading.Event()

    def write():
        number = 0
        while not stop.is_set():
            note(log, f"note {number}")
            number += 1

    writer = threading.Thread(target=write)
    writer.start()
    try:
        reports = [backup(log.folder, tmp_path / "copy").report for _ in range(12)]
    finally:
        stop.set()
        writer.join()

    assert all(report.sound and not report.unfinished for report in reports)
    lines = b"".join(path.read_bytes() for path in sorted((log.folder / "journal").glob("*.jsonl")))
    copied = b"".join(path.read_bytes() for path in sorted((tmp_path / "copy/journal").glob("*.jsonl")))
    assert lines.startswith(copied)
    assert copied.endswith(b"\n")


def test_a_line_whose_copying_was_cut_off_is_copied_again(log, tmp_path):
    note(log, "one")
    backup(log.folder, tmp_path / "copy")
    note(log, "two")
    (file,) = (tmp_path / "copy/journal").glob("*.jsonl")
    with file.open("ab") as torn:
        torn.write(b'{"hash":"half a li')

    assert backup(log.folder, tmp_path / "copy").report.sound


def test_a_backup_of_another_log_is_refused_and_left_as_it_is(log, tmp_path):
    backup(log.folder, tmp_path / "copy")
    with BuildLog(tmp_path / "other") as other:
        note(other, "elsewhere")

        with pytest.raises(BackupRefused, match="another log"):
            backup(other.folder, tmp_path / "copy")


def test_a_backup_that_was_changed_is_refused(log, tmp_path):
    note(log, "one")
    backup(log.folder, tmp_path / "copy")
    (file,) = (tmp_path / "copy/journal").glob("*.jsonl")
    file.write_bytes(file.read_bytes().replace(b'"text":"one"', b'"text":"two"'))

    with pytest.raises(BackupRefused, match="one of them was changed"):
        backup(log.folder, tmp_path / "copy")


def test_a_folder_with_other_things_in_it_is_refused(log, tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos/holiday.jpg").touch()

    with pytest.raises(BackupRefused, match="not empty"):
        backup(log.folder, tmp_path / "photos")


def test_a_backup_inside_the_log_itself_is_refused(log):
    with pytest.raises(BackupRefused, match="lie in one another"):
        backup(log.folder, log.folder / "copy")


def test_restoring_over_a_log_is_refused(log, tmp_path):
    backup(log.folder, tmp_path / "copy")

    with pytest.raises(BackupRefused, match="not empty"):
        restore(tmp_path / "copy", log.folder, lambda: EPOCH)


def test_restoring_from_what_is_no_backup_is_refused(tmp_path):
    (tmp_path / "empty").mkdir()

    with pytest.raises(BackupRefused, match="holds no log"):
        restore(tmp_path / "empty", tmp_path / "again", lambda: EPOCH)


def test_restoring_from_a_damaged_backup_is_refused_and_says_how_to_mend_it(log, tmp_path):
    note(log, "one", b"RIFFone")
    backup(log.folder, tmp_path / "copy")
    (sound,) = (path for path in (tmp_path / "copy/media").rglob("*") if path.is_file())
    sound.write_bytes(b"RIFFbad")

    with pytest.raises(BackupRefused, match="verify --repair"):
        restore(tmp_path / "copy", tmp_path / "again", lambda: EPOCH)


def test_a_restore_that_was_cut_off_can_be_begun_again(log, tmp_path):
    note(log, "one", b"RIFFone")
    backup(log.folder, tmp_path / "copy")
    shutil.copytree(tmp_path / "copy/journal", tmp_path / "again.restoring/journal")

    restore(tmp_path / "copy", tmp_path / "again", lambda: EPOCH)

    assert verify(tmp_path / "again").sound
