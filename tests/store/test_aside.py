"""What arrived and could not be taken."""

import pytest
from support.devices import MORNING
from support.disks import FullDisk

from plytally.store.aside import AsideFile
from plytally.store.errors import StoreFull


@pytest.fixture
def path(tmp_path):
    return tmp_path / "aside.jsonl"


def test_it_is_kept_as_it_came_with_sender_time_and_reasons(path):
    AsideFile(path).keep({"mass": 1.5, "said": "half \ud800"}, ["no id", "a float"], "phone", MORNING)
    (one,) = AsideFile(path)
    assert (one.raw, one.why, one.sender) == (
        {"mass": 1.5, "said": "half \ud800"},
        ("no id", "a float"),
        "phone",
    )
    assert one.received == "2026-11-03T07:20:00.000+00:00"


def test_the_same_thing_from_the_same_sender_is_kept_once_also_after_opening_again(path):
    for _ in range(2):
        aside = AsideFile(path)
        aside.keep([1], ["no object"], "phone", MORNING)
        aside.keep([1], ["no object"], "phone", MORNING)
    aside.keep([1], ["no object"], "tablet", MORNING)
    assert [one.sender for one in aside] == ["phone", "tablet"]


def test_a_torn_line_is_passed_over_and_does_not_spoil_the_next(path):
    aside = AsideFile(path)
    aside.keep(1, ["no object"], "phone", MORNING)
    path.write_bytes(path.read_bytes()[:-9])
    aside = AsideFile(path)
    aside.keep(2, ["no object"], "phone", MORNING)
    assert [one.raw for one in AsideFile(path)] == [2]


def test_a_full_disk_is_told_and_the_next_try_is_kept(path):
    disk = FullDisk(20)
    aside = AsideFile(path, disk)
    with pytest.raises(StoreFull):
        aside.keep(1, ["no object"], "phone", MORNING)
    disk.room = 1000
    aside.keep(1, ["no object"], "phone", MORNING)
    assert [one.raw for one in AsideFile(path)] == [1]
