"""What was heard again: kept line by line, known after a restart, and a torn line costs one hearing."""

from itertools import pairwise

import pytest

from plytally.core.hearing import typed
from plytally.store.backup import backup
from plytally.store.disk import RealDisk
from plytally.store.errors import StoreFull
from plytally.store.heard import HEARD_NAME, MOST_TRIES, HeardAgain
from plytally.store.log import BuildLog

HEARD = typed("laid two plies")


def test_a_recording_that_was_heard_is_known_after_a_restart(tmp_path):
    HeardAgain(tmp_path).keep("attachment-1", "entry-1", HEARD, ["plies"], "")

    again = HeardAgain(tmp_path)

    assert "attachment-1" in again
    assert "attachment-2" not in again
    assert [(row["heard"], row["differing"]) for row in again] == [(HEARD.as_json(), ["plies"])]


def test_a_recording_that_cannot_be_heard_is_left_after_its_tries_and_counted(tmp_path):
    heard = HeardAgain(tmp_path)
    left = []
    for _ in range(MOST_TRIES):
        left.append("attachment-1" in heard)
        heard.keep("attachment-1", "entry-1", None, [], "no sound in it")

    assert left == [False] * MOST_TRIES
    assert "attachment-1" in heard
    assert (heard.given_up, HeardAgain(tmp_path).given_up) == (1, 1)


def test_a_recording_heard_at_a_later_try_is_not_given_up(tmp_path):
    heard = HeardAgain(tmp_path)
    heard.keep("attachment-1", "entry-1", None, [], "the process ended")
    heard.keep("attachment-1", "entry-1", HEARD, [], "")

    assert "attachment-1" in heard
    assert heard.given_up == 0


@pytest.mark.parametrize("torn", [b'\n{"attachment":"att', b"\n[1]\n", b"\n\xff\xfe\n"])
def test_a_line_that_cannot_be_read_is_passed_over_and_the_next_stays_apart(tmp_path, torn):
    HeardAgain(tmp_path).keep("attachment-1", "entry-1", HEARD, [], "")
    with (tmp_path / HEARD_NAME).open("ab") as file:
        file.write(torn)

    HeardAgain(tmp_path).keep("attachment-2", "entry-2", HEARD, [], "")

    assert [row["attachment"] for row in HeardAgain(tmp_path)] == ["attachment-1", "attachment-2"]


def test_on_a_full_disk_it_is_told_and_the_recording_waits_on(tmp_path):
    class Full(RealDisk):
        def write(self, fd, content):
            raise OSError(28, "No space left on device")

    heard = HeardAgain(tmp_path, Full())

    with pytest.raises(StoreFull):
        heard.keep("attachment-1", "entry-1", HEARD, [], "")

    assert "attachment-1" not in heard


def test_what_one_hearing_costs_on_the_medium_does_not_grow_with_those_before(tmp_path):
    heard, sizes = HeardAgain(tmp_path), [0]
    for number in range(100, 150):
        heard.keep(f"attachment-{number}", "entry-1", HEARD, [], "")
        sizes.append((tmp_path / HEARD_NAME).stat().st_size)

    assert len({after - before for before, after in pairwise(sizes)}) == 1
    assert [file.name for file in tmp_path.iterdir()] == [HEARD_NAME]


def test_a_backup_holds_what_was_heard_so_that_nothing_is_heard_twice(tmp_path):
    with BuildLog(tmp_path / "log") as log:
        HeardAgain(log.folder).keep("attachment-1", "entry-1", HEARD, [], "")
        backup(log.folder, tmp_path / "copy")

    assert "attachment-1" in HeardAgain(tmp_path / "copy")


def test_of_each_recording_of_an_entry_the_last_try_is_told(tmp_path):
    heard, reader = HeardAgain(tmp_path), HeardAgain(tmp_path)
    long = typed("laid two plies " * 9000)
    heard.keep("attachment-1", "entry-1", typed("laid two plies"), [], "")
    heard.keep("attachment-2", "entry-1", None, [], "no sound in it")
    heard.keep("attachment-3", "entry-2", HEARD, [], "")
    heard.keep("attachment-1", "entry-1", long, ["plies"], "")

    for one in (heard, reader, HeardAgain(tmp_path)):
        told = one.of_entry("entry-1")
        assert {name: row["differing"] for name, row in told.items()} == {
            "attachment-1": ["plies"],
            "attachment-2": [],
        }
        assert told["attachment-1"]["heard"] == long.as_json()
    assert reader.of_entry("entry-9") == {}
