"""The small things that change."""

import json
import threading

import pytest
from support.disks import FullDisk
from tinydb import where

from plytally.store.documents import CrashSafeStorage, Documents, copy_of
from plytally.store.errors import DocumentsDamaged, StoreFull


@pytest.fixture
def path(tmp_path):
    return tmp_path / "documents.json"


def with_phone(path, name="blue phone", **more):
    documents = Documents(path, **more)
    with documents.table("phones") as phones:
        phones.insert({"name": name})
    return documents


def names(path):
    with Documents(path).table("phones") as phones:
        return [phone["name"] for phone in phones]


def test_what_was_written_is_there_after_opening_again(path):
    with_phone(path)
    assert names(path) == ["blue phone"]


def test_tables_are_apart(path):
    documents = with_phone(path)
    with documents.table("timers") as timers:
        timers.insert({"minutes": 40})
    with documents.table("phones") as phones:
        phones.remove(where("name") == "blue phone")
    with documents.table("timers") as timers:
        assert [timer["minutes"] for timer in timers] == [40]


def test_the_file_is_json_that_anyone_can_read(path):
    with_phone(path, "Öl & Harz")
    assert json.loads(path.read_text())["documents"] == {"phones": {"1": {"name": "Öl & Harz"}}}


SPOILT = [
    pytest.param(lambda content: b"", id="emptied"),
    pytest.param(lambda content: content[: len(content) // 2], id="cut in half"),
    pytest.param(lambda content: content.replace(b"blue", b"grey"), id="one word changed, still JSON"),
    pytest.param(lambda content: b"\xff" * 50, id="not text"),
    pytest.param(lambda content: b"\0" * len(content), id="zeros"),
    pytest.param(lambda content: b"{}\n", id="other JSON"),
    pytest.param(None, id="gone"),
]


@pytest.mark.parametrize("spoil", SPOILT)
def test_when_the_main_file_cannot_be_read_the_second_copy_is_used_and_says_so(path, spoil):
    with_phone(path)
    path.unlink() if spoil is None else path.write_bytes(spoil(path.read_bytes()))
    assert "its second copy is used" in Documents(path).remarks[0]
    assert names(path) == ["blue phone"]
    assert Documents(path).remarks == ()


@pytest.mark.parametrize("spoil", SPOILT)
def test_when_the_second_copy_is_damaged_the_main_file_is_used_and_the_copy_mended_by_the_next_write(
    path, spoil
):
    documents = with_phone(path)
    copy = copy_of(path)
    copy.unlink() if spoil is None else copy.write_bytes(spoil(copy.read_bytes()))
    assert names(path) == ["blue phone"]
    with documents.table("phones") as phones:
        phones.insert({"name": "red phone"})
    path.unlink()
    assert names(path) == ["blue phone", "red phone"]


def test_the_bytes_of_an_unreadable_main_file_are_kept(path):
    with_phone(path)
    path.write_bytes(b"half")
    with_phone(path, "red phone")
    (kept,) = path.parent.glob("*.damaged")
    assert kept.read_bytes() == b"half"


def test_when_neither_can_be_read_nothing_is_started_afresh_unasked(path):
    with_phone(path)
    path.write_bytes(b"half")
    copy_of(path).write_bytes(b"half")
    with pytest.raises(DocumentsDamaged, match="from a backup"):
        Documents(path)
    assert path.read_bytes() == b"half"


@pytest.mark.parametrize("room", [0, 10, 150])
def test_a_full_disk_leaves_the_old_documents(path, room):
    disk = FullDisk(room=10_000)
    documents = with_phone(path, disk=disk)
    disk.room = room
    with pytest.raises(StoreFull), documents.table("phones") as phones:
        phones.insert({"name": "red phone"})
    assert names(path) == ["blue phone"]
    with documents.table("phones") as phones:
        assert len(phones) == 1


def test_many_threads_lose_nothing(path):
    documents = Documents(path)

    def insert(thread):
        for n in range(10):
            with documents.table("phones") as phones:
                phones.insert({"name": f"{thread}-{n}"})

    threads = [threading.Thread(target=insert, args=(thread,)) for thread in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(names(path)) == sorted(f"{thread}-{n}" for thread in range(8) for n in range(10))


def test_reading_think_and_writing_in_one_block_holds_together(path):
    documents = Documents(path)
    with documents.table("count") as count:
        count.insert({"n": 0})

    def add():
        for _ in range(20):
            with documents.table("count") as count:
                count.update({"n": count.all()[0]["n"] + 1})

    threads = [threading.Thread(target=add) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with documents.table("count") as count:
        assert count.all()[0]["n"] == 80


def test_what_a_table_handed_out_can_be_changed_without_changing_what_is_kept(path):
    storage = CrashSafeStorage(path)
    storage.write({"phones": {"1": {"name": "blue phone"}}})
    storage.read()["phones"].clear()
    assert storage.read() == {"phones": {"1": {"name": "blue phone"}}}
