"""A stick or a folder that was in other hands: nothing outside of it is read or written."""

import os

import pytest

from plytally.clock import fresh_id
from plytally.core.entry import Entry
from plytally.store.backup import backup, restore
from plytally.store.errors import BackupRefused, StoreError
from plytally.store.log import BuildLog


@pytest.fixture
def log(tmp_path):
    with BuildLog(tmp_path / "log") as made:
        made.record(Entry("note", {"text": "one"}, "one"))
        yield made


@pytest.fixture
def secret(tmp_path):
    file = tmp_path / "secret"
    file.write_text("not for the record")
    return file


@pytest.mark.parametrize(
    "name", ["documents.json", "schedules/print.yaml", "aside.jsonl", "journal/2031-01.jsonl"]
)
def test_a_backup_with_a_link_in_it_is_not_restored(log, secret, tmp_path, name):
    backup(log.folder, tmp_path / "stick")
    planted = tmp_path / "stick" / name
    planted.unlink(missing_ok=True)
    planted.parent.mkdir(exist_ok=True)
    planted.symlink_to(secret)

    with pytest.raises(BackupRefused, match="no plain file"):
        restore(tmp_path / "stick", tmp_path / "again", fresh_id)

    assert not (tmp_path / "again").exists()


def test_a_backup_with_a_pipe_in_it_does_not_wait_for_ever(log, tmp_path):
    backup(log.folder, tmp_path / "stick")
    os.mkfifo(tmp_path / "stick/journal/2031-01.jsonl")

    with pytest.raises(BackupRefused, match="no plain file"):
        restore(tmp_path / "stick", tmp_path / "again", fresh_id)


def test_a_link_on_the_stick_does_not_make_a_backup_write_elsewhere(log, tmp_path):
    backup(log.folder, tmp_path / "stick")
    (month,) = (tmp_path / "stick/journal").glob("*.jsonl")
    month.unlink()
    month.symlink_to(tmp_path / "elsewhere")

    with pytest.raises(StoreError):
        backup(log.folder, tmp_path / "stick")

    assert not (tmp_path / "elsewhere").exists()


def test_what_is_kept_is_for_this_user_alone(log):
    files = [path for path in log.folder.rglob("*") if not path.is_symlink()]

    assert {path.stat().st_mode & 0o077 for path in [log.folder, *files]} == {0}
